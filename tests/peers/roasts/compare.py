"""Batch roasts: our kernel beside numba, diffsol, SUNDIALS' CVODE and SciPy's LSODA, round by round in one run on one core.

Called by ../compare-roasts.sh. The same roasts, drawn by our benchmark, go through all of them (solvers with adaptive steps: equations.py and programs; numba: lanes.py). Errors are those of the reading at
every second: in the real problem against the twin's explicit reference of 32 shells, in the smooth one (see equations.py) against RK4 in
1/32 s on the same four radii, which shows the error in time alone and so flatters the peers. Each peer is taken at the quickest of
its tolerances that keeps within the error we are allowed. Ratios are those of the best rounds: a busy machine only makes one slower.
"""
import argparse
import pathlib
import statistics
import subprocess
import sys
import time

import numpy as np

import equations as eq
import lanes

# Greatest error of the reading, K.
ALLOWED_K = 0.05
# Beginning of a peer's names, its name here, what the issue aims at, and the least below which this fails. The floors are wide, for
# noise: a busy two-core machine moves a ratio by half.
PEERS = [
    ("numba", "numba, same scheme and figures, f64", 2, 0.6),
    ("diffsol", "diffsol", 10, 5),
    ("CVODE", "SUNDIALS CVODE", 60, 30),
    ("LSODA", "SciPy LSODA", 1000, 300),
]


class Problem:
    """What the benchmark drew, with the readings as they should be."""

    def __init__(self, bench, folder, checked):
        drawn = subprocess.run([bench, "--roasts"], check=True, capture_output=True, text=True).stdout
        numbers = iter(drawn.split())
        take = lambda *shape: np.array([float(next(numbers)) for _ in range(int(np.prod(shape)))]).reshape(shape)
        count, known, seconds = (int(x) for x in take(3))
        self.setpoint, self.air = take(seconds), take(seconds)
        self.rows, self.real = take(count, 23), take(known, seconds)
        self.checked, self.even = min(checked, known), 0.95
        even = np.full(seconds, self.even)
        self.efforts, self.smooth = np.empty((self.checked, seconds)), np.empty((self.checked, seconds))
        for i in range(self.checked):
            for follow in (False, True):
                eq.fine(self.rows[i], self.setpoint, even, eq.SHARE, eq.ACROSS, eq.COND, eq.GROUP, 32, self.smooth[i], self.efforts[i], follow)
        self.path = folder / "problem.txt"
        parts = [[self.checked, seconds], eq.SHARE, eq.ACROSS.ravel(), eq.COND, eq.GROUP, eq.SCALES, [self.even], self.setpoint, self.air]
        for i in range(self.checked):
            parts += [self.rows[i], self.efforts[i], self.smooth[i], self.real[i]]
        self.path.write_text("\n".join(" ".join(repr(float(x)) if k else str(int(x)) for x in part) for k, part in enumerate(parts)))


class Table:
    """Times in µs and errors in K, by name and kind of problem."""

    def __init__(self):
        self.times, self.errors = {}, {}

    def enter(self, name, kind, us, error_k):
        self.times.setdefault((name, kind), []).append(float(us))
        self.errors[name, kind] = float(error_k)

    def enter_program(self, command):
        """A program that prints: name | kind | µs | K."""
        text = subprocess.run([str(part) for part in command], check=True, capture_output=True, text=True).stdout
        for line in text.splitlines():
            if line.count(" | ") == 3:
                self.enter(*line.split(" | "))

    def median(self, key):
        return statistics.median(self.times[key])

    def least(self, key):
        return min(self.times[key])

    def quickest(self, start):
        """The quickest entry of a peer within the allowed error; none if there's none."""
        fit = [key for key in self.times if key[0].startswith(start) and self.errors[key] <= ALLOWED_K]
        return min(fit, key=self.least, default=None)


def numba_peers(problem):
    """numba with the kernel's own scheme: name, roasts a call, call."""
    for figures, told in ((True, "figures"), (False, "readings alone")):
        for width, number in ((16, np.float64), (32, np.float64), (32, np.float32), (64, np.float32)):
            batch = lanes.kernel(width, number, figures)
            start = "numba f64" if number is np.float64 else "f32 numba"
            start = start if figures else f"({start})"
            call = lambda batch=batch: batch(problem.rows, problem.setpoint, problem.air)[0]
            yield f"{start}, {width} lanes, {told}", "real", len(problem.rows), call


def solver_peers(problem, is_short):
    """Solvers called from Python."""
    each = lambda f, n: (n, lambda: np.array([f(i) for i in range(n)]))
    few, more = (1, 2) if is_short else (2, 8)
    rows, even, kept = problem.rows, problem.even, problem.efforts
    for rtol in (1e-4, 3e-5, 1e-5):
        yield f"LSODA rtol {rtol:.0e}, numba right side", "smooth", *each(
            lambda i, rtol=rtol: eq.smooth_lsoda(eq.rates, rows[i], even, kept[i], rtol), more)
        yield f"CVODE BDF rtol {rtol:.0e}, scikit-sundae, numba right side", "smooth", *each(
            lambda i, rtol=rtol: eq.smooth_cvode(rows[i], even, kept[i], rtol), more)
    yield "LSODA rtol 1e-04, NumPy right side", "smooth", *each(lambda i: eq.smooth_lsoda(eq.interpreted, rows[i], even, kept[i], 1e-4), few)
    yield "LSODA rtol 1e-04, numba right side", "real", *each(
        lambda i: eq.real_lsoda(eq.rates, rows[i], problem.setpoint, problem.air, 1e-4), few)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("bench", help="binary of the twin's batch benchmark")
    parser.add_argument("folder", type=pathlib.Path, help="for the problem's files")
    parser.add_argument("--program", action="append", default=[], help="a peer that is called with the problem's file")
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--short", action="store_true")
    options = parser.parse_args()
    problem = Problem(options.bench, options.folder, 8 if options.short else 16)
    table = Table()
    here = [*numba_peers(problem), *solver_peers(problem, options.short)]
    if options.short:
        here = [peer for peer in here if not peer[0].startswith("(")]
    # The first call compiles and shows the error.
    for name, kind, count, call in here:
        known = problem.real if kind == "real" else problem.smooth
        least = min(count, len(known))
        table.errors[name, kind] = float(np.abs(call()[:least] - known[:least]).max())
    for _ in range(options.rounds):
        for name, kind, count, call in here:
            # As our benchmark does: the median of five where a call is short.
            took = []
            for _ in range(5 if count > 100 else 1):
                begin = time.perf_counter()
                call()
                took.append((time.perf_counter() - begin) / count * 1e6)
            table.enter(name, kind, statistics.median(took), table.errors[name, kind])
        table.enter_program([options.bench, "--time"])
        for program in options.program:
            table.enter_program([program, problem.path])
    return report(table, options.rounds)


def report(table, rounds):
    """Prints the table and what it comes to; tells whether a floor is broken."""
    ours, single = (min((k for k in table.times if k[0].startswith(f"chaffinch {p}")), key=table.least) for p in ("Double", "Single"))
    print(f"µs a roast of 600 s on one core: least of {rounds} interleaved rounds (median), times our f64, greatest error")
    for key in sorted(table.times, key=table.least):
        median, least = table.median(key), table.least(key)
        print(f"{least:11.2f} ({median:9.2f})  {least / table.least(ours):8.1f} x  {table.errors[key]:.4f} K  {key[1]:6}  {key[0]}")
    broken = []
    for key in (ours, single):
        if not table.errors[key] <= ALLOWED_K:
            broken.append(f"{key[0]}: {table.errors[key]:.4f} K, more than {ALLOWED_K}")
    for start, name, aim, floor in PEERS:
        key = table.quickest(start)
        if key is None:
            if any(key[0].startswith(start) for key in table.times):
                print(f"{name}: nothing within {ALLOWED_K} K")
            continue
        ratio = table.least(key) / table.least(ours)
        print(f"{name}: {ratio:.1f} x as long as our f64, {table.least(key) / table.least(single):.1f} x as our f32"
              f" (aim {aim}, {'met' if ratio >= aim else 'NOT met'}; fails below {floor}): {key[0]}")
        if ratio < floor:
            broken.append(f"{name}: {ratio:.2f}, less than {floor}")
    for line in broken:
        print(f"broken: {line}")
    return len(broken)


if __name__ == "__main__":
    sys.exit(main() > 0)
