"""Reads the plans of all sample jobs with other people's libraries and measures them again.

- every plan.json against docs/plan.schema.json, with jsonschema;
- outlines with shapely: simple, right way round, as wide and as high as the plan says;
- clearances of features with shapely's distances, from the painted shapes of the plan alone;
- skin in space against skin in flat: edges as long, on cylinders and cones as they must be.

Usage: plan.py BUILD_DIR
"""

import json
import math
import pathlib
import subprocess
import sys
import tempfile
import tomllib

import jsonschema
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union

ROOT = pathlib.Path(__file__).resolve().parents[2]
EDGES = {"ring", "plate", "cap", "step", "patch", "rivets", "seam", "lap"}
failures: list[str] = []
checks = 0


def check(ok: bool, what: str) -> None:
    global checks
    checks += 1
    if not ok:
        failures.append(what)


def glyph_polygon(glyph: dict) -> Polygon:
    outer, *holes = glyph["rings_flat_mm"]
    return Polygon(outer, holes)


def further_shapes(mark: dict) -> list:
    """What shows of each further colour: shapes counter-clockwise, holes clockwise."""
    shapes = []
    for colour in mark.get("further", []):
        rings = [Polygon(r) for r in colour["rings_flat_mm"]]
        outer = unary_union([r for r in rings if r.exterior.is_ccw])
        shapes.append(outer.difference(unary_union([r for r in rings if not r.exterior.is_ccw])))
    return shapes


# Curves of a plan are chords within 0.02 mm, so that the crown of an arc may lie between two of them.
ROUND = "BCDGJOPQRSU0235689&"
CHORDS = 0.02


def drawn_height(folder: pathlib.Path, letters: dict, char: str) -> float:
    """Height of a character's outline in the heights of the font's H, read with fonttools."""
    font = TTFont(folder / letters["font"])
    glyphs, names = font.getGlyphSet(), font.getBestCmap()

    def height(c: str) -> float:
        pen = BoundsPen(glyphs)
        glyphs[names[ord(c)]].draw(pen)
        return pen.bounds[3] - pen.bounds[1]

    return height(char) / height("H")


def measure_glyphs(job: str, folder: pathlib.Path, mark: dict, asked: dict) -> None:
    slant_deg = asked.get("slant_deg", 0)
    letters = asked.get("letters", "square")
    # Width is judged upright: the lean is taken out again.
    lean = math.tan(math.radians(slant_deg))
    # In a chart x runs along the baseline.
    curved = any("chart" in g for g in mark["glyphs"])
    angle = 0.0 if curved else math.radians(mark["angle_deg"])
    along, up = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
    for k, glyph in enumerate(mark["glyphs"]):
        name = f"{job} {mark['id']} {k} {glyph['char']}"
        rings = glyph["rings_flat_mm"]
        check(glyph_polygon(glyph).is_valid, f"{name}: shapely finds the outline not simple")
        for n, ring in enumerate(rings):
            poly = Polygon(ring)
            check(poly.exterior.is_ccw == (n == 0), f"{name}: ring {n} runs the wrong way")
            check(ring[0] != ring[-1], f"{name}: ring {n} repeats its first point")
        ys = [p[0] * up[0] + p[1] * up[1] for ring in rings for p in ring]
        xs = [p[0] * along[0] + p[1] * along[1] for ring in rings for p in ring]
        xs = [x - lean * y for x, y in zip(xs, ys, strict=True)]
        check(abs(max(xs) - min(xs) - glyph["width_mm"]) < 0.01, f"{name}: width {max(xs) - min(xs)}")
        if glyph["char"] in "-.":
            continue
        # Round letters of a font reach beyond its flat ones: the font itself says how far.
        tall = mark["height_mm"] * (drawn_height(folder, letters, glyph["char"]) if isinstance(letters, dict) else 1)
        crown = CHORDS if letters not in ("square", "clipped") and glyph["char"] in ROUND else 0.0
        over = max(ys) - min(ys) - tall
        check(-0.01 - crown < over < 0.01, f"{name}: height {max(ys) - min(ys)}, wanted {tall}")
    xs = [
        p[0] * along[0] + p[1] * along[1] for g in mark["glyphs"] for r in g["rings_flat_mm"] for p in r
    ]
    length = max(xs) - min(xs)
    # Of leaning letters the length is that of their boxes, whose corners not every letter fills.
    check(length < mark["length_mm"] + 0.01, f"{job} {mark['id']}: length {length}")
    check(lean != 0 or abs(length - mark["length_mm"]) < 0.01, f"{job} {mark['id']}: length {length}")


def measure_clearances(job: str, mark: dict, surface: dict) -> None:
    if not surface["developable"]:
        return  # flat is not true lengths there: tests/outside/skin.py measures in space
    shapes = [glyph_polygon(g) for g in mark["glyphs"]] + further_shapes(mark)
    paint, edges = unary_union(shapes), unary_union([s.boundary for s in shapes])
    features = {f["id"]: f for f in surface["features"]}
    if len(features) != len(surface["features"]):
        return  # a path the edge cut apart: several shapes of one id
    for fit in mark["fit"]["features"]:
        f = features[fit["id"]]
        target = edges if f["kind"] in EDGES else paint
        if "radius_mm" in f:
            d = target.distance(Point(f["centre_flat_mm"])) - f["radius_mm"]
        elif "path_flat_mm" in f:
            d = target.distance(LineString(f["path_flat_mm"])) - f["width_mm"] / 2
        else:
            area = Polygon(f["rings_flat_mm"][0], f["rings_flat_mm"][1:])
            d = target.distance(area)
            if d == 0.0:
                check(fit["clearance_mm"] <= -f["clearance_mm"] + 0.05, f"{job} {fit['id']}: not inside")
                continue
        check(
            abs(d - f["clearance_mm"] - fit["clearance_mm"]) < 0.05,
            f"{job} {fit['id']}: shapely {d - f['clearance_mm']:.3f}, plan {fit['clearance_mm']}",
        )


def measure_space(job: str, mark: dict) -> None:
    """A straight edge in flat is a geodesic on the skin: never shorter than the straight line in space, and
    as long as the sum of short pieces; here only the first can be asked of the vertices, and that chords
    of at most 50 mm are shorter by no more than their sagitta allows."""
    for glyph in mark["glyphs"]:
        if "rings_xyz_mm" not in glyph:
            continue
        for flat, space in zip(glyph["rings_flat_mm"], glyph["rings_xyz_mm"], strict=True):
            for i in range(len(flat)):
                j = (i + 1) % len(flat)
                in_flat, in_space = math.dist(flat[i], flat[j]), math.dist(space[i], space[j])
                # What curves both ways stretches by the strain stated, of its own piece or of the whole mark.
                may = 0.005 + in_flat * glyph.get("chart", mark.get("development", {})).get("max_strain", 0.0)
                check(in_space <= in_flat + may, f"{job} {glyph['char']}: {in_space} over {in_flat}")
                if in_flat < 50:
                    check(in_space > 0.98 * in_flat, f"{job} {glyph['char']}: {in_space} under {in_flat}")


def main() -> int:
    program = pathlib.Path(sys.argv[1]) / "maskwright"
    schema = json.loads((ROOT / "docs/plan.schema.json").read_text(encoding="utf-8"))
    validator = jsonschema.Draft202012Validator(schema)
    with tempfile.TemporaryDirectory() as folder:
        for path in sorted((ROOT / "hangar").glob("*/job.toml")):
            job = path.parent.name
            done = subprocess.run(
                [program, "plan", path, "-o", f"{folder}/{job}"], capture_output=True, text=True
            )
            if done.returncode == 2:
                check("degenerate" in job, f"{job} cannot be planned: {done.stderr[:300]}")
                continue
            plan = json.loads(pathlib.Path(f"{folder}/{job}/plan.json").read_text(encoding="utf-8"))
            for error in validator.iter_errors(plan):
                failures.append(f"{job}: {error.json_path}: {error.message}")
            ids = [f["id"] for f in plan["findings"]]
            check(len(ids) == len(set(ids)), f"{job}: finding ids repeat")
            asked = tomllib.loads(path.read_text(encoding="utf-8"))
            marks = {m["id"]: m for m in asked.get("mark", [])}
            surfaces = {s["id"]: s for s in plan["surfaces"]}
            for mark in plan["marks"]:
                measure_glyphs(job, path.parent, mark, marks[mark["id"]])
                measure_clearances(job, mark, surfaces[mark["surface"]])
                measure_space(job, mark)
    print(f"plan: {checks} checks, {len(failures)} failures")
    for failure in failures[:40]:
        print("  " + failure)
    return 1 if failures or checks < 100 else 0


if __name__ == "__main__":
    sys.exit(main())
