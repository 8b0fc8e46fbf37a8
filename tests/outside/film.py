"""Lays and pulls masks of film again with outside libraries: shapely (on GEOS) for the shapes, ezdxf for the cut files.

    python tests/outside/film.py BUILD_DIR FONTS_DIR [--fault NAME]   (BUILD_DIR/maskwright is run)

From plan file and cut files alone, for the sample job and marks that are narrow, tall, slanted and set in a font:
  paint     the cut outlines of all panels are the letters, no more and no less;
  film      the pieces tile the boxes less the paint, each panel on its own; none lies on paint (0.02 mm);
  islands   there are as many islands as the letters have counters;
  cuts      no relief or weeding cut within the box comes to 0.5 mm of the paint; a relief cut of a letter begins
            1/16 in off it; none crosses it;
  box       each box, turned by its angle, is as long and as wide as told, and fits the roll with 1/2 in to spare;
  laps      boxes together hold all paint and 2 in round it; neighbours lap by 1/2 in where they meet;
  tack      every outer side of the boxes lies on the tack strip, 1/4 in of it, and no strip nears the paint;
  order     laid by `lay` and pulled by `pull`, no piece is lifted from under another, and `over` names what is below;
  carry     the runs of application tape cover the panel with their laps, and one fewer would not;
  files     DXF layers and HP-GL tools hold the same outlines and lengths, full size.

With `--fault` the plan is spoilt first, and the check must fail: `shift` (a strip moved by 0.1 mm), `near` (a relief
cut begun 1.3 mm nearer to the paint), `order` (all of one panel pulled before what laps it).
"""

import json
import math
import pathlib
import subprocess
import sys
import tempfile

import ezdxf
import shapely
from shapely import LineString, MultiPolygon, Polygon
from shapely.affinity import rotate, translate
from shapely.ops import unary_union

IN = 25.4
RIM, LAP, SHORT, CLEAR, ON_TACK, SPARE = 2 * IN, IN / 2, IN / 16, 0.5, IN / 4, IN / 2
KEPT, TOUCH = 0.02, 0.5
ROOT = pathlib.Path(__file__).resolve().parents[2]
JOB = """title = "film trial"
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
height = {height}
place = {{ at = [{x}, {y}] }}
{mark}
[masking]
method = "cut-mask"
film = [ {film} ]
application_tape = {{ width = "6 in" }}
tack_tape = {{ width = "3/4 in", real = "18 mm" }}
"""
TRIALS = [
    ('letters = "square"', "N417RW", 3, '{ width = "15 in" }'),
    ('letters = "square"', "AVE8B", 12, '{ width = "15 in" }'),
    ('letters = "rounded"\nslant_deg = 12', "HERON8", 14, '{ width = "24 in" }'),
    ('letters = "clipped"', "O8S", 30, '{ width = "24 in" }'),
    ('letters = { font = "face.ttf" }', "aB8&g", 9, '{ width = "12 in" }, { width = "20 in" }'),
]

failures: list[str] = []


def expect(good: bool, words: str) -> None:
    if not good:
        failures.append(words)


def shape(rings) -> Polygon | MultiPolygon:
    """The shape of outlines, outer and holes, by which of them lie in which."""
    out = Polygon()
    for ring in rings:
        out = out.symmetric_difference(Polygon(ring).buffer(0))
    return out


def spoil(mask: dict, fault: str) -> None:
    film = [p for p in mask["pieces"] if p["kind"] == "film"]
    if fault == "shift":
        piece = film[len(film) // 2]
        piece["footprint_flat_mm"] = [[[x + 0.1, y] for x, y in r] for r in piece["footprint_flat_mm"]]
    if fault == "near":
        for panel in mask["film"]["panels"]:
            for cut in (r for r in panel["relief"] if r["at"] == "letter"):
                (a, b), (c, d) = cut["line_flat_mm"]
                far = math.hypot(c - a, d - b)
                cut["line_flat_mm"][0] = [a - (c - a) / far * 1.3, b - (d - b) / far * 1.3]
    if fault == "order":
        panels = mask["film"]["panels"]
        last = {p["id"] for p in panels[-1]["pieces"]}
        for piece in film:
            if piece["id"] in last:
                piece["pull"] -= len(film)


def check_mask(name: str, mark: dict, mask: dict) -> None:
    paint = unary_union([shape(g["rings_flat_mm"]) for g in mark["glyphs"]])
    film = mask["film"]
    by_id = {p["id"]: p for p in mask["pieces"]}
    pieces = {p["id"]: shape(p["footprint_flat_mm"]) for p in mask["pieces"] if p["kind"] == "film"}
    counters = sum(len(g.interiors) for g in getattr(paint, "geoms", [paint]))
    boxes = [Polygon(p["box_flat_mm"]) for p in film["panels"]]

    cut = unary_union([shape(p["paint_rings_flat_mm"]) for p in film["panels"]])
    expect(cut.symmetric_difference(paint).buffer(-KEPT).area < 0.01, f"{name}: the cut outlines are not the letters")
    parted = any(not b.buffer(KEPT).contains(shape(p["paint_rings_flat_mm"]).envelope.buffer(1)) for b, p in zip(boxes, film["panels"]))
    islands = sum(i["what"] == "island" for p in film["panels"] for i in p["pieces"])
    if not parted:
        expect(islands == counters, f"{name}: {islands} islands for {counters} counters")

    for box, panel in zip(boxes, film["panels"]):
        at = f"{name} {panel['id']}"
        own = unary_union([pieces[i["id"]] for i in panel["pieces"]])
        wanted = box.difference(paint)
        expect(wanted.symmetric_difference(own).buffer(-KEPT).area < 0.01, f"{at}: pieces do not tile the film")
        for one in panel["pieces"]:
            piece = pieces[one["id"]]
            expect(piece.intersection(paint.buffer(-KEPT)).area < 0.02, f"{at}: {one['id']} lies on paint")
        cuts = [LineString(r["line_flat_mm"]) for r in panel["relief"]]
        cuts += [LineString(w) for w in panel["weeding_flat_mm"] if box.contains(LineString(w).centroid)]
        for line in cuts:
            expect(line.distance(paint.boundary) >= CLEAR - KEPT, f"{at}: a cut {line.distance(paint.boundary):.3f} mm from the paint")
        for relief in panel["relief"]:
            line = LineString(relief["line_flat_mm"])
            expect(line.intersection(paint).length < KEPT, f"{at}: a relief cut crosses paint")
            if relief["at"] == "letter":
                off = shapely.Point(line.coords[0]).distance(paint)
                expect(abs(off - SHORT) < 0.03, f"{at}: a relief cut begins {off:.3f} mm off the paint")
        level = rotate(box, -panel["along_deg"], origin=(0, 0))
        a, b, c, d = level.bounds
        expect(abs(c - a - panel["length_mm"]) < 0.01 and abs(d - b - panel["across_mm"]) < 0.01, f"{at}: box of another size")
        expect(panel["across_mm"] + 2 * SPARE <= panel["film"]["width_mm"] + 0.01, f"{at}: wider than its film")
        expect(abs(panel["taken_mm"] - panel["length_mm"] - 2 * SPARE) < 0.01, f"{at}: film taken off the roll")
        expect(panel["taken_mm"] <= panel["film"]["roll_mm"], f"{at}: longer than its roll")
        runs, wide = panel["application"]["runs"], film["application_tape"]["width_mm"]
        reach = lambda n: n * wide - (n - 1) * IN / 4
        expect(reach(runs) >= panel["across_mm"] - 0.01, f"{at}: application tape too narrow")
        expect(runs == 1 or reach(runs - 1) < panel["across_mm"], f"{at}: a run of application tape too many")

    everything = unary_union(boxes)
    rim = paint.envelope.buffer(RIM, join_style="mitre")
    expect(rim.symmetric_difference(everything).buffer(-KEPT).area < 1.0, f"{name}: not 2 in of rim all round")
    for k, (one, two) in enumerate(zip(boxes, boxes[1:])):
        shared = one.intersection(two)
        if shared.area > TOUCH:
            a, b, c = shapely.minimum_rotated_rectangle(shared).exterior.coords[:3]
            lap = min(math.dist(a, b), math.dist(b, c))
            expect(abs(lap - LAP) < 0.01, f"{name}: panels {k + 1} and {k + 2} lap by {lap:.2f} mm")
        else:
            expect(parted, f"{name}: panels {k + 1} and {k + 2} do not lap")

    tack = unary_union([shape(p["footprint_flat_mm"]) for p in mask["pieces"] if p["kind"] == "tack"])
    ring = everything.difference(everything.buffer(-ON_TACK, join_style="mitre"))
    expect(ring.difference(tack).buffer(-KEPT).area < 0.01, f"{name}: the rim does not lie on the tack strip")
    expect(tack.distance(paint) > RIM / 2, f"{name}: the tack strip nears the paint")

    laid = sorted(pieces, key=lambda i: by_id[i]["lay"])
    for k, above in enumerate(laid):
        for below in laid[:k]:
            if not pieces[above].intersects(pieces[below]) or pieces[above].intersection(pieces[below]).area < TOUCH:
                continue
            expect(by_id[above]["pull"] < by_id[below]["pull"], f"{name}: {below} is pulled from under {above}")
            expect(below in by_id[above]["over"], f"{name}: {above} does not say that it lies on {below}")


def check_files(name: str, folder: pathlib.Path, mask: dict) -> int:
    count = 0
    for panel in mask["film"]["panels"]:
        at = f"{name} {panel['id']}"
        paint = shape(panel["paint_rings_flat_mm"])
        relief = sum(LineString(r["line_flat_mm"]).length for r in panel["relief"])
        weeding = sum(LineString(w).length for w in panel["weeding_flat_mm"])
        drawing = ezdxf.readfile(folder / "patterns" / f"{panel['id']}.dxf").modelspace()
        layers: dict[str, list[LineString]] = {}
        for e in drawing:
            if e.dxftype() == "TEXT":
                continue
            line = LineString([(p.x, p.y) for p in ezdxf.path.make_path(e).flattening(0.005)])
            layers.setdefault(e.dxf.layer, []).append(line)
        got = shape([list(line.coords) for line in layers["paint-edge"]])
        expect(abs(got.area - paint.area) < 1e-4 * paint.area + 1, f"{at}: DXF encloses {got.area:.1f}, not {paint.area:.1f} mm2")
        expect(abs(sum(line.length for line in layers.get("relief", [])) - relief) < 0.05, f"{at}: DXF relief")
        expect(abs(sum(line.length for line in layers.get("weeding", [])) - weeding) < 0.05, f"{at}: DXF weeding")
        a, b, c, d = unary_union(sum(layers.values(), [])).bounds
        expect(a >= 0 and b >= 0 and c <= panel["taken_mm"] and d <= panel["film"]["width_mm"], f"{at}: DXF beyond the film")
        turned = rotate(paint, -panel["along_deg"], origin=(0, 0))
        moved = translate(turned, got.bounds[0] - turned.bounds[0], got.bounds[1] - turned.bounds[1])
        expect(moved.symmetric_difference(got).buffer(-KEPT).area < 0.01, f"{at}: DXF is not the plan's outline turned")

        tools: dict[int, list[list[tuple[float, float]]]] = {}
        tool = 0
        for word in (folder / "patterns" / f"{panel['id']}.hpgl").read_text().replace("\n", "").split(";"):
            if word.startswith("SP") and word != "SP0":
                tool = int(word[2:])
                tools[tool] = []
            elif word.startswith("PU") and len(word) > 2:
                x, y = word[2:].split(",")
                tools[tool].append([(int(x) / 40, int(y) / 40)])
            elif word.startswith("PD"):
                n = [int(v) / 40 for v in word[2:].split(",")]
                tools[tool][-1] += list(zip(n[::2], n[1::2]))
        cut = shape(tools[1])
        expect(abs(cut.area - paint.area) < 0.02 * paint.length, f"{at}: HP-GL encloses {cut.area:.1f} mm2")
        whole = sum(LineString(l).length for k in (1, 2, 3, 5) for l in tools.get(k, []))
        expect(abs(whole - panel["cut_mm"]) < 5e-4 * panel["cut_mm"], f"{at}: HP-GL cuts {whole:.1f} of {panel['cut_mm']} mm")
        count += 2
    return count


def main() -> int:
    build, fonts = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
    fault = sys.argv[sys.argv.index("--fault") + 1] if "--fault" in sys.argv else ""
    panels = files = 0
    with tempfile.TemporaryDirectory() as work:
        jobs = [("16-cut-mask", ROOT / "hangar" / "16-cut-mask" / "job.toml")]
        (pathlib.Path(work) / "face.ttf").write_bytes((fonts / "DejaVuSans.ttf").read_bytes())
        for k, (mark, text, height, film) in enumerate(TRIALS):
            wide, tall = 2 * height * len(text) + 20, 3 * height + 10
            path = pathlib.Path(work) / f"trial-{k}.toml"
            path.write_text(JOB.format(wide=wide, tall=tall, x=wide / 2, y=tall / 2, mark=mark, text=text, height=height, film=film))
            jobs.append((f"{text} {height} in", path))
        for name, job in jobs:
            folder = pathlib.Path(work) / f"out-{job.parent.name}-{job.stem}"
            done = subprocess.run([build / "maskwright", "plan", job, "-o", folder, "--only", "patterns"], capture_output=True, text=True)
            expect(done.returncode in (0, 1) and "Traceback" not in done.stderr, f"{name}: {done.stderr}")
            plan = json.loads((folder / "plan.json").read_text())
            for mask in plan["masking"]:
                expect(mask["method"] == "cut-mask", f"{name}: no mask of film")
                spoil(mask, fault)
                mark = next(m for m in plan["marks"] if m["id"] == mask["of"])
                check_mask(name, mark, mask)
                files += check_files(name, folder, mask)
                panels += len(mask["film"]["panels"])
    for words in failures[:20]:
        print(f"FAIL {words}")
    print(f"film: {panels} panels, {files} cut files; {len(failures)} wrong")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
