"""Lays and pulls the tape of whole marks again with an outside geometry library (shapely, on GEOS).

    python tests/outside/tape.py BUILD_DIR FONTS_DIR [--fault NAME] [--only WORDS] [--all]   (BUILD_DIR/maskwright is run)

Every character of the three alphabets and of two fonts, in marks of 3, 4, 12 and 30 in (with `--all`; without it one
mark of each letters and height, every character among them). From the plan file alone:
  shape     each footprint lies in the strip that path, width and ends describe, and what it lacks of that strip
            lies on paint, beyond the path's end or behind a cut;
  edge      the whole paint edge lies under edge tape, bridge or plug (0.02 mm);
  paint     no tape and no tab lies on paint (0.02 mm);
  over      every overlap is named once, by the piece laid later; none is named that is not there;
  pull      no piece is pulled from under another;
  gap       all skin nearer to paint than the gap is covered, and edge tape laps the tack strip by the overlap;
  colours   what is sprayed of each colour is its shape and a lap of 1/16 in under the colours after it, no more;
  length    outline, run-ons and folded tab add up to the length to cut (0.1 mm); totals are the sums;
  layout    the strips of layout tape fill every letter (0.02 mm), none wider than its tape or off the letter;
  paper     face and back: what is neither painted nor taped lies under a strip of paper, which laps the tack strip;
  rolls     the lengths to cut, an inch over and up to the next quarter inch, are the metres to buy and fit the rolls,
            of which there is at most one more than their length asks for.

With `--fault` the plan is spoilt first, and the check must fail: `narrow` (a piece loses 1 mm of its width),
`shift` (a piece is moved by 0.1 mm), `fill` (a strip of layout tape is missing), `sheet` (a strip of paper is
missing), `rolls` (a roll too few), `order` (two places of pulling are swapped), `over` (an overlap is not named).
"""

import itertools
import json
import math
import pathlib
import subprocess
import sys
import tempfile

import shapely
from shapely import Point, Polygon, STRtree
from shapely.affinity import translate
from shapely.ops import unary_union

IN = 25.4
KEPT = 0.02
LAP = 25.4 / 16
GRID = 1e-4
TOUCH = 0.2  # mm2: below this two pieces may be said to touch or to overlap
ROOT = pathlib.Path(__file__).resolve().parents[2]
HEIGHTS = [3, 4, 12, 30]
FONTS = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
TEXTS = ["ABCDEF", "GHIJKL", "MNOPQR", "STUVWX", "YZ0123", "456789"]
OUTLINE, SHADOW = 'outline = {{ width = {}, paint = "gold" }}', 'shadow = {{ by = [{}, {}], paint = "black" }}'
# Letters of one colour with an outline and a shadow, lighter and darker than they are, wide and narrow strokes.
COLOURS = [
    ("square", 10, "HORN", OUTLINE.format(0.375) + "\n" + SHADOW.format(0.5, -0.5)),
    ("rounded", 12, "O8S", OUTLINE.format(0.5)),
    ("rounded", 4, "R2", OUTLINE.format(0.1875)),
    ("clipped", 12, "HA", SHADOW.format(0.75, 0.5)),
]
SHELF = """
[masking]
method = "tape"
edge_tapes = [ { width = "1/2 in", real = "12.7 mm", roll = "36 yd", strain = 0.05 }, { width = "3/8 in", roll = "36 yd", strain = 0.05 }, { width = "1/4 in", roll = "36 yd", strain = 0.05 }, { width = "1/8 in", roll = "36 yd", strain = 0.05 } ]
tack_tape = { width = "3/4 in", real = "18 mm", roll = "60 yd" }
layout_tapes = [ { width = "1 in", roll = "60 yd" }, { width = "2 in", roll = "60 yd" } ]
paper = [ { width = "12 in" }, { width = "18 in" } ]
"""


def job(letters, height, text, more=""):
    wide, tall = 8 * height * len(text), 3 * height
    return f"""title = "tape trial"
units = "in"
[[surface]]
id = "panel"
kind = "flat"
corners = [[0, 0], [{wide}, 0], [{wide}, {tall}], [0, {tall}]]
[[mark]]
id = "m"
surface = "panel"
text = "{text}"
legal = false
letters = {letters}
height = {height}
gap_ratio = 0.25
place = {{ at = [{wide / 2}, {tall / 2}] }}
paint = "blue"
{more}
[[paint]]
id = "gold"
colour = "#d9a93a"
[[paint]]
id = "black"
colour = "#1d1d1b"
[[paint]]
id = "blue"
colour = "#1b2f52"
system = "two-pack"
parts = [ {{ name = "base", parts = 1 }} ]
{SHELF}"""


def polygons(rings):
    """Footprint rings: outer counter-clockwise, holes clockwise."""
    area = Polygon()
    for ring in rings:
        part = Polygon(ring)
        if not part.is_valid:
            # Where two colours meet a ring may touch itself.
            part = shapely.make_valid(part)
        ccw = shapely.is_ccw(shapely.LinearRing(ring))
        area = area.union(part) if ccw else area.difference(part)
    return area


def strip(piece, tab=0.0):
    """The strip that path, width and ends describe, ends cut along lines at their angle; wider at no place."""
    path, width = piece["path_flat_mm"], piece["tape_width_mm"]
    start, finish = piece["start"], piece["finish"]

    def on(p, q, by):
        d = math.dist(p, q)
        return [p[0] + (p[0] - q[0]) / d * by, p[1] + (p[1] - q[1]) / d * by]

    def past(end):
        if end["end"] == "pre-cut" and piece["kind"] == "tack" and end["cut_deg"] > 90:
            return width / math.tan(math.radians(180 - end["cut_deg"]))
        if end["end"] == "pre-cut" and end["exact"] and end["cut_deg"] > 90:
            return min(width * 1.26 + 3.2, width / math.tan(math.radians(180 - end["cut_deg"])) + 3.2)
        return end["past_mm"]

    line = [on(path[0], path[1], past(start)), *path, on(path[-1], path[-2], past(finish))]
    line = [p for i, p in enumerate(line) if i == 0 or math.dist(p, line[i - 1]) > 1e-9]
    quads = []
    for k, (p, q) in enumerate(itertools.pairwise(line)):
        d = math.dist(p, q)
        right = ((q[1] - p[1]) / d * width, (p[0] - q[0]) / d * width)
        quads.append(Polygon([p, q, (q[0] + right[0], q[1] + right[1]), (p[0] + right[0], p[1] + right[1])]))
        if k:
            # The fan outside a bend.
            quads.append(Polygon([p, (p[0] + last[0], p[1] + last[1]), (p[0] + right[0], p[1] + right[1])]).buffer(0))
        last = right
    area = unary_union([quad.buffer(0.001) for quad in quads])
    for end, walk, side in ((start, path, 1), (finish, path[::-1], -1)):
        p = walk[0]
        if end["end"] != "pre-cut" or end["cut_deg"] == 0 or end["past_mm"] > 0:
            continue
        # The cut: from the paint line into the tape, at its angle from the way along the tape.
        along = math.atan2(walk[1][1] - p[1], walk[1][0] - p[0])
        cut = along - side * math.radians(end["cut_deg"])
        # No farther than the cut is long: a tape that curls comes near its own end again.
        far = 1.05 * width / math.sin(math.radians(end["cut_deg"])) + 0.5
        a = (p[0] - far * math.cos(cut), p[1] - far * math.sin(cut))
        b = (p[0] + far * math.cos(cut), p[1] + far * math.sin(cut))
        back = cut - side * math.pi / 2
        off = (far * math.cos(back), far * math.sin(back))
        area = area.difference(Polygon([a, b, (b[0] + off[0], b[1] + off[1]), (a[0] + off[0], a[1] + off[1])]))
    return area


class Trial:
    def __init__(self, name, plan, failures):
        self.name, self.failures, self.pieces = name, failures, 0
        if {m["of"] for m in plan["masking"]} != {m["id"] for m in plan["marks"]}:
            self.fail("marks", "not every mark has its mask")
        for mark in plan["marks"]:
            masks = [m for m in plan["masking"] if m["of"] == mark["id"]]
            self.colours(mark, masks)
            for mask in masks:
                self.simulate(mask)
                self.layout(mark, mask)
        self.paper(plan)
        self.rolls(plan)
        for finding in plan["findings"]:
            if finding["id"].startswith("tape-covers") and finding["severity"] == "fail":
                self.fail("own check", finding["message"])

    def fail(self, what, words):
        self.failures.append(f"{self.name}: {what}: {words}")

    def colours(self, mark, masks):
        """The last colour is its own shape; an earlier one is that, and reaches 1/16 in under later ones, no farther."""
        letters = unary_union([polygons(g["rings_flat_mm"]) for g in mark["glyphs"]])
        shapes = {"letters": letters}
        for further in mark.get("further", []):
            shapes[further["kind"]] = polygons(further["rings_flat_mm"])
        if [m["part"] for m in masks] != ["letters"] and {m["part"] for m in masks} != set(shapes):
            self.fail("colours", f"masks {[m['part'] for m in masks]} of {list(shapes)}")
            return
        for k, mask in enumerate(masks):
            sprayed = unary_union([polygons(g) for g in mask["sprayed_rings_flat_mm"] if g])
            shape = shapes[mask["part"]]
            later = unary_union([shapes[m["part"]] for m in masks[k + 1 :]])
            name = mask["part"]
            if shape.difference(sprayed.buffer(KEPT)).area > 0.01:
                self.fail("colours", f"{name}: {shape.difference(sprayed.buffer(KEPT)).area:.3f} mm2 are not sprayed")
            beyond = sprayed.difference(shape.buffer(KEPT)).difference(later.buffer(KEPT))
            if beyond.area > 0.01:
                self.fail("colours", f"{name}: {beyond.area:.3f} mm2 are sprayed where nothing covers them")
            if later.is_empty:
                continue
            lap = shape.buffer(LAP - KEPT).intersection(later).difference(sprayed)
            # Beside an edge that stays in sight the lap begins at nothing and is full after 3 in.
            seen = shape.boundary.difference(later.buffer(LAP / 4))
            thin = lap.difference(seen.buffer(76.2 + 2 * LAP))
            if thin.area > 0.5:
                self.fail("colours", f"{name}: {thin.area:.2f} mm2 within 1/16 in are not under the next colour")
            deep = sprayed.difference(shape.buffer(1.5 * LAP, join_style="mitre", mitre_limit=3))
            islands = later.difference(shape.buffer(LAP))
            for part in getattr(deep, "geoms", [deep]):
                # Right through, or not at all.
                if part.area > 1.0 and not any(i.buffer(LAP).contains(part) for i in getattr(islands, "geoms", [islands])):
                    self.fail("colours", f"{name}: {part.area:.1f} mm2 reach too far under the next colour")

    def simulate(self, mask):
        paint = unary_union([polygons(g) for g in mask["sprayed_rings_flat_mm"] if g]).simplify(0.002)
        pieces = mask["pieces"]
        self.pieces += len(pieces)
        # Layout tape ends where edge tape begins: by two steps of the plan's rounding it may seem to lie below it.
        shapes = [polygons(p["footprint_flat_mm"]).buffer(-0.002 if p["kind"] == "layout" else 0.0) for p in pieces]
        kinds = [p["kind"] for p in pieces]
        inner = paint.buffer(-KEPT)
        for piece, shape in zip(pieces, shapes, strict=True):
            self.shape(piece, shape, paint)
            self.length(piece)
            if piece["kind"] != "layout" and shape.intersection(inner).area > 0.01:
                self.fail("paint", f"{piece['id']} lies on {shape.intersection(inner).area:.3f} mm2 of paint")
            tab = piece["tab"]["area_flat_mm"]
            if tab and Polygon(tab).intersection(inner).area > 0.01:
                self.fail("paint", f"the tab of {piece['id']} lies on paint")
        wet = [s for s, k in zip(shapes, kinds, strict=True) if k in ("edge", "bridge", "plug")]
        cover = unary_union(wet)
        bare = paint.boundary.difference(cover.buffer(KEPT))
        if bare.length > KEPT:
            at = bare.representative_point()
            self.fail("edge", f"{bare.length:.2f} mm are bare, near {at.x:.2f}, {at.y:.2f}")
        self.overlaps(pieces, shapes)
        self.gap(mask, paint, cover, shapes, kinds)
        self.totals(mask)

    def layout(self, mark, mask):
        strips = [p for p in mask["pieces"] if p["kind"] == "layout"]
        for k, glyph in enumerate(mark["glyphs"]):
            # What is sprayed of this colour: laps under later colours are filled too.
            letter = polygons(mask["sprayed_rings_flat_mm"][k])
            own = [p for p in strips if p["glyph"] == k]
            open_ = letter.difference(unary_union([polygons(p["footprint_flat_mm"]) for p in own]).buffer(KEPT))
            if open_.area > 0.05:
                self.fail("layout", f"{glyph['char']}: {open_.area:.2f} mm2 are open")
            for p in own:
                shape = polygons(p["footprint_flat_mm"])
                if shape.difference(letter.buffer(KEPT)).area > 0.01:
                    self.fail("layout", f"{p['id']} leaves its letter")
                told = strip(p | {"start": p["start"] | {"end": "lap"}, "finish": p["finish"] | {"end": "lap"}})
                if shape.difference(told.buffer(0.04)).area > 0.01 or p["tape_width_mm"] > p["label_width_mm"] + 0.001:
                    self.fail("layout", f"{p['id']} is wider or longer than its tape")

    def paper(self, plan):
        outline = Polygon(plan["surfaces"][0]["outline_flat_mm"])
        paint = unary_union([polygons(g["rings_flat_mm"]) for m in plan["marks"] for g in m["glyphs"]])
        pieces = [p for m in plan["masking"] for p in m["pieces"]]
        tape = unary_union([polygons(p["footprint_flat_mm"]) for p in pieces])
        tack = unary_union([polygons(p["footprint_flat_mm"]) for p in pieces if p["kind"] == "tack"])
        sheets = {side: unary_union([Polygon(s["corners_flat_mm"]) for s in plan["paper"]["strips"] if s["side"] == side])
                  for side in ("face", "back")}
        # Slits up to 1/16 in and crumbs up to 10 mm2 are closed with a scrap of tape.
        # On a grid of a tenth of a micrometre: without one the library has lost letters whose edges all but touch.
        bare = shapely.difference(outline, shapely.union(paint, tape, grid_size=GRID), grid_size=GRID)
        shows = bare.difference(sheets["face"]).buffer(-0.8)
        if shows.area > 10.0 or outline.difference(sheets["back"]).area > 0.01:
            self.fail("paper", f"{shows.area:.1f} mm2 of the face show, or the back does")
        # Where bare skin meets the tack strip paper goes on over half of it.
        lap = bare.buffer(-0.8).buffer(1.6).intersection(tack).difference(sheets["face"])
        if lap.area > 10.0:
            self.fail("paper", f"the paper does not lap the tack strip on {lap.area:.1f} mm2")
        for s in plan["paper"]["strips"]:
            c = s["corners_flat_mm"]
            sides = sorted([math.dist(c[0], c[1]), math.dist(c[1], c[2])])
            if max(abs(a - b) for a, b in zip(sides, sorted([s["width_mm"], s["length_mm"]]), strict=True)) > 0.01:
                self.fail("paper", f"a strip of {s['width_mm']} by {s['length_mm']} lies as {sides}")

    def rolls(self, plan):
        need = {}
        for p in (p for m in plan["masking"] for p in m["pieces"]):
            if p["kind"] in ("tack", "layout"):
                key = {"tack": "tack strip tape", "layout": "layout tape"}[p["kind"]], p["label_width_mm"]
                cut = math.ceil((p["cut_length_mm"] + IN - 1e-4) / 6.35) * 6.35
                need.setdefault(key, []).append(cut)
        told = [m for m in plan["materials"] if m["item"].startswith(("tack strip tape", "layout tape"))]
        if len(told) != len(need):
            self.fail("rolls", f"{len(told)} tapes to buy, {len(need)} used")
        metres = sorted(sum(cuts) / 1000 for cuts in need.values())
        for m, wanted in zip(sorted(told, key=lambda m: m["need"]), metres, strict=False):
            roll = 60 * 0.9144
            # A length on the very step may round either way.
            # Plugs are cut from the tack tape too.
            plugs = sum(p["kind"] == "plug" for k in plan["masking"] for p in k["pieces"])
            over = m["need"] - wanted
            if not -0.02 - 0.0001 * wanted <= over <= 0.02 + 0.0001 * wanted + 0.15 * plugs or not wanted <= m["packs"] * roll <= (math.ceil(wanted / roll) + 1) * roll:
                self.fail("rolls", f"{m['item']}: {m['need']} m, {m['packs']} rolls; wanted {wanted:.2f} m")

    def shape(self, piece, shape, paint):
        if piece["kind"] in ("plug", "layout"):
            return
        closed = piece["path_flat_mm"][0] == piece["path_flat_mm"][-1]
        lap = "lap" in (piece["start"]["end"], piece["finish"]["end"])
        told = strip(piece)
        beyond = shape.difference(told.buffer(0.03))
        # An exact end follows a bent edge beyond its tangent; that it lies on no paint is asked elsewhere.
        for end, p in ((piece["start"], piece["path_flat_mm"][0]), (piece["finish"], piece["path_flat_mm"][-1])):
            if end["exact"] and len(piece["path_flat_mm"]) > 2:
                beyond = beyond.difference(Point(p).buffer(4 * piece["tape_width_mm"]))
        if beyond.area > TOUCH and not (lap or closed):
            self.fail("shape", f"{piece['id']} covers {beyond.area:.2f} mm2 that its path, width and ends do not tell")
        lacks = told.difference(shape.buffer(0.03)).difference(paint)
        touching = [p for p in getattr(lacks, "geoms", [lacks]) if p.distance(shape) < 0.05 and p.area > max(TOUCH, 0.03 * told.area)]
        if touching and not any(
            e["end"] == "pre-cut" and e["exact"] for e in (piece["start"], piece["finish"])
        ) and not (lap or closed):
            self.fail("shape", f"{piece['id']} lacks {sum(p.area for p in touching):.2f} mm2 of its strip")

    def length(self, piece):
        path = sum(math.dist(a, b) for a, b in itertools.pairwise(piece["path_flat_mm"]))
        fold = 12.7 if piece["tab"]["kind"] == "fold" else 0.0
        told = path + piece["start"]["past_mm"] + piece["finish"]["past_mm"] + fold
        if abs(told - piece["cut_length_mm"]) > 0.1:
            self.fail("length", f"{piece['id']}: {piece['cut_length_mm']} is not {told:.3f}")

    def overlaps(self, pieces, shapes):
        index = {p["id"]: k for k, p in enumerate(pieces)}
        if len(index) != len(pieces):
            self.fail("over", "ids repeat")
        named = {}
        for k, piece in enumerate(pieces):
            for other in piece["over"]:
                pair = (min(k, index[other]), max(k, index[other]))
                if pair in named:
                    self.fail("over", f"{piece['id']} and {other} are named twice")
                named[pair] = k
        tree = STRtree(shapes)
        for k, shape in enumerate(shapes):
            for j in tree.query(shape):
                if j <= k:
                    continue
                area = shape.intersection(shapes[j]).area
                if area > TOUCH and (k, j) not in named:
                    self.fail("over", f"{pieces[k]['id']} and {pieces[j]['id']} share {area:.2f} mm2, not named")
        for (k, j), top in named.items():
            if shapes[k].buffer(0.01).intersection(shapes[j]).area <= 0.0:
                self.fail("over", f"{pieces[k]['id']} and {pieces[j]['id']} do not overlap")
            below = j if top == k else k
            if pieces[top]["lay"] <= pieces[below]["lay"]:
                self.fail("over", f"{pieces[top]['id']} lies on {pieces[below]['id']} but is laid before it")
        for n, word in ((len(pieces), "lay"), (len(pieces), "pull")):
            if sorted(p[word] for p in pieces) != list(range(1, n + 1)):
                self.fail("pull", f"places of {word} are not 1 to {n}")
        # Pull in order: whatever lies on a piece must be gone. What lies on what is found here, not read.
        gone = set()
        for k in sorted(range(len(pieces)), key=lambda i: pieces[i]["pull"]):
            for j in tree.query(shapes[k]):
                if j != k and j not in gone and pieces[j]["lay"] > pieces[k]["lay"]:
                    if shapes[j].intersection(shapes[k]).area > TOUCH:
                        self.fail("pull", f"{pieces[k]['id']} is pulled from under {pieces[j]['id']}")
            gone.add(k)

    def gap(self, mask, paint, cover, shapes, kinds):
        gap, overlap = mask["glyph_gaps_mm"][0], 3.175
        tack = unary_union([s for s, k in zip(shapes, kinds, strict=True) if k == "tack"])
        near = paint.buffer(gap - 0.05, join_style="round").difference(paint).difference(cover.buffer(KEPT))
        parts = [p for p in getattr(near, "geoms", [near]) if p.area > 1.0]
        for part in parts[:3]:
            at = part.representative_point()
            self.fail("gap", f"{part.area:.1f} mm2 of skin are open near {at.x:.1f}, {at.y:.1f}")
        if not tack.is_empty:
            lapped = tack.intersection(paint.buffer(gap + overlap - 0.05)).difference(cover.buffer(KEPT))
            # Where straight bridges turn round a bend a lap may be a hair short over a few millimetres, more so on
            # the tight bends of small letters; that no skin is open there is asked above.
            hair = 10.0 if " 3 in " in self.name or " 4 in " in self.name else 3.0
            parts = [p for p in getattr(lapped, "geoms", [lapped]) if p.area > hair]
            for part in parts[:3]:
                at = part.representative_point()
                self.fail("gap", f"tack strip not lapped on {part.area:.1f} mm2 near {at.x:.1f}, {at.y:.1f}")
            if tack.intersection(paint.buffer(gap - 25.4 / 16 - 0.05)).area > 0.5:
                self.fail("gap", "the tack strip lies nearer to the paint than the gap less its wander")

    def totals(self, mask):
        for kind in ("edge", "bridge", "tack", "layout"):
            told = sum(p["cut_length_mm"] for p in mask["pieces"] if p["kind"] == kind)
            if abs(told - mask["totals"][f"{kind}_mm"]) > 0.1:
                self.fail("length", f"total of {kind}: {mask['totals'][f'{kind}_mm']} is not {told:.3f}")


def spoil(plan, fault):
    if fault == "sheet":
        plan["paper"]["strips"].pop(0)
    elif fault == "rolls":
        next(m for m in plan["materials"] if m["item"].startswith("layout tape"))["packs"] -= 1
    for mask in plan["masking"]:
        edges = [p for p in mask["pieces"] if p["kind"] == "edge"]
        piece = edges[len(edges) // 2]
        if fault == "fill":
            gone = next(p for p in mask["pieces"] if p["kind"] == "layout")
            mask["pieces"].remove(gone)
            for p in mask["pieces"]:
                p["over"] = [o for o in p["over"] if o != gone["id"]]
        elif fault == "shift":
            piece["footprint_flat_mm"] = [
                [list(c) for c in translate(Polygon(r), 0.1, 0.1).exterior.coords[:-1]]
                for r in piece["footprint_flat_mm"]
            ]
        elif fault == "narrow":
            piece["tape_width_mm"] -= 1.0
        elif fault == "order":
            piece = next(p for p in edges if p["over"])
            other = next(p for p in mask["pieces"] if p["id"] == piece["over"][0])
            piece["pull"], other["pull"] = other["pull"], piece["pull"]
        elif fault == "over":
            piece = next(p for p in edges if p["over"])
            piece["over"] = piece["over"][1:]


def main():
    program = pathlib.Path(sys.argv[1]).resolve() / "maskwright"
    fault = sys.argv[sys.argv.index("--fault") + 1] if "--fault" in sys.argv else None
    only = sys.argv[sys.argv.index("--only") + 1] if "--only" in sys.argv else ""
    every = "--all" in sys.argv or bool(only) or bool(fault)
    # Two open fonts that another package carries; see run.py.
    fonts = pathlib.Path(sys.argv[2]).resolve()
    kinds = {"square": '"square"', "clipped": '"clipped"', "rounded": '"rounded"'}
    for font in FONTS:
        kinds[font] = f'{{ font = "{font}" }}'
    failures, pieces, trials = [], 0, 0
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        for font in FONTS:
            (folder / font).write_bytes((fonts / font).read_bytes())
        marks = []
        for (k, (kind, letters)), (h, height), (t, text) in itertools.product(
            enumerate(kinds.items()), enumerate(HEIGHTS), enumerate(TEXTS)
        ):
            if every or (k + 2 * h) % len(TEXTS) == t:
                marks.append((f"{kind} {height} in {text}", letters, height, text, ""))
        marks += [(f"{kind} {height} in {text} in colours", kinds[kind], height, text, more)
                  for kind, height, text, more in COLOURS]
        for name, letters, height, text, more in marks:
            if only not in name or (fault and not name.startswith("square 12 in")):
                continue
            path = folder / "job.toml"
            path.write_text(job(letters, height, text, more), encoding="utf-8")
            done = subprocess.run([program, "plan", path, "-o", folder / "out"], capture_output=True, text=True)
            if done.returncode not in (0, 1):
                failures.append(f"{name}: {done.stderr[:400]}")
                continue
            plan = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))
            if fault:
                spoil(plan, fault)
            try:
                pieces += Trial(name, plan, failures).pieces
            except ZeroDivisionError:
                failures.append(f"{name}: shape: a path stands still")
            trials += 1
    for line in failures[:60]:
        print(line)
    print(f"tape: {trials} marks, {pieces} pieces, {len(failures)} failures")
    return 1 if failures or trials < 6 else 0


if __name__ == "__main__":
    sys.exit(main())
