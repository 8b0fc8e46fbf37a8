"""Marks on a ball, held against great circles.

Usage: curved.py FOLDER_OF_THE_PROGRAM [--stretch FACTOR]

A body lofted through 33 rings of a ball of 20 in radius, and a mark of four letters 6 in high on its left side. On a
ball the shortest way between two points is the great circle (closed form: radius times the angle between them; any
textbook of spherical geometry), and the Gaussian curvature is 1 / radius^2. From `plan.json` alone:

* every point of an outline in space lies on the ball;
* between any two corners of a character the way over the ball is as long as the straight line on its pattern, within
  the strain stated;
* no character's strain is below K R^2 / 12 of its inscribed disc (J. Milnor, A problem in cartography, 1969), nor
  above twice what least squares leaves at a rim, K R^2 / 8 of its outer corner;
* neighbours' middles are the stated distance apart along their great circle;
* readings of the mark's middle are those asked for.

--stretch makes the patterns larger by that factor: a check that cannot fail is none.
"""

import json
import math
import pathlib
import subprocess
import sys
import tempfile

INCH = 25.4
RADIUS = 20 * INCH
failures, checks = [], 0


def check(good, words):
    global checks
    checks += 1
    if not good:
        failures.append(words)


def job():
    rings = []
    for k in range(-16, 17):
        s = 20 * math.sin(k / 16 * 1.3)
        half = math.sqrt(400 - s * s)
        rings.append(f"{{ s = {s:.9f}, half_width = {half:.9f}, top = {half:.9f}, bottom = {-half:.9f}, power = 2.0 }}")
    return f"""title = "Ball"
units = "in"
[[surface]]
id = "ball"
kind = "body"
side = "left"
stations = [{", ".join(rings)}]
[[mark]]
id = "name"
surface = "ball"
text = "KTLH"
height = 6
place = {{ at = [1.5, 2.0] }}
"""


def main():
    stretch = float(sys.argv[sys.argv.index("--stretch") + 1]) if "--stretch" in sys.argv else 1.0
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "job.toml"
        path.write_text(job(), encoding="utf-8")
        program = pathlib.Path(sys.argv[1]) / "maskwright"
        subprocess.run([program, "plan", path, "-o", f"{folder}/out"], check=True, capture_output=True)
        plan = json.loads((pathlib.Path(folder) / "out/plan.json").read_text(encoding="utf-8"))
    mark = plan["marks"][0]
    check(not plan["surfaces"][0]["developable"], "a ball is said to unroll")
    s, t = mark["centre_skin_mm"]
    check(abs(s - 1.5 * INCH) < 0.01 and abs(t - 2 * INCH) < 0.01, f"middle at {s}, {t}")

    def way(p, q):
        cross = math.dist((0, 0, 0), (p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]))
        return RADIUS * math.atan2(cross, sum(a * b for a, b in zip(p, q, strict=True)))

    origins = []
    for glyph in mark["glyphs"]:
        chart, char = glyph["chart"], glyph["char"]
        origins.append(chart)
        corners = []
        for flat, space in zip(glyph["rings_flat_mm"], glyph["rings_xyz_mm"], strict=True):
            for p in space:
                off = math.dist(p, (0, 0, 0)) - RADIUS
                check(abs(off) < 0.02, f"{char}: a point lies {off} mm off the ball")
            corners += zip(flat, space, strict=True)
        for i, (a, p) in enumerate(corners):
            for b, q in corners[i + 1 :]:
                drawn = math.dist(a, b) * stretch
                off = way(p, q) - drawn
                check(abs(off) <= chart["max_strain"] * drawn + 0.01, f"{char}: {drawn} on paper, off by {off}")
        wide, tall = glyph["width_mm"] / 2, mark["height_mm"] / 2
        least, most = min(wide, tall) ** 2 / RADIUS**2 / 12, 2 * (wide**2 + tall**2) / RADIUS**2 / 8
        check(least <= chart["max_strain"] < most, f"{char}: strain {chart['max_strain']} not in {least} to {most}")
        check(chart["least_possible_strain"] <= chart["max_strain"], f"{char}: strain below its own bound")
        check(chart["rms_strain"] <= chart["p99_strain"] <= chart["max_strain"], f"{char}: strains out of order")
    for a, b in zip(origins, origins[1:], strict=False):
        apart = math.dist(a["origin_chart_mm"], b["origin_chart_mm"]) * stretch
        on_ball = way(a["origin_xyz_mm"], b["origin_xyz_mm"])
        check(abs(apart - on_ball) < 0.02, f"middles {apart} apart, {on_ball} on the ball")
    print(f"curved: {checks} checks, {len(failures)} failures")
    for failure in failures[:20]:
        print("  " + failure)
    return 1 if failures or checks < 200 else 0


if __name__ == "__main__":
    sys.exit(main())
