"""Windows and Kaiser's shape parameter by scipy, for windows.test.ts.

Run: python3 tests/reference/scipy/windows.py > tests/reference/scipy/windows.json
"""

import json
import sys

import scipy
from scipy.signal import get_window, kaiser_beta
from scipy.signal.windows import kaiser

json.dump(
    {
        "source": f"scipy {scipy.__version__}, signal.get_window, windows.kaiser, kaiser_beta",
        "hann": {str(n): get_window("hann", n).tolist() for n in (1, 2, 7, 16)},
        "kaiser": [
            {"size": n, "beta": beta, "window": kaiser(n, beta).tolist()}
            for n, beta in ((1, 5.0), (2, 3.0), (9, 0.0), (10, 8.6), (15, 14.0))
        ],
        "beta": [
            {"attenuationDb": db, "beta": float(kaiser_beta(db))}
            for db in (10, 21, 21.5, 30, 50, 50.5, 80, 120)
        ],
    },
    sys.stdout,
    indent=1,
)
print()
