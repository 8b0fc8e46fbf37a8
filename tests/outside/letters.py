"""Checks the letters' outlines with an outside geometry library (shapely, on GEOS).

    cargo run -p plan --example dump_letters > letters.json
    python tests/outside/letters.py letters.json

Exits 1 with a list of failures. `--stretch 1.005` widens every glyph first: the check must then fail.

Thickness is found by erosion, not by rays. With h half the stroke:
  thin   worn away by h (1 - 0.002) and grown again by as much with mitred corners (an opening, in the sense of
         mathematical morphology), a glyph is whole again. A stroke that is too thin would be gone over its full
         thickness and its length, so a missing piece of a tenth of a square stroke or more is a failure. Less
         is the outer corner of an arm that ends soon after its turn.
  thick  worn away by h (1 + 0.002), only the places where strokes meet are left. Those are compact or taper; a
         stroke a little too thick leaves a thread as long as the stroke, and a thread is a failure.
"""

import argparse
import json
import sys

from shapely import Polygon
from shapely.geometry import MultiPolygon

SHARE = 0.002


def polygon(glyph, stretch):
    rings = [[(x * stretch, y) for x, y in ring] for ring in glyph["rings"]]
    return Polygon(rings[0], rings[1:])


def parts(shape):
    if shape.is_empty:
        return []
    return list(shape.geoms) if isinstance(shape, MultiPolygon) else [shape]


def thread(part):
    """Length and mean thickness of what is left, by its perimeter and area."""
    half = part.length / 2.0
    return half, part.area / half


def wrong_with(glyph, stretch):
    t, char = glyph["stroke"], glyph["char"]
    shape = polygon(glyph, stretch)
    if not shape.is_valid or shape.area <= 0.0:
        return ["not a valid polygon"]
    wrong = []
    width = {"I": t, "1": t, ".": t, "/": 0.75 * glyph["width"]}.get(char, glyph["width"])
    if char in "MW&":
        width = glyph["wide"]
    low, high = {"-": (0.5 - t / 2, 0.5 + t / 2), ".": (0.0, t)}.get(char, (0.0, 1.0))
    for got, want in zip(shape.bounds, (0.0, low, width, high)):
        if stretch == 1.0 and abs(got - want) > 2e-6:
            wrong.append(f"box {shape.bounds}, wanted {(0.0, low, width, high)}")
            break

    h = t / 2.0 * (1.0 - SHARE)
    worn = shape.buffer(-h, join_style="mitre", mitre_limit=50.0)
    whole = worn.buffer(h, join_style="mitre", mitre_limit=50.0)
    missing = max((p.area for p in parts(shape.difference(whole))), default=0.0)
    if missing > 0.1 * t * t:
        wrong.append(f"thinner than a stroke over {missing / t / t:.5f} square strokes")

    h = t / 2.0 * (1.0 + SHARE)
    for left in parts(shape.buffer(-h, join_style="mitre", mitre_limit=50.0)):
        length, thick = thread(left)
        if length > 0.6 * t and thick < 0.02 * t:
            wrong.append(f"thicker than a stroke along {length / t:.2f} strokes by {thick / t:.4f}")
    return wrong


def main():
    args = argparse.ArgumentParser()
    args.add_argument("file")
    args.add_argument("--stretch", type=float, default=1.0)
    args = args.parse_args()
    glyphs = json.load(open(args.file))
    failures = 0
    for glyph in glyphs:
        for what in wrong_with(glyph, args.stretch):
            failures += 1
            where = f'{glyph["alphabet"]} {glyph["char"]} stroke {glyph["stroke"]:.3f} width {glyph["width"]:.3f}'
            print(f"{where}: {what}")
    print(f"{len(glyphs)} glyphs, {failures} failures")
    sys.exit(failures > 0 or not glyphs)


if __name__ == "__main__":
    main()
