"""Stripes beside shapely, which buffers and measures by its own code: edges, gaps, tapers, areas, clearances.

Usage: stripes.py DUMP_PLAN HANGAR [--wider MM]
"""

import argparse
import json
import pathlib
import subprocess
import sys

from shapely.geometry import LineString, Point, Polygon, box

IN = 25.4
TOLERANCE = 0.01


def plan(dump, job):
    return json.loads(subprocess.run([dump, str(job)], check=True, capture_output=True).stdout)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("dump")
    parser.add_argument("hangar", type=pathlib.Path)
    parser.add_argument("--wider", type=float, default=0.0)
    args = parser.parse_args()
    wrong, asked = [], 0

    def near(what, got, want, within):
        nonlocal asked
        asked += 1
        if not abs(got - want) <= within:
            wrong.append(f"{what}: {got:.4f}, wanted {want:.4f}")

    # The side of the aircraft: closed forms by hand, clearances by shapely.
    side = plan(args.dump, args.hangar / "51-side-stripes" / "job.toml")
    of = {s["id"]: s for s in side["stripes"]}
    red, gold = (Polygon(of[name]["rings_flat_mm"][0]) for name in ("red", "gold"))
    near("area of red, in2", red.area / IN**2, (264 - 14) * 4 + 14 * 4 / 2, 1e-4)
    near("gap, in", red.distance(gold) / IN, 0.5, TOLERANCE / IN)
    window = box(125 * IN, 12 * IN, 150 * IN, 24 * IN)
    near("red over the window, in", red.distance(window) / IN, 1.0, TOLERANCE / IN)
    near("clearance of red", of["red"]["clearance_mm"], red.distance(window) - IN, TOLERANCE)
    for name, shape in (("red", red), ("gold", gold)):
        for row in of[name]["stations"]:
            inside = min(max(row["s_mm"], shape.bounds[0] + 0.01), shape.bounds[2] - 0.01)
            cut = shape.intersection(LineString([(inside, -1e4), (inside, 1e4)]))
            near(f"{name} at {row['s_mm']}, lower", row["lower_t_mm"], cut.bounds[1], TOLERANCE)
            near(f"{name} at {row['s_mm']}, upper", row["upper_t_mm"], cut.bounds[3], TOLERANCE)
    for paint, shape in (("red", red), ("gold", gold)):
        told = next(p for p in side["paint"] if p["id"] == paint)
        near(f"painted {paint}, m2", told["area_painted_m2"], shape.area / 1e6, 1e-5)

    # A stripe of even width is its middle grown by half the width, its ends cut flat.
    for job in ("53-mirrored-cheat", "52-wing-stripe"):
        stripes = plan(args.dump, args.hangar / job / "job.toml")["stripes"]
        for stripe in stripes:
            middle = LineString(stripe["middle_flat_mm"])
            shape = Polygon(stripe["rings_flat_mm"][0])
            if not shape.is_valid:
                wrong.append(f"{stripe['id']}: its outline is not simple")
            near(f"length of {stripe['id']}", stripe["length_mm"], middle.length, 0.05)
            half = (stripe["width_mm"] + args.wider) / 2
            worst = max(Point(p).distance(middle) for edge in stripe["edges_flat_mm"] for p in edge)
            near(f"greatest half width of {stripe['id']}", worst, half, TOLERANCE)
            grown = middle.buffer(half + TOLERANCE, quad_segs=64)
            if not grown.contains(shape):
                wrong.append(f"{stripe['id']}: reaches beyond half its width")
            asked += 2
    pairs = {s["id"]: s for s in plan(args.dump, args.hangar / "53-mirrored-cheat" / "job.toml")["stripes"]}
    for name in ("cheat", "pin"):
        own, image = (Polygon(pairs[i]["rings_flat_mm"][0]) for i in (name, f"{name}-right"))
        turned = Polygon([(2400 - x, y) for x, y in image.exterior.coords])
        near(f"{name} and its image, mm2 apart", own.symmetric_difference(turned).area, 0.0, 0.01 * own.length)
    near(
        "gap made by tape, mm",
        Polygon(pairs["cheat"]["rings_flat_mm"][0]).distance(Polygon(pairs["pin"]["rings_flat_mm"][0])),
        6.35,
        0.02,
    )
    print(f"{asked} figures of stripes, {len(wrong)} wrong")
    print("\n".join(wrong[:20]))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
