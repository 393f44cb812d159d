"""Writes tests/reference/16_shape/*-solution.csv: the quadratic programmes of shaping, solved by quadprog.

quadprog is the dual active-set method of Goldfarb and Idnani (Mathematical Programming 27, 1983), another kind of method than the
interior-point solver of the program. The problems beside the solutions are written by the program's own test
(crates/craft/tests/shape_programmes.rs). Run from the workspace root, with numpy and quadprog: python tests/peers/shape.py, or with
--check to see whether the solutions still are what it computes.
"""
import csv
import importlib.metadata
import pathlib
import sys

import numpy as np
import quadprog

FOLDER = pathlib.Path("tests/reference/16_shape")


def problem(path):
    """P, q, and the rows A x >= b, of which the first `equations` hold as equations."""
    parts = {}
    with open(path, newline="") as file:
        for line in list(csv.reader(file))[1:]:
            parts.setdefault(line[0], []).append((int(line[1] or 0), int(line[2] or 0), float(line[3])))
    count = int(parts["variables"][0][2])
    p, q = np.zeros((count, count)), np.zeros(count)
    for row, column, value in parts["p"]:
        p[row, column] = p[column, row] = value
    for row, _, value in parts["q"]:
        q[row] = value
    a = np.zeros((1 + max(row for row, _, _ in parts["a"]), count))
    for row, column, value in parts["a"]:
        a[row, column] += value
    least = {row: value for row, _, value in parts.get("least", [])}
    most = {row: value for row, _, value in parts.get("most", [])}
    equal = [row for row in least if row in most and least[row] == most[row]]
    rows = [(a[row], least[row]) for row in equal]
    rows += [(a[row], value) for row, value in least.items() if row not in equal]
    rows += [(-a[row], -value) for row, value in most.items() if row not in equal]
    return p, q, np.array([row for row, _ in rows]), np.array([bound for _, bound in rows]), len(equal)


def solution(path):
    p, q, a, b, equations = problem(path)
    # Each row and each variable in its own size, so that the method's tolerances mean the same everywhere.
    scale = 1 / np.sqrt(np.diag(p))
    a = a * scale
    size = np.linalg.norm(a, axis=1)
    x = quadprog.solve_qp(p * np.outer(scale, scale), -q * scale, (a / size[:, None]).T, b / size, equations)[0]
    broken = b - a @ x
    broken[:equations] = np.abs(broken[:equations])
    assert broken.max() < 1e-7, f"{path}: breaks a row by {broken.max()}"
    x = x * scale
    return x, x @ p @ x / 2 + q @ x


def problems():
    return sorted(path for path in FOLDER.glob("*.csv") if not path.stem.endswith("-solution"))


def kept_path(path):
    return path.with_name(f"{path.stem}-solution.csv")


def write():
    for path in problems():
        x, objective = solution(path)
        with open(kept_path(path), "w", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(["part", "row", "column", "value"])
            writer.writerow(["objective", "", "", repr(float(objective))])
            writer.writerows(["x", index, "", repr(float(value))] for index, value in enumerate(x))
    versions = [f"{name} {importlib.metadata.version(name)}\n" for name in ("numpy", "quadprog")]
    (FOLDER / "versions.txt").write_text(f"python {sys.version.split()[0]}\n" + "".join(versions))


def check():
    """Compares with what is there: objectives to 1e-8, variables to 1e-5, for another processor rounds otherwise."""
    for path in problems():
        x, objective = solution(path)
        with open(kept_path(path), newline="") as file:
            values = [float(line[3]) for line in list(csv.reader(file))[1:]]
        off = abs(objective - values[0]) / max(1, abs(values[0]))
        apart = np.abs(x - np.array(values[1:])).max()
        print(f"{path.stem}: objective {off:.1e}, variables {apart:.1e} apart")
        if off > 1e-8 or apart > 1e-5:
            sys.exit(f"{kept_path(path)} is not what this script computes")


check() if sys.argv[1:] == ["--check"] else write()
