"""Response of digital filters by scipy's sosfreqz, for response.test.ts.

Run: python3 tests/reference/scipy/response.py > tests/reference/scipy/response.json
"""

import json
import sys

import numpy as np
import scipy
from scipy.signal import butter, sosfreqz

rate = 48000
hz = 1000 * 10 ** (np.arange(-136, 105, 2) / 80)
filters = {
    "second-order low cut at 80 Hz": butter(2, 80, "highpass", fs=rate, output="sos"),
    "third-order high cut at 9 kHz": butter(3, 9000, "lowpass", fs=rate, output="sos"),
}
out = {"source": f"scipy {scipy.__version__}, signal.butter and sosfreqz", "filters": []}
for name, sos in filters.items():
    _, h = sosfreqz(sos, worN=hz, fs=rate)
    _, at1k = sosfreqz(sos, worN=[1000], fs=rate)
    db = 20 * np.log10(np.abs(h) / np.abs(at1k[0]))
    out["filters"].append({"name": name, "sos": sos.tolist(), "hz": hz.tolist(), "db": db.tolist()})
json.dump(out, sys.stdout, indent=1)
print()
