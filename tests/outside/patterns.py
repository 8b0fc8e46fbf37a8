"""Reads every full-size pattern with other people's readers and holds it against plan.json.

Usage: patterns.py BUILD_DIR [--stretch FACTOR]

PDF by pypdf (page sizes) and pdfplumber (words, check square, paint edges, seams), and by qpdf where it is
installed; DXF by ezdxf with its own audit; SVG by fontTools' path reader; HP-GL by its two commands. `--stretch`
scales what was read, to show that the checks can fail.
"""

import json
import math
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

import ezdxf
import ezdxf.path
import pdfplumber
import pypdf
from ezdxf.lldxf.encoding import decode_dxf_unicode
from fontTools.pens.areaPen import AreaPen
from fontTools.svgLib.path import parse_path

ROOT = pathlib.Path(__file__).resolve().parents[2]
MM = 25.4 / 72.0
AREA = 1e-4
SIZE = 0.05
SVG = "{http://www.w3.org/2000/svg}"

# ISO 216 and ANSI/ASME Y14.1 (from memory): short and long side, mm.
PAPERS = {"a4": (210, 297), "a3": (297, 420), "letter": (215.9, 279.4), "tabloid": (279.4, 431.8)}

# Markup, a formula, codes of the formats, letters written from the right, letters the face lacks.
TITLE = "<b>&amp;</b> =1+2 %%c \\P {\\f} (\u05d0\u05d1) \u4e2d \u010ce\u0161tina \u0416"
# What the sheets show of it: each letter the face lacks by its Unicode number, all else as typed.
SHOWN = "<b>&amp;</b> =1+2 %%c \\P {\\f} ([U+05D0][U+05D1]) [U+4E2D] \u010ce\u0161tina \u0416"

failures: list[str] = []
counts = {"pages": 0, "edges": 0, "seams": 0, "files": 0, "ends": 0, "colours": 0}


def expect(good: bool, words: str) -> None:
    if not good:
        failures.append(words)


def hostile_job(folder: pathlib.Path) -> pathlib.Path:
    """A job with a title that is not harmless, sixty features, and a mark of twelve characters."""
    text = f"title = {json.dumps(TITLE, ensure_ascii=False)}\nunits = 'in'\n"
    text += "[patterns]\nwhole = true\nmirror = true\n"
    text += "[[surface]]\nid = 'side'\nkind = 'flat'\nside = 'left'\n"
    text += "corners = [[0, 0], [140, 0], [140, 30], [0, 30]]\n"
    for k in range(60):
        x, y = 4 + 2.2 * k, 4 + 7 * (k % 4)
        text += f"[[surface.feature]]\nid = 'ring-{k}'\nkind = 'ring'\nat = [{x}, {y}]\ndiameter = 1.5\n"
    text += "[[mark]]\nid = 'long'\nsurface = 'side'\ntext = 'MW8AR2Q6S&NN'\nheight = 12\n"
    text += "letters = 'rounded'\nplace = { at = [70, 15] }\n"
    path = folder / "hostile.toml"
    path.write_text(text, encoding="utf-8")
    return path


def area_of(path: list) -> float:
    """Area a path of pdfplumber encloses, signed, square points."""
    pen = AreaPen()
    is_open = False
    for step in path:
        op, points = step[0], [tuple(p) for p in step[1:]]
        if op == "m":
            if is_open:
                pen.closePath()
            pen.moveTo(points[0])
            is_open = True
        elif op == "l":
            pen.lineTo(points[0])
        elif op == "c":
            pen.curveTo(*points)
    if is_open:
        pen.closePath()
    return pen.value


def ring_area(ring: list) -> float:
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1])) / 2


def straight_lengths(rings: list) -> list[float]:
    """Lengths of the edges long enough to be straight lines, not chords of an arc."""
    ends = [(a, b) for ring in rings for a, b in zip(ring, ring[1:] + ring[:1])]
    return sorted(math.dist(a, b) for a, b in ends if math.dist(a, b) > 20)


def edges_on(page: pdfplumber.page.Page) -> list[dict]:
    objects = page.curves + page.rects + page.lines
    return [o for o in objects if o.get("tag") == "paint-edge"]


def marks_on(page: pdfplumber.page.Page) -> list[tuple[float, float]]:
    """Centres of the register marks' rings, mm."""
    rings = [c for c in page.curves if abs(c["width"] * MM - 4.8) < 0.05 and abs(c["height"] * MM - 4.8) < 0.05]
    return [((c["x0"] + c["x1"]) / 2 * MM, (c["y0"] + c["y1"]) / 2 * MM) for c in rings if not c.get("tag")]


def pdf_words(page: pdfplumber.page.Page, number: int, pages: int, name: str) -> str:
    text = page.extract_text()
    expect(f"page {number} of {pages}" in text, f"{name}: page {number} does not say its number")
    expect("Print at 100 %" in text, f"{name}: page {number} does not say how to print it")
    # Of letters that lie on their side, squarely or nearly so, the reader's box is as wide as they are tall.
    def tall(c: dict) -> float:
        a, b = c["matrix"][:2]
        return c["height"] if abs(a) > abs(b) else c["width"]

    sizes = [tall(c) for c in page.chars if c["text"].strip()]
    small = [size for size in sizes if size < 7.0]
    expect(not small, f"{name}: page {number} has letters of {min(small, default=0):.1f} points")
    for c in page.chars:
        inside = 0 <= c["x0"] and c["x1"] <= page.width and 0 <= c["top"] and c["bottom"] <= page.height
        expect(inside, f"{name}: page {number}: {c['text']!r} leaves the paper")
    return text


def check_square(page: pdfplumber.page.Page, stretch: float) -> bool:
    sides = [(r["width"] * MM * stretch, r["height"] * MM * stretch) for r in page.rects]
    return any(abs(w - 100) <= SIZE and abs(h - 100) <= SIZE for w, h in sides)


def pdf_file(path: pathlib.Path, mark: dict, paper: tuple | None, stretch: float) -> None:
    name = path.name
    if shutil.which("qpdf"):
        done = subprocess.run(["qpdf", "--check", str(path)], capture_output=True, text=True)
        expect(done.returncode == 0, f"{name}: qpdf says {done.stdout}{done.stderr}")
    for page in pypdf.PdfReader(path).pages:
        sides = sorted(float(v) * MM for v in (page.mediabox.width, page.mediabox.height))
        good = paper is None or all(abs(a - b) < 0.01 for a, b in zip(sides, paper))
        expect(good, f"{name}: a page of {sides}")
    glyphs = {}
    for glyph in mark["glyphs"]:
        glyphs.setdefault(glyph["char"], glyph["rings_flat_mm"])
    whole = [ring for glyph in mark["glyphs"] for ring in glyph["rings_flat_mm"]]
    with pdfplumber.open(path) as pdf:
        sheets: dict[tuple, dict] = {}
        for number, page in enumerate(pdf.pages, 1):
            counts["pages"] += 1
            text = pdf_words(page, number, len(pdf.pages), name)
            expect(check_square(page, stretch), f"{name}: page {number} has no square of 100 mm")
            if "sticks" in name:
                continue
            heading = text_heading(text, mark)
            rings = whole if heading == "whole" else glyphs.get(heading)
            edges = edges_on(page)
            if rings is None or not edges:
                failures.append(f"{name}: page {number} shows nothing that was planned ({heading!r})")
                continue
            got = abs(sum(area_of(o["path"]) for o in edges)) * (MM * stretch) ** 2
            want = abs(sum(ring_area(ring) for ring in rings))
            expect(abs(got - want) <= AREA * want, f"{name}: page {number}: {got:.1f} mm2, planned {want:.1f}")
            lengths(edges, rings, stretch, f"{name}: page {number}")
            tile = re.search(r"sheet ([A-Z]+)(\d+), page", text)
            if tile:
                corner = (edges[0]["pts"][0][0] * MM, (page.height - edges[0]["pts"][0][1]) * MM)
                lines = [(x * MM, (page.height - y) * MM) for o in edges for x, y in o["pts"]]
                sheets[(heading, tile[1], int(tile[2]))] = {"corner": corner, "marks": marks_on(page), "lines": lines}
        seams(sheets, stretch, name)


def text_heading(text: str, mark: dict) -> str:
    if re.search(r"(, whole)(\n|$| )", text):
        return "whole"
    found = re.search(r"(\S) of " + re.escape(mark["text"]), text)
    return found[1] if found else ""


def lengths(edges: list[dict], rings: list, stretch: float, name: str) -> None:
    got = []
    for edge in edges:
        last = first = None
        for step in edge["path"]:
            if step[0] == "m":
                first = last = step[1]
            elif step[0] == "l":
                got.append(math.dist(last, step[1]) * MM * stretch)
                last = step[1]
            elif step[0] == "c":
                last = step[3]
            elif step[0] == "h" and last and math.dist(last, first) > 0:
                got.append(math.dist(last, first) * MM * stretch)
    got = sorted(length for length in got if length > 20)
    want = straight_lengths(rings)
    counts["edges"] += len(want)
    good = len(got) == len(want) and all(abs(a - b) <= SIZE for a, b in zip(got, want))
    expect(good, f"{name}: {len(got)} lines, {len(want)} planned: {got[:4]} {want[:4]}")


def seams(sheets: dict, stretch: float, name: str) -> None:
    """Laid mark on mark, two neighbours show every line at the same place."""
    letter = {key[1] for key in sheets}
    rows = {row: k for k, row in enumerate(sorted(letter, key=lambda r: (len(r), r)))}
    for (heading, row, column), sheet in sheets.items():
        for (other_heading, other_row, other_column), other in sheets.items():
            step = (rows[other_row] - rows[row], other_column - column)
            if heading != other_heading or step not in ((0, 1), (1, 0)):
                continue
            by = [other["corner"][k] - sheet["corner"][k] for k in (0, 1)]
            moved = [(x * stretch + by[0], y * stretch + by[1]) for x, y in sheet["marks"]]
            met = [p for p in moved if any(math.dist(p, q) <= SIZE for q in other["marks"])]
            counts["seams"] += 1
            where = f"{row}{column} and {other_row}{other_column}"
            expect(len(met) >= 2, f"{name}: {heading}: sheets {where} meet at {len(met)} register marks")
            if "lines" not in sheet or "lines" not in other:
                continue
            # As a painter lays them, by the marks alone: every paint edge that crosses the seam goes on.
            pairs = [(p, q) for p in sheet["marks"] for q in other["marks"]
                     if math.dist((p[0] + by[0], p[1] + by[1]), q) <= 1.0]
            laid = [sum(q[k] - stretch * p[k] for p, q in pairs) / max(len(pairs), 1) for k in (0, 1)]
            apart = [math.dist((x * stretch + laid[0], y * stretch + laid[1]), q)
                     for (x, y), q in zip(sheet["lines"], other["lines"])]
            same = len(sheet["lines"]) == len(other["lines"])
            expect(same and max(apart) <= SIZE, f"{name}: {heading}: lines of sheets {where} miss by {max(apart):.3f} mm")


def tape_layers(path: pathlib.Path, document: ezdxf.document.Drawing, masks: list, stretch: float) -> None:
    """The layers of tape of every colour hold what the plan file says."""
    for part in sorted({m["part"] for m in masks} | {"letters"}):
        own = [m for m in masks if m["part"] == part]
        tape_of(path, document, own, "" if part == "letters" else f"{part}-", stretch)


def tape_of(path: pathlib.Path, document: ezdxf.document.Drawing, masks: list, before: str, stretch: float) -> None:
    """Two layers of one colour: each piece closed, the strip's edges as long as planned."""
    laid = [p for m in masks for p in m["pieces"] if p["kind"] in ("edge", "bridge", "plug")]
    want = sum(ring_area(ring) for p in laid for ring in p["footprint_flat_mm"])
    got, edges = 0.0, 0.0
    for line in document.modelspace().query(f'LWPOLYLINE[layer=="{before}pieces"]'):
        expect(line.closed, f"{path.name}: an open piece")
        got += ring_area([(p.x, p.y) for p in ezdxf.path.make_path(line).flattening(0.0005)]) * stretch**2
    expect(abs(got - want) <= AREA * want, f"{path.name}: {before}pieces of {got:.1f} mm2, planned {want:.1f}")
    for line in document.modelspace().query(f'LWPOLYLINE[layer=="{before}tack-strip"]'):
        points = list(ezdxf.path.make_path(line).flattening(0.0005))
        edges += sum(a.distance(b) for a, b in zip(points, points[1:])) * stretch
    # The plan file repeats the first point of an edge that runs all round.
    lines = [edge for m in masks for edge in m["tack_rings_flat_mm"]]
    want = sum(math.dist(a, b) for edge in lines for a, b in zip(edge, edge[1:]))
    expect(abs(edges - want) <= AREA * want, f"{path.name}: {before}strip's edge {edges:.1f} mm, planned {want:.1f}")


def dxf_file(path: pathlib.Path, mark: dict, masks: list, title: str, stretch: float) -> None:
    document = ezdxf.readfile(path)
    audit = document.audit()
    expect(not audit.errors and not audit.fixes, f"{path.name}: {audit.errors} {audit.fixes}")
    expect(document.header["$INSUNITS"] == 4, f"{path.name}: not in millimetres")
    expect(document.dxfversion >= "AC1015", f"{path.name}: {document.dxfversion}")
    for layer in ("paint-edge", "tack-strip", "pieces", "features", "datum"):
        expect(layer in document.layers, f"{path.name}: no layer {layer}")
    got = 0.0
    signs = []
    for line in document.modelspace().query('LWPOLYLINE[layer=="paint-edge"]'):
        expect(line.closed, f"{path.name}: an open paint edge")
        points = [(p.x, p.y) for p in ezdxf.path.make_path(line).flattening(0.0005)]
        signs.append(ring_area(points))
        got += signs[-1] * stretch**2
    rings = [ring for glyph in mark["glyphs"] for ring in glyph["rings_flat_mm"]]
    want = sum(ring_area(ring) for ring in rings)
    if "mirrored" not in path.name:
        wanted_signs = [ring_area(ring) > 0 for ring in rings]
        expect([s > 0 for s in signs] == wanted_signs, f"{path.name}: outlines turn the wrong way")
    expect(abs(got - want) <= AREA * want, f"{path.name}: {got:.1f} mm2, planned {want:.1f}")
    if "mirrored" not in path.name:
        tape_layers(path, document, masks, stretch)
    words = [decode_dxf_unicode(t.dxf.text) for t in document.modelspace().query("TEXT")]
    expect(any(title in w for w in words), f"{path.name}: the title is not among {words[:3]}")


def svg_file(path: pathlib.Path, mark: dict, title: str, stretch: float) -> None:
    root = ElementTree.parse(path).getroot()
    width, box = root.get("width"), [float(v) for v in root.get("viewBox").split()]
    expect(width.endswith("mm") and abs(float(width[:-2]) - box[2]) < 1e-6, f"{path.name}: not in millimetres")
    expect(root.find(f"{SVG}title").text.startswith(title), f"{path.name}: its title changed")
    layers = {g.get("id"): g for g in root.findall(f"{SVG}g")}
    pen = AreaPen()
    for line in layers["paint-edge"].iter(f"{SVG}path"):
        parse_path(line.get("d"), pen)
    rings = [ring for glyph in mark["glyphs"] for ring in glyph["rings_flat_mm"]]
    want = abs(sum(ring_area(ring) for ring in rings))
    got = abs(pen.value) * stretch**2
    expect(abs(got - want) <= AREA * want, f"{path.name}: {got:.1f} mm2, planned {want:.1f}")


def hpgl_file(path: pathlib.Path, mark: dict, stretch: float) -> None:
    pens = pen_areas(path)
    expect(sorted(pens) == list(range(1, 2 + len(further_areas(mark)))), f"{path.name}: pens {sorted(pens)}")
    got = pens.get(1, 0.0) * stretch**2
    rings = [ring for glyph in mark["glyphs"] for ring in glyph["rings_flat_mm"]]
    want = sum(ring_area(ring) for ring in rings)
    # A unit is 0.025 mm: an edge may lie half of one beside its place.
    edges = (math.dist(a, b) for ring in rings for a, b in zip(ring, ring[1:] + ring[:1]))
    allowed = AREA * want + 0.0125 * sum(edges)
    expect(abs(abs(got) - want) <= allowed, f"{path.name}: {got:.1f} mm2, planned {want:.1f}")


def further_areas(mark: dict) -> dict:
    """Area of what shows of each further colour, by its kind, in the order of the plan."""
    return {f["kind"]: sum(ring_area(ring) for ring in f["rings_flat_mm"]) for f in mark.get("further", [])}


def corners(path: list) -> list[tuple[float, float]]:
    """Corners of a closed path of straight lines, mm; the first not repeated."""
    points = [(s[1][0] * MM, s[1][1] * MM) for s in path if s[0] in ("m", "l")]
    return points[:-1] if len(points) > 1 and math.dist(points[0], points[-1]) < 1e-6 else points


def piece_of(shape: list, ring: list, width: float) -> bool:
    """True if a shape is one end of a stripe: cut square across, as wide there as planned, all else a run of the
    planned outline, edge for edge, whichever way it is turned."""
    sides = [math.dist(a, b) for a, b in zip(ring, ring[1:] + ring[:1])]
    for k in range(len(shape)):
        turned = shape[k:] + shape[:k]
        cut, run = math.dist(turned[0], turned[1]), turned[2:]
        steps = [math.dist(a, b) for a, b in zip(run, run[1:])]
        if abs(cut - width) > SIZE or not steps:
            continue
        for way in (steps, steps[::-1]):
            for at in range(len(sides)):
                got = [sides[(at + j) % len(sides)] for j in range(len(way))]
                if all(abs(a - b) <= SIZE for a, b in zip(way, got)):
                    return True
    return False


def stripe_pdf(path: pathlib.Path, stripe: dict, paper: tuple | None, stretch: float) -> None:
    """The ends of a stripe: every sheet shows the same piece of the planned outline, and neighbours meet."""
    name = path.name
    if shutil.which("qpdf"):
        done = subprocess.run(["qpdf", "--check", str(path)], capture_output=True, text=True)
        expect(done.returncode == 0, f"{name}: qpdf says {done.stdout}{done.stderr}")
    sheets: dict[tuple, dict] = {}
    with pdfplumber.open(path) as pdf:
        for number, page in enumerate(pdf.pages, 1):
            counts["pages"] += 1
            sides = sorted((float(page.width) * MM, float(page.height) * MM))
            good = paper is None or all(abs(a - b) < 0.01 for a, b in zip(sides, paper))
            expect(good, f"{name}: a page of {sides}")
            text = pdf_words(page, number, len(pdf.pages), name)
            expect(check_square(page, stretch), f"{name}: page {number} has no square of 100 mm")
            edges = edges_on(page)
            heading = re.search(rf"(start|end) of stripe {stripe['id']}", text)
            if not edges or not heading:
                failures.append(f"{name}: page {number} shows no end of the stripe")
                continue
            shape = [(x * stretch, y * stretch) for x, y in corners(edges[0]["path"])]
            width = stripe["width_mm"] if isinstance(stripe["width_mm"], float | int) else stripe["width_mm"][0]
            counts["ends"] += 1
            met = any(piece_of(shape, ring, width) for ring in stripe["rings_flat_mm"])
            expect(met, f"{name}: page {number}: no piece of the planned outline: {shape}")
            tile = re.search(r"sheet ([A-Z]+)(\d+), page", text)
            if tile:
                corner = (edges[0]["pts"][0][0] * MM, (page.height - edges[0]["pts"][0][1]) * MM)
                sheets[(heading[1], tile[1], int(tile[2]))] = {"corner": corner, "marks": marks_on(page)}
    seams(sheets, stretch, name)


def stripe_whole(path: pathlib.Path, stripe: dict, stretch: float) -> None:
    """The whole stripe in the formats that hold all of it: the area of its paint."""
    want = abs(sum(ring_area(ring) for ring in stripe["rings_flat_mm"]))
    around = sum(math.dist(a, b) for ring in stripe["rings_flat_mm"] for a, b in zip(ring, ring[1:] + ring[:1]))
    got, allowed = 0.0, AREA * want
    if path.suffix == ".dxf":
        document = ezdxf.readfile(path)
        audit = document.audit()
        expect(not audit.errors and not audit.fixes, f"{path.name}: {audit.errors} {audit.fixes}")
        got = layer_area(document, "paint-edge")
    elif path.suffix == ".svg":
        got = svg_area(path, "paint-edge")
    else:
        got = sum(pen_areas(path).values())
        allowed += 0.0125 * around
    got = abs(got) * stretch**2
    expect(abs(got - want) <= allowed, f"{path.name}: {got:.1f} mm2, planned {want:.1f}")


def layer_area(document: ezdxf.document.Drawing, layer: str) -> float:
    lines = document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    return sum(ring_area([(p.x, p.y) for p in ezdxf.path.make_path(line).flattening(0.0005)]) for line in lines)


def svg_area(path: pathlib.Path, layer: str) -> float:
    pen = AreaPen()
    for group in ElementTree.parse(path).getroot().findall(f"{SVG}g"):
        if group.get("id") == layer:
            for line in group.iter(f"{SVG}path"):
                parse_path(line.get("d"), pen)
    return pen.value


def pen_areas(path: pathlib.Path) -> dict[int, float]:
    """Area each pen of a cutter file runs round."""
    areas: dict[int, float] = {}
    pen, points = 0, []
    for command in path.read_text(encoding="ascii").split(";"):
        command = command.strip()
        numbers = [int(v) for v in re.findall(r"-?\d+", command)]
        pairs = [(x / 40, y / 40) for x, y in zip(numbers[::2], numbers[1::2])]
        if command.startswith("SP"):
            pen = numbers[0]
        elif command.startswith("PU"):
            points = pairs
        elif command.startswith("PD"):
            expect(pairs[-1] == points[0], f"{path.name}: an open outline")
            areas[pen] = areas.get(pen, 0.0) + ring_area(points + pairs[:-1])
    return areas


def further_colours(path: pathlib.Path, mark: dict, stretch: float) -> None:
    """Each further colour has a layer of its own, or a pen, and encloses what the plan says."""
    for k, (kind, want) in enumerate(further_areas(mark).items()):
        counts["colours"] += 1
        allowed = AREA * abs(want)
        if path.suffix == ".dxf":
            got = layer_area(ezdxf.readfile(path), kind)
        elif path.suffix == ".svg":
            got = svg_area(path, kind)
        else:
            got = pen_areas(path).get(k + 2, 0.0)
            rings = mark["further"][k]["rings_flat_mm"]
            allowed += 0.0125 * sum(math.dist(a, b) for r in rings for a, b in zip(r, r[1:] + r[:1]))
        got = abs(got) * stretch**2
        expect(abs(got - abs(want)) <= allowed, f"{path.name}: {kind} of {got:.1f} mm2, planned {want:.1f}")


def check_plan(folder: pathlib.Path, paper: tuple | None, title: str, shown: str, stretch: float) -> None:
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    for mark in plan["marks"]:
        for suffix in ("", "-mirrored"):
            for path in sorted((folder / "patterns").glob(f"{mark['id']}{suffix}.*")):
                counts["files"] += 1
                match path.suffix:
                    case ".pdf":
                        pdf_file(path, mark, paper, stretch)
                    case ".dxf":
                        masks = [m for m in plan["masking"] if m["of"] == mark["id"]]
                        dxf_file(path, mark, masks, title, stretch)
                    case ".svg":
                        svg_file(path, mark, title, stretch)
                    case ".hpgl":
                        hpgl_file(path, mark, stretch)
                if path.suffix in (".dxf", ".svg", ".hpgl"):
                    further_colours(path, mark, stretch)
        sticks = folder / "patterns" / f"{mark['id']}-sticks.pdf"
        counts["files"] += 1
        pdf_file(sticks, mark, paper, stretch)
        with pdfplumber.open(sticks) as pdf:
            # The title may be broken into lines and cut at the end of the second.
            said = " ".join(pdf.pages[0].extract_text().split())
            expect(shown[:12] in said, f"{sticks.name}: {shown[:12]!r} is not in {said[:80]!r}")
            # A long title is broken into lines, which may fall between any two words.
            missing = [w for w in shown.split()[:8] if w not in said]
            expect(not missing, f"{sticks.name}: {missing} of the title are not in {said[:160]!r}")
    for stripe in plan.get("stripes", []):
        for path in sorted((folder / "patterns").glob(f"{stripe['id']}.*")):
            counts["files"] += 1
            match path.suffix:
                case ".pdf":
                    stripe_pdf(path, stripe, paper, stretch)
                case ".dxf" | ".svg" | ".hpgl":
                    stripe_whole(path, stripe, stretch)


def main() -> int:
    build = pathlib.Path(sys.argv[1]).resolve()
    stretch = float(sys.argv[sys.argv.index("--stretch") + 1]) if "--stretch" in sys.argv else 1.0
    with tempfile.TemporaryDirectory() as folder:
        return measured(build, pathlib.Path(folder), stretch)


def measured(build: pathlib.Path, work: pathlib.Path, stretch: float) -> int:
    jobs = [
        (ROOT / "hangar" / "02-flat-rudder" / "job.toml", "letter"),
        (ROOT / "hangar" / "03-tapered-swept-wing" / "job.toml", "a4"),
        (ROOT / "hangar" / "03-tapered-swept-wing" / "job.toml", "a3"),
        (ROOT / "hangar" / "10-boat-bow" / "job.toml", "tabloid"),
        (ROOT / "hangar" / "01-parasol-wing" / "job.toml", "36 in"),
        (hostile_job(work), "a3"),
        # Further colours, stripes' ends, characters of a body and of a scan, on the papers not yet seen.
        (ROOT / "hangar" / "15-outline-and-shadow" / "job.toml", "tabloid"),
        (ROOT / "hangar" / "51-side-stripes" / "job.toml", "letter"),
        (ROOT / "hangar" / "61-body-sides" / "job.toml", "letter"),
        (ROOT / "hangar" / "62-fairing-scan" / "job.toml", "24 in"),
    ]
    for job, paper in jobs:
        folder = work / f"{job.parent.name if job.name == 'job.toml' else job.stem}-{paper.replace(' ', '')}"
        command = [build / "maskwright", "plan", job, "-o", folder, "--paper", paper]
        status = subprocess.run([*map(str, command)], capture_output=True, text=True)
        expect(status.returncode in (0, 1), f"{job}: {status.stderr}")
        title = re.search(r"^title = (.*)$", job.read_text(encoding="utf-8"), re.M)[1]
        title = json.loads(title)
        shown = SHOWN if job.name == "hostile.toml" else title
        check_plan(folder, PAPERS.get(paper), title, shown, stretch)
    for words in failures[:20]:
        print(f"FAIL {words}")
    print(
        f"patterns: {counts['files']} files, {counts['pages']} pages, {counts['edges']} lines measured, "
        f"{counts['seams']} seams, {counts['ends']} ends of stripes, {counts['colours']} further colours; {len(failures)} wrong"
    )
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
