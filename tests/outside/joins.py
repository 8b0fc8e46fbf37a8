"""Stripes of one paint that meet or cross, beside shapely, which joins and grows shapes by its own code: on a flat, a wing
and a body. The paint is the union of the stripes, counted once; tape lies all along its edge and nowhere on it.

Usage: joins.py DUMP_PLAN HANGAR [--grown MM]
"""

import argparse
import json
import math
import pathlib
import subprocess
import sys
import tempfile

from shapely.geometry import Polygon
from shapely.ops import unary_union

SHOP = """
[masking]
edge_tapes = [ { width = "1/2 in", real = "12.7 mm", strain = 0.05 }, { width = "1/4 in", real = "6 mm", strain = 0.05 }, { width = "1/8 in", strain = 0.05 } ]
tack_tape = { width = "3/4 in", real = "18 mm" }
[[paint]]
id = "red"
colour = "#9c1f1f"
coats = [ { kind = "wet", film_um = 35 } ]
"""

# A stripe down the chord of a swept wing butts onto one along it, and another crosses it.
WING = """title = "wing"
units = "in"
[[surface]]
id = "wing"
kind = "wing"
half = "left"
side = "upper"
span = 150
chord = [60, 42]
sweep = 6
section = "naca2412"
[[stripe]]
id = "long"
surface = "wing"
through = [[10, 22], [60, 25], [140, 30]]
width = [4, 2]
paint = "red"
[[stripe]]
id = "rib"
surface = "wing"
along = { straight = [[40, 8], [52, 22.5]] }
width = 2
ends = ["round", "butt"]
paint = "red"
[[stripe]]
id = "slash"
surface = "wing"
along = { straight = [[90, 12], [104, 42]] }
width = 1.5
paint = "red"
"""

# On a body that curves both ways two stripes cross, and two more are mitred.
BODY = """title = "body"
units = "in"
[[surface]]
id = "left"
kind = "body"
side = "left"
stations = [
  { s = 0, half_width = 20, top = 20, bottom = -24, power = 2.2 },
  { s = 60, half_width = 21, top = 24, bottom = -24, power = 2.4 },
  { s = 120, half_width = 18, top = 21, bottom = -20, power = 2.3 },
  { s = 180, half_width = 13, top = 17, bottom = -13, power = 2.1 },
]
[[stripe]]
id = "level"
surface = "left"
along = { waterline = 0, from = 70, to = 110 }
width = 2
paint = "red"
[[stripe]]
id = "steep"
surface = "left"
along = { straight = [[86, -5], [94, 5]] }
width = 1.5
paint = "red"
[[stripe]]
id = "fore"
surface = "left"
along = { straight = [[134, -4], [142, 1]] }
width = 2
ends = ["square", "mitre"]
paint = "red"
[[stripe]]
id = "aft"
surface = "left"
along = { straight = [[142, 1], [151, 1]] }
width = 1.5
ends = ["mitre", "square"]
paint = "red"
"""


def shape(rings):
    """Outer rings counter-clockwise, holes clockwise."""
    outer = [Polygon(r) for r in rings if Polygon(r).exterior.is_ccw]
    holes = [Polygon(r) for r in rings if not Polygon(r).exterior.is_ccw]
    return unary_union([p.buffer(0) for p in outer]).difference(unary_union(holes))


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("dump")
    parser.add_argument("hangar", type=pathlib.Path)
    parser.add_argument("--grown", type=float, default=0.0)
    args = parser.parse_args()
    wrong, asked = [], 0

    def holds(what, got, most):
        nonlocal asked
        asked += 1
        if not got <= most:
            wrong.append(f"{what}: {got:.4f}, at most {most:.4f}")

    def plan(job):
        return json.loads(subprocess.run([args.dump, str(job)], check=True, capture_output=True).stdout)

    with tempfile.TemporaryDirectory() as folder:
        plans = {"flat": plan(args.hangar / "54-joined-stripes" / "job.toml")}
        for name, text in (("wing", WING), ("body", BODY)):
            job = pathlib.Path(folder) / f"{name}.toml"
            job.write_text(text + SHOP)
            plans[name] = plan(job)
    for name, got in plans.items():
        own = {s["id"]: shape(s["rings_flat_mm"]) for s in got["stripes"]}
        painted = {}
        joined = 0
        for mask in got["masking"]:
            ids = [mask["of"], *mask.get("with", [])]
            joined += len(ids) - 1
            paint = shape([r for glyph in mask["sprayed_rings_flat_mm"] for r in glyph])
            painted[mask["paint"]] = painted.get(mask["paint"], 0.0) + paint.area
            if name != "body":
                union = unary_union([own[i] for i in ids])
                off = paint.symmetric_difference(union).area
                holds(f"{name}: paint of {ids} beside the union of its stripes, mm2", off, 0.004 * union.length)
                if union.geom_type != "Polygon":
                    wrong.append(f"{name}: {ids} are not one outline")
            # Tape: none on the paint, and all within the gap of it covered, in the corners of the joints too.
            asked_of = paint.buffer(args.grown, join_style="mitre")
            pieces = [p for p in mask["pieces"] if p["kind"] != "layout"]
            tapes = [(p["id"], unary_union([Polygon(r) for r in p["footprint_flat_mm"]]).buffer(0)) for p in pieces]
            for piece, tape in tapes:
                holds(f"{name}: {piece} on paint, mm2", tape.intersection(asked_of).area, 0.02 * tape.length / 2 + 0.5)
            gap = 0.95 * mask["glyph_gaps_mm"][0]
            beside = asked_of.buffer(gap, quad_segs=32).difference(asked_of.buffer(0.03))
            holds(
                f"{name}: open skin beside {ids}, mm2",
                beside.difference(unary_union([t for _, t in tapes]).buffer(0.005)).area,
                0.5,
            )
        for paint, area in painted.items():
            told = next(p for p in got["paint"] if p["id"] == paint)["area_painted_m2"]
            holds(f"{name}: {paint} told {told} m2, the union is", abs(told - area / 1e6), 2e-5 if name == "body" else 5e-6)
        if joined < (5 if name == "flat" else 2):
            wrong.append(f"{name}: {joined} stripes joined to another")
    # Closed form on the body: near their crossing the skin is as good as flat, two bars share w1 w2 / sin(angle).
    body = plans["body"]
    own = {s["id"]: shape(s["rings_flat_mm"]).area for s in body["stripes"]}
    note = next(f for f in body["findings"] if f["id"] == "stripe-joined-steep")["message"]
    angle = math.radians(float(note.split("a cross of ")[1].split()[0]))
    mask = next(m for m in body["masking"] if "steep" in m.get("with", []))
    paint = shape([r for glyph in mask["sprayed_rings_flat_mm"] for r in glyph]).area
    shared = own["level"] + own["steep"] - paint
    holds("body: shared by two that cross, share", abs(shared / (50.8 * 38.1 / math.sin(angle)) - 1.0), 0.01)
    mitred = next(m for m in body["masking"] if "aft" in m.get("with", []))
    paint = shape([r for glyph in mitred["sprayed_rings_flat_mm"] for r in glyph]).area
    holds("body: two that are mitred share nothing, mm2", abs(own["fore"] + own["aft"] - paint), 0.002 * paint)
    print(f"{asked} figures of stripes that meet, {len(wrong)} wrong")
    print("\n".join(wrong[:20]))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
