"""Theil-Sen lines by scipy, for straight-line.test.ts.

Run: python3 tests/reference/scipy/theil-sen.py > tests/reference/scipy/theil-sen.json
"""

import json
import sys

import scipy
from scipy.stats import theilslopes

years = list(range(2030, 2041))
cases = {
    # A corner that creeps up, as a drying capacitor's does, with one round that went wrong.
    "corner": (years, [2.87, 3.16, 3.48, 3.82, 9.9, 4.65, 5.17, 5.73, 6.33, 7.09, 7.81]),
    # Uneven times and two equal ones.
    "uneven": (
        [2030.25, 2030.25, 2031.9, 2034.5, 2034.6, 2040.0, 2041.2],
        [-94.3, -93.9, -94.1, -93.2, -93.9, -91.2, -90.5],
    ),
    "three": ([2030.0, 2031.0, 2033.5], [-110.2, -109.9, -109.1]),
    "even count": ([1.0, 2.0, 4.0, 8.0], [3.0, 2.5, 7.0, 6.0]),
}
lines = {}
for name, (x, y) in cases.items():
    slope, intercept, _, _ = theilslopes(y, x)
    lines[name] = {"x": x, "y": y, "slope": slope, "intercept": intercept}
json.dump(
    {"source": f"scipy.stats.theilslopes {scipy.__version__}, theil-sen.py", "lines": lines},
    sys.stdout,
    indent=1,
)
print()
