"""Stripes along something on a scan, held against exact ways over the scan's own triangles.

Usage: scan_stripes.py BUILD HANGAR [--off MM]

The sample cowl (hangar 66), with a stripe along the shortest way between two of its points added. From `plan.json` the middles
in space, from `dump_skin` the triangles as smoothed; pygeodesic 0.1.11 (MIT, the exact algorithm of Mitchell, Mount and
Papadimitriou) gives the shortest ways.

* The seam is drawn by pygeodesic itself between the points of the job; from places of the pin stripe's middle the shortest way
  to points half a millimetre apart along it is an inch, within the error the plan states.
* The stripe along the shortest way is as long as that way, within 1e-4 in, and lies on it.
* Along the waterline every place is at its height (plain arithmetic in the axes the job states), within the error stated.
* The mirror image has the stations and heights of the other side: its places lie within the errors stated of it.

--off reads the pin so much farther from its seam: a check that cannot fail is none.
"""

import json
import pathlib
import subprocess
import sys
import tempfile
import tomllib

import numpy as np
from roundtrip import Skin

IN = 25.4
STEP = 0.5
# Beside the nearest of points half a millimetre apart, a quarter of it off, a way of an inch is longer by this at most.
SHORT = 0.25**2 / 2 / IN
# Places in a plan are rounded to a thousandth, in each of three numbers.
ROUNDED = 0.001
LENGTH = 1e-4 * IN
ENDS = ([120.0, 60.0, 289.3], [700.0, -170.0, 429.1])


def height(job, p):
    axes = job["surface"][0]["axes"]
    return (np.asarray(p) - axes["datum"]) @ np.array(axes["up"], float)


def read(job, p):
    axes = job["surface"][0]["axes"]
    up, aft = np.array(axes["up"], float), np.array(axes["aft"], float)
    d = np.asarray(p) - axes["datum"]
    return np.stack([d @ aft, d @ np.cross(up, aft), d @ up], axis=-1)


def to_line(p, line):
    a, b = line[:-1], line[1:]
    share = np.clip(((p - a) * (b - a)).sum(1) / ((b - a) ** 2).sum(1), 0, 1)
    return float(np.linalg.norm(a + (b - a) * share[:, None] - p, axis=1).min())


def main():
    off = float(sys.argv[sys.argv.index("--off") + 1]) if "--off" in sys.argv else 0.0
    build, hangar = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    sample = hangar / "66-cowl-scan-stripes"
    text = (sample / "job.toml").read_text(encoding="utf-8")
    straight = f'[[stripe]]\nid = "way"\nsurface = "cowl-left"\nalong = {{ straight = {list(map(list, ENDS))} }}\nwidth = 0.25\n\n'
    text = text.replace("[masking]", straight + "[masking]", 1)
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "job.toml"
        path.write_text(text, encoding="utf-8")
        (path.parent / "cowl.stl").write_bytes((sample / "cowl.stl").read_bytes())
        run = lambda *a: json.loads(subprocess.run(a, check=True, capture_output=True).stdout)  # noqa: E731
        plan, whole = run(build / "examples/dump_plan", path), run(build / "examples/dump_skin", path, "cowl-left")
    job = tomllib.loads(text)
    stripes = {s["id"]: np.array(s["middle_xyz_mm"]) for s in plan["stripes"]}
    said = {f["id"]: f["measured"] for f in plan["findings"]}
    bad = 0

    def tell(good, words):
        nonlocal bad
        bad += not good
        print(f"{'ok  ' if good else 'BAD '} {words}")

    # The pin beside its seam.
    seam = job["surface"][0]["feature"][0]["path"]
    skin = Skin(whole["points"], whole["triangles"], np.array(seam[1], float), 2000.0)
    corners = [skin.put(np.array(p, float))[0] for p in seam]
    ways = skin.ways()
    legs = [ways.geodesicDistance(a, b)[1] for a, b in zip(corners, corners[1:])]
    line = np.vstack(legs)
    pin = stripes["pin"]
    samples = pin[np.linspace(4, len(pin) - 5, 13).astype(int)]
    pairs = []
    for p in samples:
        at, far = skin.put(p)
        near = line[np.argmin(np.linalg.norm(line - p, axis=1))]
        beside = []
        for a, b in zip(line[:-1], line[1:]):
            n = int(np.ceil(np.linalg.norm(b - a) / STEP))
            beside += [a + (b - a) * k / n for k in range(n)] if n else []
        beside = [q for q in beside if np.linalg.norm(q - near) < 14.0]
        pairs.append((at, [skin.put(q)[0] for q in beside], far))
    ways = skin.ways()
    found = [float(np.min(ways.geodesicDistances(np.array([at]), np.array(others))[0])) for at, others, _ in pairs]
    error = said["stripe-along-pin"] + ROUNDED + SHORT
    worst = max(abs(d - (IN + off)) for d in found)
    tell(
        worst <= error and max(far for *_, far in pairs) < 0.01,
        f"{len(found)} places of the pin are an inch from the seam by pygeodesic within {worst:.4f} mm; {error:.4f} is stated",
    )

    # The shortest way.
    skin = Skin(whole["points"], whole["triangles"], np.array(ENDS[0]), 2000.0)
    a, b = (skin.put(np.array(p))[0] for p in ENDS)
    long, way = skin.ways().geodesicDistance(a, b)
    stated = next(s for s in plan["stripes"] if s["id"] == "way")["length_mm"]
    apart = max(to_line(p, np.array(way)) for p in stripes["way"])
    tell(
        abs(stated - long) <= LENGTH + ROUNDED and apart <= said["stripe-along-way"] + 0.01,
        f"the shortest way is {long:.4f} mm by pygeodesic, {stated:.4f} stated; its middle lies on it within {apart:.4f} mm",
    )

    # The waterline, and its mirror image.
    wrong = np.abs(height(job, stripes["red"]) - IN).max()
    tell(wrong <= said["stripe-along-red"] + 0.05, f"red keeps its waterline within {wrong:.4f} mm")
    for own, other in (("red-right", "red"), ("gold-right", "gold")):
        left, right = read(job, stripes[other]), read(job, stripes[own])
        assert (left[:, 1] < 0).all() and (right[:, 1] > 0).all()
        flat = np.array([[1, 0], [0, 0], [0, 1]], float)
        apart = max(to_line(p, left @ flat) for p in right @ flat)
        moved = max(to_line(p, left * [1, -1, 1]) for p in right)
        error = said[f"stripe-mirror-{own}"] + 0.05
        tell(
            apart <= error and moved <= said[f"stripe-mirror-moved-{own}"] + 0.05 and 1.0 < moved,
            f"{own} has the stations and heights of {other} within {apart:.4f} mm ({error:.4f} stated) and was brought out by {moved:.2f}",
        )
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
