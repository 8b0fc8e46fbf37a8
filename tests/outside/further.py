"""Checks slants, outlines and shadows of lettering with an outside geometry library (shapely, on GEOS).

    cargo run -p plan --example dump_further > further.json
    python tests/outside/further.py further.json

Exits 1 with a list of failures. `--wider 0.05` asks for outlines and shadows that much wider, mm: the check must
then fail.

  slant    each character is the upright one under `shapely.affinity.skew` about its own half height: what one has and
           the other has not is a band no wider than 0.006 mm, and the areas agree to 0.01 per cent
  outline  `buffer` with mitred corners, limit 3, less the letters: the same area to 0.01 per cent of letters and band
           together, and nowhere more than 0.02 mm apart
  shadow   the union of the letters moved by 0, 1/16, ... of the way is held by ours, and ours holds no more than the
           letters and every edge's own sweep (a convex hull of the edge at both ends) united
"""

import argparse
import json
import math
import sys

from shapely import MultiPolygon, Polygon, make_valid
from shapely.affinity import skew, translate
from shapely.geometry import MultiPoint
from shapely.ops import unary_union

SHARE = 1e-4
APART = 0.02


def solid(rings):
    """The area of rings: outer ones counter-clockwise, holes clockwise."""
    outer = [Polygon(r) for r in rings if area(r) > 0.0]
    holes = [Polygon(r) for r in rings if area(r) < 0.0]
    return unary_union(outer).difference(unary_union(holes))


def parts_of(rings):
    """As `solid`, where an island may lie in a hole: by how often rings go round."""
    shape = Polygon()
    for ring in sorted(rings, key=lambda r: -abs(area(r))):
        own = Polygon(ring)
        shape = shape.union(own) if area(ring) > 0.0 else shape.difference(own)
    return shape


def area(ring):
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1])) / 2.0


def wrong_with(mark, wider):
    wrong = []
    tangent = math.tan(math.radians(mark["slant_deg"]))
    leaning = [solid(g) for g in mark["leaning"]]
    for k, (upright, got) in enumerate(zip(mark["upright"], leaning)):
        middle = (0.0, mark["baselines"][k] + mark["height"] / 2.0)
        want = skew(solid(upright), xs=mark["slant_deg"], origin=middle)
        off = got.symmetric_difference(want)
        if abs(got.area / want.area - 1.0) > SHARE or off.area > 0.006 * want.length:
            wrong.append(f"character {k}: leaning area {got.area:.3f}, wanted {want.area:.3f}, off {off.area:.4f}")
        if abs(want.bounds[2] - got.bounds[2]) > 0.006 or tangent == 0.0 and off.area > 1e-6:
            wrong.append(f"character {k}: reaches {got.bounds[2]:.4f}, wanted {want.bounds[2]:.4f}")

    letters = unary_union(leaning)
    width = mark["outline"]["width"] + wider
    want = letters.buffer(width, join_style="mitre", mitre_limit=3.0)
    band = parts_of(mark["outline"]["rings"])
    whole = letters.area + band.area
    if abs(whole / want.area - 1.0) > SHARE:
        wrong.append(f"outline: area {whole:.2f}, wanted {want.area:.2f}")
    # Every edge of the band is an edge of the buffer or of the letters, and every edge of the buffer one of the band.
    strays = band.boundary.difference(unary_union([want.boundary, letters.boundary]).buffer(APART)).length
    missing = want.boundary.difference(band.boundary.buffer(APART)).length
    if strays + missing > 0.0:
        wrong.append(f"outline: {strays:.3f} mm of edge stray, {missing:.3f} mm are missing")

    x, y = mark["shadow"]["by"]
    way = math.hypot(x, y)
    by = (x * (1.0 + wider / way), y * (1.0 + wider / way))
    shadow = parts_of(mark["shadow"]["rings"])
    cast = letters.union(shadow.buffer(0.008))
    for k in range(17):
        missing = translate(letters, by[0] * k / 16, by[1] * k / 16).difference(cast)
        if missing.area > 0.006 * letters.length:
            wrong.append(f"shadow: {missing.area:.3f} mm2 are missing after {k} of 16 steps")
            break
    sweeps = [letters, translate(letters, *by)]
    for polygon in letters.geoms if isinstance(letters, MultiPolygon) else [letters]:
        for ring in [polygon.exterior, *polygon.interiors]:
            points = list(ring.coords)
            for a, b in zip(points, points[1:]):
                both = [a, b, (a[0] + by[0], a[1] + by[1]), (b[0] + by[0], b[1] + by[1])]
                sweeps.append(MultiPoint(both).convex_hull)
    swept = unary_union([make_valid(s) for s in sweeps if s.area > 0.0])
    want = swept.difference(letters)
    if abs((shadow.area + letters.area) / swept.area - 1.0) > SHARE:
        wrong.append(f"shadow: area {shadow.area:.3f}, wanted {want.area:.3f}")
    if shadow.difference(swept.buffer(0.01)).area > 1e-6:
        wrong.append("shadow: reaches beyond what the letters pass over")
    return wrong


def main():
    args = argparse.ArgumentParser()
    args.add_argument("file")
    args.add_argument("--wider", type=float, default=0.0)
    args = args.parse_args()
    marks = json.load(open(args.file))
    failures = 0
    for mark in marks:
        for what in wrong_with(mark, args.wider):
            failures += 1
            print(f'{mark["alphabet"]} {mark["text"]!r} slant {mark["slant_deg"]}: {what}')
    print(f"{len(marks)} marks, {failures} failures")
    sys.exit(failures > 0 or not marks)


if __name__ == "__main__":
    main()
