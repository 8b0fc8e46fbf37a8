"""What lies on a scan: the clearance a plan states, held against the shortest way over the scan's own triangles.

Usage: scan_features.py BUILD HANGAR [--larger MM]

The sample fairing (hangar 62) with its number where the job puts it, with the hole for the valve moved closer, and with a
number whose place is searched beside a hole at its aim. The program plans each; here the scan as it is marked
(`dump_skin`), the hole's middle from the job file and the painted outlines in space from `plan.json` are taken, and
pygeodesic 0.1.11 (MIT, the exact algorithm of Mitchell, Mount and Papadimitriou) gives the shortest way from the hole's
middle to points a millimetre apart along every painted edge near it.

* The least of those ways less the hole's radius and the clearance asked is the clearance stated, but for what the steps
  along the edges and the rounding of the plan leave between: far within the length error stated for the characters' charts.
* A place that was searched keeps the clearance asked.

--larger reads the hole so much larger than the job says: a check that cannot fail is none.
"""

import json
import pathlib
import subprocess
import sys
import tempfile
import tomllib

import numpy as np
from roundtrip import Skin

# Points along an edge are so far apart, mm: beside the nearest, half of it off, a way of 10 mm is longer by 0.0125.
STEP = 1.0
SHORT = 0.0125
# Places in a plan are rounded to a thousandth, and off the straight pattern by less than this between its corners.
ROUNDED = 0.02

PLACE = "place = { at = [330, 120, 0], toward = [200, 120, 0] }"
AIM = """aim = [329.7, 116.9, 0]
toward = [200, 120, 0]
within = [[170, 84, 90], [520, 75, 80], [520, 75, -80], [170, 84, -90]]"""


def jobs(text):
    hole = "at = [240, 116.6, -25]"
    assert hole in text and PLACE in text
    return [
        ("as it is", text),
        ("hole moved closer", text.replace(hole, "at = [248, 117.6, -20]")),
        ("hole between letters and seam", text.replace(hole, "at = [300, 110, -62]").replace('"1 1/2 in"', '"1/2 in"')),
        ("searched beside a hole at its aim", text.replace(hole, "at = [329.7, 116.9, 0]").replace(PLACE, AIM)),
    ]


def edges(mark):
    """Pairs of neighbouring corners of the paint in space."""
    for glyph in mark["glyphs"]:
        for ring in glyph["rings_xyz_mm"]:
            points = np.array(ring)
            yield from zip(points, np.roll(points, -1, axis=0), strict=True)


def main():
    larger = float(sys.argv[sys.argv.index("--larger") + 1]) if "--larger" in sys.argv else 0.0
    build, hangar = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    sample = hangar / "62-fairing-scan"
    bad = 0
    for name, text in jobs((sample / "job.toml").read_text(encoding="utf-8")):
        with tempfile.TemporaryDirectory() as folder:
            path, out = pathlib.Path(folder) / "job.toml", pathlib.Path(folder) / "out"
            path.write_text(text, encoding="utf-8")
            (path.parent / "fairing.stl").write_bytes((sample / "fairing.stl").read_bytes())
            done = subprocess.run([build / "maskwright", "plan", path, "-o", out, "--only", "patterns"], capture_output=True, text=True)
            if done.returncode == 2:
                print(done.stderr)
                return 1
            plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
            dump = [build / "examples/dump_skin", path, "fairing"]
            whole = json.loads(subprocess.run(dump, check=True, capture_output=True).stdout)
        mark, feature = plan["marks"][0], tomllib.loads(text)["surface"][0]["feature"][0]
        stated = next(f for f in mark["fit"]["features"] if f["id"] == feature["id"])
        asked = next(f for f in plan["surfaces"][0]["features"] if f["id"] == feature["id"])["clearance_mm"]
        radius = {"1 1/2 in": 38.1, "1/2 in": 12.7}[feature["diameter"]] / 2 + larger
        middle = np.array(feature["at"], float)
        skin = Skin(whole["points"], whole["triangles"], middle, 250.0)
        source, off = skin.put(middle)
        middle = np.array(skin.points[source])
        samples = []
        for a, b in edges(mark):
            n = max(1, int(np.ceil(np.linalg.norm(b - a) / STEP)))
            samples += [a + (b - a) * k / n for k in range(n)]
        far = np.linalg.norm(np.array(samples) - middle, axis=1)
        near = [p for p, d in zip(samples, far, strict=True) if d < far.min() + 6.0]
        corners = [skin.put(p)[0] for p in near]
        ways, _ = skin.ways().geodesicDistances(np.array([source]), np.array(corners))
        measured = float(np.min(ways)) - radius - asked
        error = ROUNDED + SHORT
        good = abs(measured - stated["clearance_mm"]) <= error and off < 0.6
        if "searched" in name:
            good &= mark["fit"]["status"] == "placed" and measured >= 0
        bad += not good
        print(
            f"{'ok  ' if good else 'BAD '} {name}: {stated['clearance_mm']:.3f} mm over what is asked, {measured:.3f} the shortest "
            f"way by pygeodesic over {len(near)} points of paint; {error:.3f} may be between"
        )
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
