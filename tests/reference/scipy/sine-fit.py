"""A tone with harmonics in noise, fitted by scipy's least squares, for sine-fit.test.ts.

Run: python3 tests/reference/scipy/sine-fit.py > tests/reference/scipy/sine-fit.json
The samples are those of the test: a tone of 1000.37 Hz at 48 kHz with harmonics 2 and 3, an offset,
and noise from a 32-bit linear congruential generator (Numerical Recipes' constants), uniform in
[-0.5, 0.5), times 1e-3.
"""

import json
import sys

import numpy as np
import scipy
from scipy.optimize import least_squares

rate = 48000
count = 20000
state = 12345
noise = np.empty(count)
for n in range(count):
    state = (state * 1664525 + 1013904223) % 2**32
    noise[n] = state / 2**32 - 0.5
theta = 2 * np.pi * 1000.37 * np.arange(count) / rate + 0.7
samples = 0.1 * np.cos(theta) + 1e-3 * np.cos(2 * theta) + 3e-4 * np.cos(3 * theta)
samples += 2e-3 + 1e-3 * noise

m = np.arange(count) - (count - 1) / 2


def model(p):
    turn = 2 * np.pi * (1000 + p[1]) * m / rate
    out = np.full(count, p[0])
    for k in range(3):
        out += p[2 + 2 * k] * np.cos((k + 1) * turn) + p[3 + 2 * k] * np.sin((k + 1) * turn)
    return out


# A linear fit at the frequency put in is where it starts from.
turn = 2 * np.pi * 1000.37 * m / rate
columns = [np.ones(count)]
for k in range(3):
    columns += [np.cos((k + 1) * turn), np.sin((k + 1) * turn)]
first = np.linalg.lstsq(np.array(columns).T, samples, rcond=None)[0]
start = np.concatenate([[first[0], 0.37], first[1:]])
fit = least_squares(
    lambda p: model(p) - samples, start, x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15
)
p = fit.x
json.dump(
    {
        "source": f"scipy {scipy.__version__}, optimize.least_squares",
        "frequencyHz": 1000 + p[1],
        "offset": p[0],
        "amplitudes": [float(np.hypot(p[2 + 2 * k], p[3 + 2 * k])) for k in range(3)],
        "residualRms": float(np.sqrt(np.mean(fit.fun**2))),
    },
    sys.stdout,
    indent=2,
)
print()
