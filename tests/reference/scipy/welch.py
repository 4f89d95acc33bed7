"""Averaged periodograms and band powers by scipy, for welch.test.ts.

Run: python3 tests/reference/scipy/welch.py > tests/reference/scipy/welch.json
The noise comes from a 32-bit linear congruential generator (Numerical Recipes' constants), uniform
in [-0.5, 0.5), made red by y(n) = x(n) + 0.9*y(n-1), plus a tone of 0.2 at 1500 Hz.
"""

import json
import sys

import numpy as np
import scipy
from scipy.signal import welch

rate = 8000
state = 12345
last = 0.0
samples = np.empty(5000)
for n in range(len(samples)):
    state = (state * 1664525 + 1013904223) % 2**32
    last = state / 2**32 - 0.5 + 0.9 * last
    samples[n] = last + 0.2 * np.sin(2 * np.pi * 1500 * n / rate)

spectra = []
# An even number of segments, an odd one, and a single one.
for size, count in ((256, 5000), (256, 4992), (512, 600)):
    hz, density = welch(samples[:count], rate, "hann", size, detrend=False)
    spectra.append(
        {
            "size": size,
            "count": count,
            "stepHz": float(hz[1]),
            "segments": (count - size) // (size // 2) + 1,
            "density": density.tolist(),
        }
    )
hz, density = welch(samples, rate, "hann", 256, detrend=False)
step = hz[1]


def band(low, high, weight=lambda f: 1.0):
    """The density as steps around its bins, integrated from low to high."""
    total = 0.0
    for f, d in zip(hz, density):
        width = min(high, f + step / 2) - max(low, f - step / 2)
        if width > 0:
            total += d * weight(f) * width
    return float(total)


json.dump(
    {
        "source": f"scipy {scipy.__version__}, signal.welch(x, fs, 'hann', size, detrend=False)",
        "spectra": spectra,
        "bands": [
            {"fromHz": 100, "toHz": 3000, "power": band(100, 3000)},
            {"fromHz": 200.5, "toHz": 210.25, "power": band(200.5, 210.25)},
            {"fromHz": 0, "toHz": 4000, "power": band(0, 4000)},
        ],
        "weighted": {"fromHz": 100, "toHz": 3000, "power": band(100, 3000, lambda f: f / 1000)},
    },
    sys.stdout,
    indent=1,
)
print()
