"""The measurements of a round written plainly in numpy and scipy, for `npm run bench`.

Reads a job (JSON: file, its returns, the signal's table), finds the markers in the whole capture,
measures every return, one process a processor, and prints what it took. Written as somebody would
who has both libraries at hand and does not look at the clock: whole arrays, library routines.
"""

import json
import os
import resource
import sys
import time
from multiprocessing import Pool

import numpy as np
import scipy
from scipy import signal
from scipy.fft import irfft, next_fast_len, rfft, rfftfreq

job = json.load(open(sys.argv[1]))
rate = job["sampleRate"]
table = job["table"]
segments = {s["name"]: s for s in table["segments"]}


def read(start, count):
    raw = np.fromfile(job["file"], dtype=np.uint8, count=3 * count, offset=job["dataOffset"] + 3 * start)
    b = raw.reshape(-1, 3).astype(np.int32)
    x = (b[:, 0] | (b[:, 1] << 8) | (b[:, 2] << 16)).astype(np.int32)
    return ((x ^ 0x800000) - 0x800000) / 2.0**23


def find(span):
    """Normalised correlation with the markers' chirp, at a quarter of the rate."""
    start, count = span
    x = signal.decimate(read(start, count), 4, ftype="fir")
    low = rate / 4
    t = np.arange(int(0.15 * low)) / low
    chirp = signal.chirp(t, 500, 0.15, 10_000)
    sos = signal.butter(2, 350, "highpass", fs=low, output="sos")
    x = signal.sosfilt(sos, x)
    c = signal.oaconvolve(x, chirp[::-1], mode="valid")
    energy = signal.oaconvolve(x * x, np.ones(len(chirp)), mode="valid")
    likeness = np.abs(c) / np.sqrt(np.maximum(energy, 1e-14) * np.dot(chirp, chirp))
    peaks, _ = signal.find_peaks(likeness, height=0.19, distance=int(0.005 * low))
    return len(peaks)


def part(x, name, skip=0.0, until=None):
    s = segments[name]
    a = int(round((s["startS"] + skip) * rate))
    b = int(round((s["startS"] + (s["lengthS"] if until is None else until)) * rate))
    return x[a:b]


def sine(x, f, harmonics=10):
    """Least squares of a sine and its harmonics."""
    t = np.arange(len(x)) / rate
    columns = [np.ones(len(x))]
    for k in range(1, harmonics + 1):
        if k * f < rate / 2:
            columns += [np.cos(2 * np.pi * k * f * t), np.sin(2 * np.pi * k * f * t)]
    a = np.stack(columns, axis=1)
    w, *_ = np.linalg.lstsq(a, x, rcond=None)
    amplitudes = np.hypot(w[1::2], w[2::2])
    return amplitudes, x - a @ w


def db(x):
    return 20 * np.log10(np.maximum(x, 1e-12))


sweep = segments["sweep"]
t = np.arange(int(round(sweep["sweepS"] * rate))) / rate
L, f1 = sweep["rateS"], sweep["fromHz"]
level = 10 ** (sweep["levelDbfs"] / 20)
sent = level * np.sin(2 * np.pi * f1 * L * np.exp(t / L))
n_fft = next_fast_len(int(2 * sweep["lengthS"] * rate), real=True)
frequencies = rfftfreq(n_fft, 1 / rate)
with np.errstate(divide="ignore", invalid="ignore"):
    inverse = 2 * np.sqrt(frequencies / L) * np.exp(
        -2j * np.pi * frequencies * L * (1 - np.log(frequencies / f1)) + 1j * np.pi / 4
    )
inverse[0] = 0
grid = 1000 * 2 ** (np.arange(-135, 104) / 24)
a_weight_zeros = [0, 0, 0, 0]
a_weight_poles = -2 * np.pi * np.array([20.598997, 20.598997, 107.65265, 737.86223, 12194.217, 12194.217])
bands = 1000 * 10 ** (np.arange(-17, 14) / 10)


def a_weighting(f):
    s = 2j * np.pi * f
    h = s**4
    for p in a_weight_poles:
        h = h / (s - p)
    return np.abs(h) * (2 * np.pi * 12194.217) ** 2 * 1.2589


def weighting_468(f):
    """Hand formula of the curve's network, from its nominal poles (from memory)."""
    f = f / 1000
    h1 = -4.737338981378384e-24 * (1e3 * f) ** 6 + 2.043828333606125e-15 * (1e3 * f) ** 4 - 1.363894795463638e-7 * (1e3 * f) ** 2 + 1
    h2 = 1.306612257412824e-19 * (1e3 * f) ** 5 - 2.118150887518656e-11 * (1e3 * f) ** 3 + 5.559488023498642e-4 * (1e3 * f)
    return 8.128305161640991 * 1.246332637532143e-4 * (1e3 * f) / np.hypot(h1, h2)


def quasi_peak(x):
    """Two follower stages with fast attack and slow decay, sample by sample (BS.468's meter)."""
    for attack, decay in ((0.0018, 0.2), (0.02, 0.6)):
        up, down = 1 - np.exp(-1 / (attack * rate)), np.exp(-1 / (decay * rate))
        state, out = 0.0, np.empty_like(x)
        for n, v in enumerate(x.tolist()):
            state *= down
            if v > state:
                state += up * (v - state)
            out[n] = state
        x = out
    return x.max()


def measure(item):
    x = read(int(item["start"]), int(table["lengthS"] * rate))
    figures = 0
    # Response and harmonics against frequency, by deconvolution.
    y = rfft(part(x, "sweep"), n_fft)
    impulse = irfft(y * inverse, n_fft) / rate / level
    response = np.interp(grid, frequencies, db(np.abs(rfft(impulse[: int(0.2 * rate)], n_fft))))
    figures += 1
    for k in range(2, 6):
        delay = int(L * np.log(k) * rate)
        window = np.roll(impulse, delay)[: int(0.05 * rate)]
        np.interp(grid, frequencies, db(np.abs(rfft(window, n_fft))))
        figures += 1
    polarity = np.sign(impulse[np.argmax(np.abs(impulse[: int(0.2 * rate)]))])
    figures += 1 + 0 * int(polarity)
    # Tones: level, harmonics, THD, THD+N, stability.
    tone = part(x, "tone-1k", 0.15, 0.95)
    amplitudes, rest = sine(tone, 1000)
    gain = db(amplitudes[0] / level)
    thd = db(np.sqrt(np.sum(amplitudes[1:] ** 2)) / amplitudes[0])
    b, a = signal.butter(4, 20_000, fs=rate)
    band = signal.lfilter(b, a, rest)
    thd_n = db(np.sqrt(np.sum(amplitudes[1:] ** 2) + 2 * np.mean(band**2)) / amplitudes[0])
    low, _ = sine(part(x, "tone-100", 0.15, 0.95), 100)
    envelope = np.abs(signal.hilbert(signal.sosfiltfilt(signal.butter(2, [500, 2000], "bandpass", fs=rate, output="sos"), tone)))
    figures += 4 + len(amplitudes) + int(np.isfinite(thd + thd_n + low[0] + envelope.std()))
    # Difference frequencies.
    twin = part(x, "twin", 0.1, 0.65)
    spectrum = np.abs(rfft(twin * signal.windows.blackmanharris(len(twin))))
    bins = len(twin) / rate
    [spectrum[int(round(f * bins)) - 3 : int(round(f * bins)) + 4].max() for f in (1000, 18_000, 19_000, 20_000, 21_000)]
    figures += 3
    # Steps: headroom, linearity, compression.
    steps = segments["steps-1k"]
    for k, _ in enumerate(steps["levelsDbfs"]):
        a0 = int(round((steps["startS"] + k * steps["stepS"] + 0.08) * rate))
        sine(x[a0 : a0 + int(0.1 * rate)], 1000)
    figures += 4
    # Silence: noise, weighted noise, quasi-peak, thirds, hum, clicks, offset.
    quiet = part(x, "silence", 0.3, 2.1)
    figures += 1 + int(np.isfinite(quiet.mean()))
    quiet = quiet - quiet.mean()
    f, density = signal.welch(quiet, rate, "hann", 32768, scaling="density")
    inside = (f > 22.4) & (f < 22_400)
    df = f[1]
    noise = np.sqrt(np.sum(density[inside]) * df)
    noise_a = np.sqrt(np.sum(density[inside] * a_weighting(f[inside]) ** 2) * df)
    thirds = [np.sqrt(np.sum(density[(f > c * 10**-0.05) & (f < c * 10**0.05)]) * df) for c in bands]
    full = rfft(quiet)
    weighted = irfft(full * weighting_468(rfftfreq(len(quiet), 1 / rate)), len(quiet))
    qp = quasi_peak(np.abs(weighted))
    hum, _ = sine(quiet, 50, 20)
    slope = np.polyfit(np.log10(f[1:200]), 10 * np.log10(density[1:200]), 1)
    sos = signal.butter(4, 3000, "highpass", fs=rate, output="sos")
    sharp = signal.sosfilt(sos, quiet)
    clicks = np.sum(np.abs(sharp) > 8 * np.median(np.abs(sharp)))
    figures += 9 + int(np.isfinite(noise + noise_a + qp + hum.sum() + slope[0] + clicks + sum(thirds)))
    return item["path"], float(gain), figures, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def main():
    began = time.time()
    frames = (os.path.getsize(job["file"]) - job["dataOffset"]) // 3
    chunk = 60 * rate
    spans = [(at, min(chunk, frames - at)) for at in range(0, frames, chunk)]
    processes = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    pool = Pool(processes)
    pool.map(find, spans, chunksize=1)
    results = pool.map(measure, job["returns"], chunksize=1)
    pool.close()
    pool.join()
    seconds = time.time() - began
    print(
        json.dumps(
            {
                "seconds": seconds,
                "cpuSeconds": sum(
                    getattr(resource.getrusage(who), name)
                    for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
                    for name in ("ru_utime", "ru_stime")
                ),
                "processes": processes,
                "numpy": np.__version__,
                "scipy": scipy.__version__,
                "figures": results[0][2],
                "gains": {path: gain for path, gain, *_ in results},
                "peakBytes": 1024 * processes * max(r[3] for r in results),
            }
        )
    )


if __name__ == "__main__":
    main()
