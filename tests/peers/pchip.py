"""Median time of SciPy's PchipInterpolator for 1,000 values and derivatives, in ns.

Best-practice use: the interpolator and its derivative are built beforehand and each is called once on the whole array.
The knots are those of `crates/curve/benches/sampling.rs`.
"""

import statistics
import time

import numpy as np
from scipy.interpolate import PchipInterpolator

TIMES_S = [0, 30, 75, 130, 200, 260, 320, 380, 440, 500, 560, 630]
TEMPS_C = [24, 70, 110, 138, 160, 174, 185, 194, 202, 209, 215, 220.5]
CALLS_PER_RUN = 100
RUNS = 200


def main() -> None:
    value = PchipInterpolator(TIMES_S, TEMPS_C)
    rise = value.derivative()
    at = np.linspace(0.0, 630.0, 1000)
    runs = []
    for _ in range(RUNS):
        start = time.perf_counter_ns()
        for _ in range(CALLS_PER_RUN):
            value(at)
            rise(at)
        runs.append((time.perf_counter_ns() - start) / CALLS_PER_RUN)
    print(f"{statistics.median(runs):.1f}")


if __name__ == "__main__":
    main()
