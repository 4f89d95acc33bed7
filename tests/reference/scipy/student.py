"""Quantiles of Student's t distribution by scipy, for student.test.ts.

Run: python3 tests/reference/scipy/student.py > tests/reference/scipy/student.json
"""

import json
import sys

import scipy
from scipy.stats import t

freedom = [1, 2, 3, 4, 5, 5.5, 6, 7, 8, 9, 10, 12, 15, 20, 30, 50, 100, 1000, 1e6]
json.dump(
    {
        "source": f"scipy {scipy.__version__}, stats.t.ppf(0.975, freedom)",
        "freedom": freedom,
        "quantile": [float(t.ppf(0.975, f)) for f in freedom],
    },
    sys.stdout,
    indent=1,
)
print()
