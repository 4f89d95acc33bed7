"""Processors of other authors, and what they do to steady sines.

    python3 processors.py signal.wav folder

Each processor is put to the signal, and its output written to the folder. Then it is put to steady
sines of many frequencies and levels, whose harmonics are read over whole periods with numpy; for
filters of a textbook shape the response is computed in closed form besides, with scipy.signal from
the formulas of R. Bristow-Johnson's "Cookbook formulae for audio EQ biquad filter coefficients"
(www.w3.org/TR/audio-eq-cookbook) and the documentation of each processor. Prints one JSON object.
"""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
from scipy import signal as dsp
from scipy.io import wavfile

RATE = 48000
NOMINAL = -18.0
LADSPA = Path("/usr/lib/ladspa")
HZ = [20, 25, 31.5, 40, 63, 100, 160, 250, 400, 630, 1000, 1600, 2500, 4000, 6300, 8000, 10000, 12500, 16000, 18000]


def peaking(f0, q, db):
    a = 10 ** (db / 40)
    w = 2 * np.pi * f0 / RATE
    al = np.sin(w) / (2 * q)
    return [1 + al * a, -2 * np.cos(w), 1 - al * a], [1 + al / a, -2 * np.cos(w), 1 - al / a]


def lowpass2(f0, q):
    w = 2 * np.pi * f0 / RATE
    al = np.sin(w) / (2 * q)
    c = np.cos(w)
    return [(1 - c) / 2, 1 - c, (1 - c) / 2], [1 + al, -2 * c, 1 - al]


def highpass2(f0, q):
    w = 2 * np.pi * f0 / RATE
    al = np.sin(w) / (2 * q)
    c = np.cos(w)
    return [(1 + c) / 2, -(1 + c), (1 + c) / 2], [1 + al, -2 * c, 1 - al]


def allpass2(f0, q):
    w = 2 * np.pi * f0 / RATE
    al = np.sin(w) / (2 * q)
    return [1 - al, -2 * np.cos(w), 1 + al], [1 + al, -2 * np.cos(w), 1 - al]


def highpass1(f0):
    a1 = np.exp(-2 * np.pi * f0 / RATE)
    return [(1 + a1) / 2, -(1 + a1) / 2], [1, -a1]


def shelf(f0, slope, db, high):
    a = 10 ** (db / 40)
    w = 2 * np.pi * f0 / RATE
    al = np.sin(w) / 2 * np.sqrt((a + 1 / a) * (1 / slope - 1) + 2)
    c = -np.cos(w) if high else np.cos(w)
    s = 2 * np.sqrt(a) * al
    sign = -1 if high else 1
    b = [a * ((a + 1) - (a - 1) * c + s), sign * 2 * a * ((a - 1) - (a + 1) * c), a * ((a + 1) - (a - 1) * c - s)]
    d = [(a + 1) + (a - 1) * c + s, sign * -2 * ((a - 1) + (a + 1) * c), (a + 1) + (a - 1) * c - s]
    return b, d


def ladspa(file, label, *figures):
    return ["ladspa", str(LADSPA / file), label, *[str(f) for f in figures]]


# name: the effect; the filter's coefficients or the curve where they are known, or that it is linear
PROCESSORS = {
    "peaking equaliser": (["equalizer", "3000", "1q", "6"], {"filter": peaking(3000, 1, 6)}),
    "narrow equaliser": (["equalizer", "120", "4q", "-9"], {"filter": peaking(120, 4, -9)}),
    "low shelf": (["bass", "5", "100", "0.5s"], {"filter": shelf(100, 0.5, 5, False)}),
    "high shelf": (["treble", "-5", "5000", "0.7s"], {"filter": shelf(5000, 0.7, -5, True)}),
    "single-pole high-pass": (["highpass", "-1", "30"], {"filter": highpass1(30)}),
    "two-pole high-pass": (["highpass", "-2", "45", "0.707q"], {"filter": highpass2(45, 0.707)}),
    "two-pole low-pass": (["lowpass", "-2", "9000", "0.707q"], {"filter": lowpass2(9000, 0.707)}),
    "all-pass": (["allpass", "1000", "2q"], {"filter": allpass2(1000, 2)}),
    "narrow all-pass": (["allpass", "1000", "30q"], {"filter": allpass2(1000, 30)}),
    "parametric equaliser of a host of plugins": (ladspa("single_para_1203.so", "singlePara", 4, 2000, 1), {"linear": True}),
    "low-pass in stages": (ladspa("lowpass_iir_1891.so", "lowpass_iir", 12000, 2), {"linear": True}),
    "graphic equaliser": (["gain", "-12", *ladspa("mbeq_1197.so", "mbeq", 0, 0, 3, 0, 0, -4, 0, 0, 5, 0, 0, 0, 0, 0, 0, 0)], {"linear": True}),
    "equaliser of three bands": (["gain", "-12", *ladspa("dj_eq_1901.so", "dj_eq_mono", -3, 2, 4, 0)], {"linear": True}),
    "equaliser of eight bands": (["gain", "-12", *ladspa("tap_eq.so", "tap_equalizer", 0, 6, 0, 0, -6, 0, 0, 4, 80, 200, 600, 1500, 3000, 6000, 12000, 15000)], {"linear": True}),
    "parametric equaliser with shelves": (["gain", "-12", *ladspa("triple_para_1204.so", "triplePara", 3, 100, 0.7, -4, 1000, 1, 5, 3000, 1, -6, 8000, 1)], {"linear": True}),
    "hard limiter": (ladspa("hard_limiter_1413.so", "hardLimiter", -10, 1, 0), {"curve": "clip"}),
    "sigmoid saturator": (ladspa("tap_sigmoid.so", "tap_sigmoid", 0, 0), {"curve": "sigmoid"}),
    "overdrive of one formula": (ladspa("foverdrive_1196.so", "foverdrive", 1.4), {"curve": "foverdrive"}),
    "contrast": (["contrast", "10"], {"curve": "contrast"}),
    "overdrive with an envelope": (["gain", "-6", "overdrive", "3", "10"], {}),
    "valve": (ladspa("valve_1209.so", "valve", 0.3, 0.2), {}),
    "valve rectifier": (ladspa("valve_rect_1405.so", "valveRect", 0.5, 0.4), {}),
    "crossover distortion": (ladspa("crossover_dist_1404.so", "crossoverDist", 0.002, 0.5), {}),
    "compander": (["compand", "0.002,0.02", "6:-60,-60,-12,-12,0,-8"], {}),
    "tube warmth": (ladspa("tap_tubewarmth.so", "tap_tubewarmth", 4, 2), {}),
}

CURVES = {
    "clip": lambda x: np.clip(x, -(10 ** -0.5), 10 ** -0.5),
    "sigmoid": lambda x: 2 / (1 + np.exp(-5 * x)) - 1,
    "foverdrive": lambda x: x * (np.abs(x) + 1.4) / (x * x + 0.4 * np.abs(x) + 1),
    "contrast": lambda x: np.sin(x * np.pi / 2 + 10 / 750 * np.sin(4 * x * np.pi / 2)),
}


def process(effect, samples, at):
    source, out = at.with_suffix(".in.wav"), at.with_suffix(".out.wav")
    wavfile.write(source, RATE, samples.astype(np.float32))
    run(effect, source, out)
    rate, heard = wavfile.read(out)
    assert rate == RATE
    return heard.astype(float) if heard.ndim == 1 else heard[:, 0].astype(float)


def run(effect, source, out):
    command = ["sox", "-D", str(source), "-e", "floating-point", "-b", "32", str(out), *effect]
    subprocess.run(command, check=True, capture_output=True)


def sines(effect, tones, at):
    """Complex harmonics 1 to 10 of steady sines, each (hz, peak level in dB)."""
    lengths = [int(RATE * (1.0 if hz < 100 else 0.5)) for hz, _ in tones]
    parts = []
    for (hz, db), n in zip(tones, lengths):
        ramp = np.minimum(1, np.arange(n) / 480)
        parts.append(ramp * 10 ** (db / 20) * np.sin(2 * np.pi * hz * np.arange(n) / RATE))
    heard = process(effect, np.concatenate([*parts, np.zeros(RATE // 2)]), at)
    found, start = [], 0
    for (hz, _), n in zip(tones, lengths):
        periods = int(0.2 * hz) if hz >= 100 else int(0.4 * hz)
        # Whole periods of a whole number of samples, taken from the end; 10 ms for a look-ahead.
        count = int(round(periods * RATE / hz))
        while abs(count * hz / RATE - round(count * hz / RATE)) > 1e-9 and count > RATE // 20:
            count -= 1
        last = start + n - 480
        part = heard[last - count : last]
        t = np.arange(last - count - start, last - start)
        found.append([2 * np.mean(part * np.exp(-2j * np.pi * k * hz * t / RATE)) for k in range(1, 11) if k * hz < 20500])
        start += n
    return found


def thd(harmonics):
    return float(10 * np.log10(max(1e-30, np.sum(np.abs(harmonics[1:]) ** 2) / abs(harmonics[0]) ** 2)))


def static_harmonics(curve, db):
    theta = 2 * np.pi * (np.arange(4096) + 0.5) / 4096
    y = curve(10 ** (db / 20) * np.cos(theta))
    return [2 * np.mean(y * np.cos(k * theta)) for k in range(1, 11)]


def headroom(distortion):
    """Lowest level above nominal with 1 %, from a function of levels in dB to decibels of THD."""
    coarse = np.arange(0, 17.01, 0.5)
    found = distortion(coarse)
    above = [k for k, d in enumerate(found) if d >= -40]
    if not above or above[0] == 0:
        return None
    low, high = coarse[above[0] - 1], coarse[above[0]]
    fine = np.linspace(low, high, 26)
    found = distortion(fine)
    k = next(k for k, d in enumerate(found) if d >= -40)
    share = (-40 - found[k - 1]) / (found[k] - found[k - 1])
    return float(fine[k - 1] + share * (fine[k] - fine[k - 1]))


def whole_periods(hz):
    """The frequency next to one that has whole periods in 0.1 s."""
    return max(20, round(hz / 10) * 10)


def look(name, folder, source):
    effect, known = PROCESSORS[name]
    at = folder / name.replace(" ", "-")
    run(effect, source, at.with_suffix(".wav"))
    points = [whole_periods(hz) for hz in HZ]
    truth = {"file": at.with_suffix(".wav").name}
    if "filter" in known:
        b, a = known["filter"]
        _, h = dsp.freqz(b, a, worN=np.array([*points, 1000]), fs=RATE)
        db = 20 * np.log10(np.abs(h))
        truth["response"] = [[hz, float(d - db[-1])] for hz, d in zip(points, db)]
        truth["gain"] = float(db[-1])
        steady = sines(effect, [(hz, NOMINAL) for hz in points], at)
        level = [20 * np.log10(abs(h[0])) - NOMINAL for h in steady]
        truth["steady"] = [[hz, float(d - level[points.index(1000)])] for hz, d in zip(points, level)]
        return truth
    if known.get("linear"):
        steady = sines(effect, [(hz, NOMINAL) for hz in points], at)
        level = [20 * np.log10(abs(h[0])) - NOMINAL for h in steady]
        middle = level[points.index(1000)]
        truth["response"] = [[hz, float(d - middle)] for hz, d in zip(points, level)]
        truth["gain"] = float(middle)
        return truth
    heard = lambda levels: [thd(h) for h in sines(effect, [(1000, NOMINAL + db) for db in levels], at)]
    steady = sines(effect, [(1000, NOMINAL), (1000, NOMINAL + 12)], at)
    truth["gain"] = float(20 * np.log10(abs(steady[0][0])) - NOMINAL)
    truth["compression"] = float(20 * np.log10(abs(steady[1][0] / steady[0][0])) - 12)
    truth["thd"] = thd(steady[0])
    truth["thdHot"] = thd(steady[1])
    truth["headroom"] = headroom(heard)
    if "curve" in known:
        curve = CURVES[known["curve"]]
        closed = lambda levels: [thd(static_harmonics(curve, NOMINAL + db)) for db in levels]
        truth["closed"] = {
            "thd": closed([0])[0],
            "thdHot": closed([12])[0],
            "headroom": headroom(closed),
        }
    return truth


def main():
    source, folder = Path(sys.argv[1]), Path(sys.argv[2])
    names = sys.argv[3:] or list(PROCESSORS)
    found = {}
    for name in names:
        try:
            found[name] = look(name, folder, source)
        except (subprocess.CalledProcessError, FileNotFoundError) as error:
            found[name] = {"missing": str(getattr(error, "stderr", b"") or error)}
    json.dump(found, sys.stdout)


main()
