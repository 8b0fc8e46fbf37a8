#!/usr/bin/env python3
"""Outside check of wing sections: girths and points against scipy, and against public ordinate files.

Needs numpy and scipy, and the ordinate files of the wheel aerosandbox 4.2.10 (none of them is kept here):

    pip download --no-deps --no-binary=:none: aerosandbox==4.2.10
    unzip -j aerosandbox-4.2.10-*.whl 'aerosandbox/geometry/airfoil/airfoil_database/*.dat' -d FOLDER
    python tests/outside/surface.py FOLDER DUMP_SECTIONS   (our example of that name, built)

Three questions, each with its own bound on a 60 in chord:
 1. Is the girth of the curve through a file's rows that of scipy's cubic spline through the same rows (0.01 in)?
    scipy's is refitted by its own arc length until it no longer changes, ends not-a-knot: another way to the same.
 2. Are the generated NACA sections those of files that follow the formula? Distance of every row of the file
    from the generated curve (0.02 in; files are rounded and some close the trailing edge).
 3. Does every file of the folder get read or refused in words, and how many?
Exits 1 with a list if anything fails.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
from scipy.interpolate import CubicSpline

CHORD_IN = 60.0
CURVES = ["goe398", "raf15", "usa35b", "nacam6", "m6", "n22", "naca23012", "rhodesg36", "clarky"]
FORMULA = {"naca1412": "1412", "naca2410": "2410", "naca6412": "6412", "naca0012": "0012", "naca23012": "23012"}
GIRTH_IN = 0.01
ROW_IN = 0.02


def numbers(path):
    rows = []
    for line in path.read_text(errors="replace").splitlines():
        try:
            row = [float(v) for v in line.replace(",", " ").split()]
        except ValueError:
            continue
        if len(row) == 2:
            rows.append(row)
    return np.array(rows)


def loop(rows):
    """One loop from the upper trailing edge; these files come as a loop or as two lists from the nose."""
    if rows[0][0] > 1.5:
        rows = rows[1:]
    if rows[0, 0] < 0.5:
        cut = next(i for i in range(1, len(rows)) if rows[i, 0] < 0.5 < rows[i - 1, 0])
        rows = np.vstack([rows[:cut][::-1], rows[cut:]])
    keep = np.r_[True, np.hypot(*np.diff(rows, axis=0).T) > 1e-7]
    rows = rows[keep]
    x, y = rows.T
    return rows[::-1] if np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) < 0 else rows


def length(points):
    return np.hypot(*np.diff(points, axis=0).T).sum()


def scipy_girths(rows):
    far = np.hypot(*rows.T)
    nose = int(np.argmin(far)) if far.min() <= 0.01 else int(np.argmin(rows[:, 0]))
    knots = np.r_[0, np.cumsum(np.hypot(*np.diff(rows, axis=0).T))]
    for _ in range(8):
        curve = CubicSpline(knots, rows, bc_type="not-a-knot")
        steps = [length(curve(np.linspace(a, b, 400))) for a, b in zip(knots[:-1], knots[1:])]
        knots = np.r_[0, np.cumsum(steps)]
    curve = CubicSpline(knots, rows, bc_type="not-a-knot")
    dense = lambda a, b: length(curve(np.linspace(a, b, 100_001)))
    return dense(0, knots[nose]), dense(knots[nose], knots[-1]), length(rows[: nose + 1]), length(rows[nose:])


def off_curve(rows, curve):
    """Greatest distance of rows from a polyline."""
    a, v = curve[:-1], np.diff(curve, axis=0)
    worst = 0.0
    for p in rows:
        share = np.clip(((p - a) * v).sum(1) / (v * v).sum(1), 0, 1)
        worst = np.maximum(worst, np.hypot(*(p - a - v * share[:, None]).T).min())
    assert np.isfinite(worst) and len(rows) > 10
    return worst


def naca(digits):
    """The published formula, written out once more: dense points of both faces."""
    u = np.linspace(0, 1, 20_001)
    x, t = u * u, int(digits[-2:]) / 100
    half = 5 * t * (0.2969 * u - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)
    if len(digits) == 4:
        m, p = int(digits[0]) / 100, int(digits[1]) / 10 or 0.5
        fore, k = x < p, np.where(x < p, m / p**2, m / (1 - p) ** 2)
        y, slope = k * np.where(fore, 2 * p * x - x * x, 1 - 2 * p + 2 * p * x - x * x), 2 * k * (p - x)
    else:
        r, k = {"230": (0.2025, 15.957)}[digits[:3]]
        fore = x < r
        y = k / 6 * np.where(fore, x**3 - 3 * r * x * x + r * r * (3 - r) * x, r**3 * (1 - x))
        slope = k / 6 * np.where(fore, 3 * x * x - 6 * r * x + r * r * (3 - r), -(r**3))
    normal = np.c_[-slope, np.ones_like(slope)] / np.hypot(slope, 1)[:, None]
    middle = np.c_[x, y]
    return middle + half[:, None] * normal, middle - half[:, None] * normal


def main():
    folder = pathlib.Path(sys.argv[1])
    failures = []
    with tempfile.TemporaryDirectory() as temp:
        for path in folder.glob("*.dat"):
            # Some of these files end with a line of text; a line of text after the title is refused by design.
            lines = path.read_text(errors="replace").splitlines()
            kept = lines[:1] + [l for l in lines[1:] if l[:1] in " \t+-.0123456789" or not l.strip()]
            (pathlib.Path(temp) / path.name).write_text("\n".join(kept) + "\n")
        command = [sys.argv[2], temp, *FORMULA.values()]
        ours = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)

    print("girth, 60 in chord      upper in    by scipy     diff    lower in    by scipy     diff   straight joins lose")
    for name in CURVES:
        got = ours[f"{name}.dat"]
        if "problems" in got:
            failures.append(f"{name}: refused: {got['problems'][:3]}")
            continue
        upper, lower, straight_up, straight_down = (CHORD_IN * g for g in scipy_girths(loop(numbers(folder / f"{name}.dat"))))
        up, down = CHORD_IN * got["upper"]["girth"], CHORD_IN * got["lower"]["girth"]
        lost = up + down - straight_up - straight_down
        print(f"{name:20} {up:11.4f} {upper:11.4f} {up - upper:+8.4f} {down:11.4f} {lower:11.4f} {down - lower:+8.4f} {lost:10.3f}")
        if max(abs(up - upper), abs(down - lower)) > GIRTH_IN:
            failures.append(f"{name}: girth differs from scipy's by {up - upper:+.4f} and {down - lower:+.4f} in")

    print("\nNACA by formula         girth against the formula written out here; worst row of the public file, in")
    for name, digits in FORMULA.items():
        got, faces = ours[f"naca:{digits}"], naca(digits)
        girth = max(abs(got[f]["girth"] - length(d)) * CHORD_IN for f, d in zip(("upper", "lower"), faces))
        points = max(
            off_curve(np.array(got[f]["points"]), d) * CHORD_IN for f, d in zip(("upper", "lower"), faces)
        )
        row = off_curve(loop(numbers(folder / f"{name}.dat")), np.vstack([faces[0][::-1], faces[1][1:]])) * CHORD_IN
        print(f"{name:20} {girth:.2e} girth  {points:.2e} points  {row:.4f} worst row")
        if girth > 1e-5 or points > 1e-5 or row > ROW_IN:
            failures.append(f"{name}: girth off {girth} in, points off {points} in, file row off {row} in")

    refused = [n for n, v in ours.items() if "problems" in v]
    print(f"\n{len(ours) - len(FORMULA)} files, {len(refused)} refused in words, none by a crash")
    remarked = sum(bool(v.get("remarks")) for v in ours.values())
    print(f"{remarked} read with a remark")
    for failure in failures:
        print("FAIL", failure)
    sys.exit(bool(failures))


if __name__ == "__main__":
    main()
