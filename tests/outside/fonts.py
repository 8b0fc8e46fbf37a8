"""Checks the outlines we take out of font files with an outside font reader (fonttools) and shapely.

    python tests/outside/fonts.py target/ci/examples/dump_font FOLDER [--stretch 1.0005]

FOLDER holds packed web fonts (.woff), which are unpacked with fonttools into a temporary folder, and plain .ttf
and .otf files. For each font and character, in ems:
  outline  every corner of either outline lies on the other; theirs is each curve at 400 places, the parts joined
           by the rule of non-zero winding, which is worked out here by another road (faces of the noded lines)
  area     of what only one of the two paints
  sizes    cap height, the left and right white, and the width, from fonttools' bounds
  stem     of the H, along a line a quarter up, lies between the least and the most we measure of its strokes
Exits 1 with a list of failures. `--stretch` widens our outlines first: the check must then fail.
"""

import argparse
import json
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont
from shapely import LineString, MultiPolygon, Polygon, STRtree, node, points, polygonize, unary_union

TEXT = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-&./=agRS8"
STEPS = 400
# 0.01 % of an em is asked; ours promise 4 millionths of a cap height, so that a tenth of it is held.
OUTLINE_EM = 1e-5
AREA_EM2 = 2e-5
SIZE_EM = 1e-5


def bezier(points):
    t = np.linspace(0.0, 1.0, STEPS + 1)[1:, None]
    rows = [np.array(p, dtype=float)[None, :] for p in points]
    while len(rows) > 1:
        rows = [a * (1 - t) + b * t for a, b in zip(rows, rows[1:])]
    return [tuple(p) for p in rows[0]]


def contours(glyphs, name):
    """The closed lines of a character, as fonttools draws it."""
    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    found, line = [], []
    for what, points in pen.value:
        if what == "moveTo":
            line = [points[0]]
        elif what == "lineTo":
            line.append(points[0])
        elif what == "curveTo":
            line += bezier([line[-1], *points])
        elif what == "qCurveTo":
            points = list(points)
            if points[-1] is None:
                first, last = points[0], points[-2]
                start = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
                line, points = [start], [*points[:-1], start]
            *handles, end = points
            for k, handle in enumerate(handles):
                on = end
                if k + 1 < len(handles):
                    on = ((handle[0] + handles[k + 1][0]) / 2, (handle[1] + handles[k + 1][1]) / 2)
                line += bezier([line[-1], handle, on])
        elif line:
            if len(set(line)) > 2:
                found.append([*line, line[0]])
            line = []
    return found


def winding(line, x, y):
    p = np.array(line)
    (x0, y0), (x1, y1) = p[:-1].T, p[1:].T
    side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
    return int(np.sum((y0 <= y) & (y1 > y) & (side > 0)) - np.sum((y0 > y) & (y1 <= y) & (side < 0)))


def painted(lines):
    faces = polygonize([node(unary_union([LineString(line) for line in lines]))]).geoms
    inside = [f.representative_point() for f in faces]
    return unary_union(
        [f for f, p in zip(faces, inside) if sum(winding(line, p.x, p.y) for line in lines) != 0]
    )


def ours(glyph, left, stretch):
    # An outer ring runs counter-clockwise and comes before its holes.
    parts = []
    for ring in glyph["rings"]:
        ring = [((x + left) * stretch, y) for x, y in ring]
        if Polygon(ring).exterior.is_ccw:
            parts.append((ring, []))
        else:
            parts[-1][1].append(ring)
    return MultiPolygon(parts)


def apart(a, b):
    """Farthest any corner of one outline lies from the other outline."""
    lines = b.boundary
    parts = list(getattr(lines, "geoms", [lines]))
    tree = STRtree([LineString(p.coords[k : k + 2]) for p in parts for k in range(len(p.coords) - 1)])
    corners = [c for p in getattr(a.boundary, "geoms", [a.boundary]) for c in p.coords]
    return float(tree.query_nearest(points(corners), return_distance=True, all_matches=False)[1].max())


def stem(shape):
    x0, y0, x1, y1 = shape.bounds
    cut = shape.intersection(LineString([(x0 - 1, y0 + (y1 - y0) / 4), (x1 + 1, y0 + (y1 - y0) / 4)]))
    first = min(getattr(cut, "geoms", [cut]), key=lambda g: g.bounds[0])
    return first.length


def check(dump, path, stretch):
    font = TTFont(path)
    em, glyphs, names = font["head"].unitsPerEm, font.getGlyphSet(), font.getBestCmap()
    told = json.loads(subprocess.run([dump, path, TEXT], check=True, capture_output=True).stdout)

    def bounds(name):
        pen = BoundsPen(glyphs)
        glyphs[name].draw(pen)
        return pen.bounds

    cap = bounds(names[ord("H")])[3]
    wrong, worst = [], 0.0
    if abs(told["cap_height_em"] - cap / em) > SIZE_EM:
        wrong.append(f"cap height {told['cap_height_em']}, wanted {cap / em}")
    lacking = sorted({c for c in TEXT if ord(c) not in names})
    if sorted(set(told["missing"])) != lacking:
        wrong.append(f"missing {told['missing']}, wanted {lacking}")
    for glyph in told["glyphs"]:
        char, name = glyph["char"], names[ord(glyph["char"])]
        x0, _, x1, _ = bounds(name)
        sizes = [
            ("left", glyph["left"], x0 / cap),
            ("width", glyph["width"] * stretch, (x1 - x0) / cap),
            ("right", glyph["right"], (glyphs[name].width - x1) / cap),
        ]
        wrong += [f"{char}: {what} {a}, wanted {b}" for what, a, b in sizes if abs(a - b) * cap / em > SIZE_EM]
        theirs = painted([[(x / cap, y / cap) for x, y in line] for line in contours(glyphs, name)])
        mine = ours(glyph, glyph["left"], stretch)
        off = max(apart(mine, theirs), apart(theirs, mine)) * cap / em
        area = mine.symmetric_difference(theirs).area * (cap / em) ** 2
        worst = max(worst, off)
        if off > OUTLINE_EM or area > AREA_EM2 or not mine.is_valid:
            wrong.append(f"{char}: outlines {off:.2e} em apart, {area:.2e} em2 painted by one alone")
        if char == "H":
            thick = stem(theirs)
            stroke = glyph["stroke"]
            if not stroke["least"] * 0.998 <= thick * stretch <= stroke["most"] * 1.002:
                wrong.append(f"H: stem {thick:.4f}, measured {stroke}")
            note = f"H stem {thick:.4f} by a line across, {stroke['least']:.4f} to {stroke['most']:.4f} by discs"
    print(f"{path.name}: {len(told['glyphs'])} characters, at most {worst:.1e} em off; {note}")
    return [f"{path.name} {what}" for what in wrong]


def main():
    args = argparse.ArgumentParser()
    args.add_argument("dump")
    args.add_argument("folder", type=pathlib.Path)
    args.add_argument("--stretch", type=float, default=1.0)
    args = args.parse_args()
    failures, fonts = [], 0
    with tempfile.TemporaryDirectory() as room:
        for path in sorted(args.folder.iterdir()):
            if path.suffix == ".woff":
                packed = TTFont(path)
                packed.flavor = None
                path = pathlib.Path(room) / f"{path.stem}{'.otf' if packed.sfntVersion == 'OTTO' else '.ttf'}"
                packed.save(path)
            elif path.suffix not in (".ttf", ".otf"):
                continue
            fonts += 1
            failures += check(args.dump, path, args.stretch)
    print("\n".join(failures))
    print(f"{fonts} fonts, {len(failures)} failures")
    sys.exit(bool(failures) or fonts == 0)


if __name__ == "__main__":
    main()
