"""Butterworth high-passes by scipy, for biquad.test.ts, crackle.test.ts and impulses.test.ts.

Run: python3 tests/reference/scipy/biquad.py > tests/reference/scipy/biquad.json
The noise comes from a 32-bit linear congruential generator (Numerical Recipes' constants), uniform
in [-0.5, 0.5).
"""

import json
import sys

import numpy as np
import scipy
from scipy.signal import butter, lfilter

filters = []
for corner, rate in ((20, 44100), (2000, 48000), (4000, 48000), (4000, 192000), (20000, 48000)):
    b, a = butter(2, corner, "highpass", fs=rate)
    filters.append({"cornerHz": corner, "rateHz": rate, "b": b.tolist(), "a": a.tolist()})

state = 12345
noise = np.empty(10000)
for n in range(len(noise)):
    state = (state * 1664525 + 1013904223) % 2**32
    noise[n] = state / 2**32 - 0.5
b, a = butter(2, 2000, "highpass", fs=48000)
answer = lfilter(b, a, noise)
places = [0, 1, 2, 3, 10, 4095, 4096, 4097, 8191, 8192, 9999]

impulse = np.zeros(400)
impulse[0] = 1


def peak(corner, sections, rate):
    """Highest magnitude, and where, of the impulse response of some like sections."""
    b, a = butter(2, corner, "highpass", fs=rate)
    y = impulse
    for _ in range(sections):
        y = lfilter(b, a, y)
    at = int(np.argmax(np.abs(y)))
    return {
        "cornerHz": corner,
        "sections": sections,
        "rateHz": rate,
        "at": at,
        "peak": float(abs(y[at])),
        "noiseGain": float(np.sqrt(np.sum(y**2))),
    }


json.dump(
    {
        "source": f"scipy {scipy.__version__}, signal.butter and lfilter",
        "filters": filters,
        "noise": {"places": places, "answer": [float(answer[n]) for n in places]},
        "impulses": [
            peak(c, s, r) for c, s in ((2000, 2), (4000, 4)) for r in (44100, 48000, 96000, 192000)
        ],
    },
    sys.stdout,
    indent=1,
)
print()
