import json
import sys
import time

import numpy as np

given = json.load(sys.stdin)
n = given["draws"]
best = float("inf")
for repeat in range(given["repeats"] + 1):
    random = np.random.default_rng(1)
    start = time.perf_counter()
    total = np.zeros(n)
    for link in given["links"]:
        if link["Shape"] == 1:
            total += link["Sensitivity"] * random.uniform(link["Low"], link["High"], n)
        else:
            total += link["Sensitivity"] * random.normal(link["Value"], link["U"], n)
    mean, u = total.mean(), total.std(ddof=1)
    low, high = np.percentile(total, [2.5, 97.5])
    best = min(best, time.perf_counter() - start)
json.dump({"Version": "numpy " + np.__version__, "Seconds": best, "Mean": mean, "U": u, "Low": low, "High": high}, sys.stdout)
