"""Third-octave levels of a noise by scipy, for third-octaves.test.ts.

Run: python3 tests/reference/scipy/third-octaves.py > tests/reference/scipy/third-octaves.json
The samples are those of the test: a 32-bit linear congruential generator (Numerical Recipes'
constants), uniform in [-0.5, 0.5), through y[n] = x[n] + 0.9 y[n-1], times 1e-4.
"""

import json
import sys

import numpy as np
import scipy
from scipy.signal import lfilter, welch

rate = 48000
first = round((0.1 + 0.5 + 0.1) * rate)  # gap, marker, settling
count = round(2.1 * rate)

state = 12345
uniform = np.empty(round(2.2 * rate) + 1)
for n in range(len(uniform)):
    state = (state * 1664525 + 1013904223) % 2**32
    uniform[n] = state / 2**32 - 0.5
silence = 1e-4 * lfilter([1], [1, -0.9], uniform)
heard = silence[round(0.1 * rate) :][:count]

hz, density = welch(heard, rate, "hann", 16384, detrend=False)
step = hz[1]


def band(low, high):
    share = np.clip(np.minimum(high, hz + step / 2) - np.maximum(low, hz - step / 2), 0, None)
    return 10 * np.log10(2 * np.sum(density * share))


midbands = [1000 * 10 ** (n / 10) for n in range(-16, 14)]
edge = 10 ** (3 / 60)
json.dump(
    {
        "source": f"scipy.signal.welch {scipy.__version__}, third-octaves.py",
        "midbandHz": midbands,
        "levelDbfs": [band(f / edge, f * edge) for f in midbands],
        "noiseDbfs": band(22.4, 22400),
    },
    sys.stdout,
    indent=1,
)
print()
