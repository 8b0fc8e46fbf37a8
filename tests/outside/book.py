"""Reads the printed book with PDF readers that share no code with the program, and holds it against the plan.

    python tests/outside/book.py BUILD_DIR [--shift MM]

Sets the demo's book (later stages filled with invented data) on both papers. Looks at page sizes, words, sizes of
letters, links, bookmarks and fonts with pypdf and pdfplumber, measures what is drawn at full size, and computes
the measures on the wing sheet anew from the outlines in plan.json. `--shift` moves those, and must then fail.
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
import icalendar
import pdfplumber
import pypdf

POINT = 25.4 / 72
# ISO 216 and ANSI/ASME Y14.1 sheet sizes, mm (from memory).
PAPERS = {"a4": ((210, 297), (420, 297)), "letter": ((215.9, 279.4), (431.8, 279.4))}
# What the book promises: nothing under 7 points.
LEAST = 7.0
BORDER = 10.0
# What a drawing may hold: shapes and words, nothing that acts or fetches.
DRAWN = {"svg", "title", "desc", "defs", "pattern", "path", "rect", "g", "circle", "text", "tspan"}

failures = []


def claim(text, good, detail=""):
    print(f"{'ok  ' if good else 'MISS'} {text} {detail}")
    if not good:
        failures.append(text)


def written(mm):
    """Millimetres as the book prints them: one decimal, half away from zero."""
    tenths = math.floor(mm * 10 + 0.5 + 1e-6)
    return f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"


def squeezed(text):
    return re.sub(r"\s+", " ", text.replace("\u200b", ""))


def look(path, sizes, title):
    """Pages, words, letters."""
    reader = pypdf.PdfReader(path)
    texts = []
    with pdfplumber.open(path) as pdf:
        claim("pypdf and pdfplumber count the same pages", len(pdf.pages) == len(reader.pages), len(pdf.pages))
        least, out = math.inf, []
        for n, page in enumerate(pdf.pages, 1):
            size = (page.width * POINT, page.height * POINT)
            wanted = min(sizes, key=lambda s: abs(s[0] - size[0]))
            good = all(abs(a - b) < 0.01 for a, b in zip(size, wanted))
            if not good:
                claim(f"page {n} has a size of the paper", False, size)
            texts.append(squeezed(page.extract_text()))
            for c in page.chars:
                if not c["text"].strip():
                    continue
                # Across the line of words: a letter turned a quarter is as wide as its size.
                a, b = c["matrix"][:2]
                least = min(least, c["size"] if abs(a) > abs(b) else c["x1"] - c["x0"])
                x0, x1, top, bottom = (c[k] * POINT for k in ("x0", "x1", "top", "bottom"))
                if x0 < BORDER or x1 > size[0] - BORDER or top < BORDER or bottom > size[1] - BORDER:
                    out.append((n, c["text"]))
        claim("every letter is at least 7 points, those in drawings too", least >= LEAST - 0.02, f"{least:.2f}")
        claim("every letter lies inside the border", not out, out[:5])
    count = len(texts)
    wrong = [n for n, t in enumerate(texts, 1) if f"{n} of {count}" not in t]
    claim("every page says page n of m", not wrong, wrong)
    start = title[:20]
    wrong = [n for n, t in enumerate(texts, 1) if start not in t]
    claim("the job's name is on every page", not wrong, wrong)

    meta = reader.metadata
    claim("no date in the file", "/CreationDate" not in meta and "/ModDate" not in meta, dict(meta))
    names = [o["/Title"] for o in reader.outline if not isinstance(o, list)]
    for o in (o for o in reader.outline if not isinstance(o, list)):
        page = reader.get_destination_page_number(o)
        if squeezed(o["/Title"])[:24] not in texts[page]:
            claim(f"bookmark {o['/Title']} leads to its sheet", False, page + 1)
    claim("bookmarks for all sheets", len(names) >= 15, len(names))
    links = [a.get_object() for a in reader.pages[0].get("/Annots", [])]
    claim("the contents are links", len([a for a in links if a["/Subtype"] == "/Link"]) >= 14, len(links))
    fonts = set()
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", {}).values():
            font = font.get_object()
            below = font.get("/DescendantFonts")
            descriptor = (below[0].get_object() if below else font).get("/FontDescriptor")
            embedded = descriptor and any(k in descriptor.get_object() for k in ("/FontFile", "/FontFile2", "/FontFile3"))
            fonts.add((font["/BaseFont"], bool(embedded)))
    claim("every font is embedded", fonts and all(e for _, e in fonts), sorted(fonts))
    if shutil.which("qpdf"):
        done = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True)
        claim("qpdf finds no error", done.returncode == 0, done.stdout[-200:] if done.returncode else "")
    return texts


def measures(texts, plan, shift):
    """The wing sheet's figures from the outlines of plan.json.

    The demo's wing has one chord and no sweep: flat is (s, -t) by CONTRACT 3, so a box is the least and greatest
    of its outline, and a taut tape on the skin is a straight line in flat.
    """
    wing = next(t for t in texts if "the lines of each letter" in t)
    mark = plan["marks"][0]
    boxes = []
    for glyph in mark["glyphs"]:
        xs = [p[0] + shift for ring in glyph["rings_flat_mm"] for p in ring]
        ys = [-p[1] + shift for ring in glyph["rings_flat_mm"] for p in ring]
        boxes.append((min(xs), max(xs), min(ys), max(ys)))
        for what, at in (("left", min(xs)), ("right", max(xs))):
            claim(f"{what} line of {glyph['char']}", f" {written(at)} mm" in wing, written(at))
    left, right = boxes[0][0], boxes[-1][1]
    caps, base = min(b[2] for b in boxes), max(b[3] for b in boxes)
    claim("caps and baseline", f"caps" in wing and f" {written(caps)} mm" in wing and f" {written(base)} mm" in wing)
    diagonal = math.hypot(right - left, base - caps)
    claim("both diagonals", wing.count(f" {written(diagonal)} mm") >= 2, written(diagonal))
    inch = 25.4
    a, b = round(left / inch) * inch, round(right / inch) * inch
    for name, x, y in (("lower left", left, base), ("lower right", right, base),
                       ("upper right", right, caps), ("upper left", left, caps)):
        for station in (a, b):
            far = math.hypot(x - station, y)
            claim(f"swing to {name} from {written(station)}", f"{written(far)} mm" in wing, written(far))


def full_size(path, plan):
    """The cutting card: its bar and its strips, measured."""
    widths = {p["tape_width_mm"] for m in plan["masking"] for p in m["pieces"] if p["kind"] in ("edge", "bridge", "plug")
              and any(p[end]["end"] == "pre-cut" and p[end]["cut_deg"] > 0 for end in ("start", "finish"))}
    # Angles are printed to half a degree; the stroke leans by the printed one, either way.
    asked = {round(2 * p[end]["cut_deg"]) / 2 for m in plan["masking"] for p in m["pieces"] for end in ("start", "finish")
             if p["kind"] in ("edge", "bridge", "plug") and p[end]["end"] == "pre-cut" and p[end]["cut_deg"] > 0}
    with pdfplumber.open(path) as pdf:
        texts = [p.extract_text() for p in pdf.pages]
        first = next(n for n, t in enumerate(texts) if "Lay the tape on its strip" in t)
        last = next(n for n in range(first, len(texts)) if "long prints a nick" in texts[n])
        pages = pdf.pages[first : last + 1]
        lengths, slopes, tall = [], set(), []
        for page in pages:
            tall += [c["height"] * POINT for c in page.curves + page.rects]
            for item in page.lines:
                (x0, y0), (x1, y1) = item["pts"][0], item["pts"][-1]
                lengths.append(math.hypot(x1 - x0, y1 - y0) * POINT)
                if abs(y1 - y0) > 1 and item["linewidth"] > 1.5:
                    slopes.add(round(math.degrees(math.atan2(abs(y1 - y0), abs(x1 - x0))) * 2) / 2)
        bar = min(lengths, key=lambda n: abs(n - 100))
        claim("the bar of 100 mm", abs(bar - 100) < 0.01, f"{bar:.4f}")
        for width in widths:
            near = min(tall, key=lambda n: abs(n - width))
            claim(f"a strip {width} mm wide", abs(near - width) < 0.01, f"{near:.4f}")
        printed = {float(n) for t in texts[first : last + 1] for n in re.findall(r"(\d+(?:\.5)?)°", t)}
        claim("every cut of the plan is on the card", asked and printed == asked, sorted(printed ^ asked))
        leaning = {min(a, 180 - a) for a in asked}
        claim("the strokes lean as printed", leaning == slopes, sorted(leaning ^ slopes))


# Signs of three scripts the book's faces lack, one of them a picture, between words they have.
FOREIGN = "\u53f3\u7ffc \u05db\u05e0\u05e3 \u062c\u0646\u0627\u062d N417RW \U0001f6e9 \u0416\u0443\u043a \u03a9mega \u00e9"


def foreign(build, demo, folder):
    """No sign of a name vanishes: what the faces lack stands by its number, on every page."""
    job = folder / "foreign.toml"
    text = re.sub(r'^title = ".*"', f'title = "{FOREIGN}"', demo.read_text(), count=1, flags=re.M)
    job.write_text(text, encoding="utf-8")
    for beside in demo.parent.glob("*.dat"):
        shutil.copy(beside, folder)
    subprocess.run([build / "examples" / "set_book", job, folder / "foreign.pdf", "letter"], check=True)
    lacking = {c for c in FOREIGN if ord(c) > 0x5ff and not c.isspace()} | {c for c in FOREIGN if 0x590 <= ord(c) < 0x600}
    shown = "".join(f"[U+{ord(c):04X}]" if c in lacking else c for c in FOREIGN)
    with pdfplumber.open(folder / "foreign.pdf") as pdf:
        first = re.sub(r"\s+", "", pdf.pages[0].extract_text().replace("\u200b", ""))
        claim("every sign of the title is on the cover", re.sub(r"\s+", "", shown) in first, first[:120])
        note = re.search(rf"lack{len(lacking)}ofthesigns", first)
        claim("the cover says how many signs the faces lack", note is not None, len(lacking))
        texts = [p.extract_text() for p in pdf.pages]
        bare = [n for n, t in enumerate(texts, 1) if any(c in t for c in lacking)]
        claim("no page shows a sign its face lacks", not bare, bare)
        start = f"[U+{ord(FOREIGN[0]):04X}]"
        wrong = [n for n, t in enumerate(texts, 1) if start not in t]
        claim("every page names the job", not wrong, wrong)


# Jobs whose pages were once clipped, small or nearly empty, each on a paper.
FULL = (("02-flat-rudder", "letter"), ("03-tapered-swept-wing", "a4"), ("04-lower-left-wing", "letter"),
        ("21-six-letters-one-hand", "letter"), ("34-wing-name-shadow", "a4"), ("53-mirrored-cheat", "letter"),
        ("61-body-sides", "a4"), ("63-hull-bow", "a4"), ("65-twisted-wing", "letter"))
# A page that goes on from another holds more than a few lines: this share of its room at least (chosen).
LEAST_FILL = 0.15
HEADED = ("to the wing", "on the bench", "for the record")


def whole_pages(build, root, folder):
    """Nothing small, nothing outside the border, no page for the sake of a few lines."""
    for job, paper in FULL:
        out = folder / job
        command = [build / "maskwright", "plan", root / "hangar" / job / "job.toml", "-o", out, "--only", "book", "--paper", paper]
        subprocess.run(command, check=False, capture_output=True)
        small, outside, empty = [], [], []
        with pdfplumber.open(out / "book.pdf") as pdf:
            for n, page in enumerate(pdf.pages, 1):
                width, height = page.width * POINT, page.height * POINT
                lowest = 0.0
                for c in page.chars:
                    if not c["text"].strip():
                        continue
                    a, b = c["matrix"][:2]
                    size = c["size"] if abs(a) > abs(b) else c["x1"] - c["x0"]
                    x0, x1, top, bottom = (c[k] * POINT for k in ("x0", "x1", "top", "bottom"))
                    if size < LEAST - 0.02:
                        small.append((n, c["text"], round(size, 2)))
                    if x0 < BORDER or x1 > width - BORDER or top < BORDER or bottom > height - BORDER:
                        outside.append((n, c["text"]))
                    # The title block stands on the border's lower line.
                    if top < height - BORDER - 11.5:
                        lowest = max(lowest, bottom)
                fill = (lowest - BORDER - 7) / (height - 2 * BORDER - 11.5 - 7)
                if n > 1 and fill < LEAST_FILL and not any(h in page.extract_text() for h in HEADED):
                    empty.append((n, round(fill, 2)))
        claim(f"{job} on {paper}: every letter is at least 7 points", not small, small[:4])
        claim(f"{job} on {paper}: every letter lies inside the border", not outside, outside[:4])
        claim(f"{job} on {paper}: no page for a few lines", not empty, empty)


# Markup, a formula, quotes, signs of the formats, a letter written from the right.
HOSTILE = r"<b>&amp;</b> =1+2; #panic() $x$ \\P, %%c 'q' \u05d0"


def hostile(build, root, folder):
    """Words stay words: in the book, the drawings, the calendar, the plan file and the patterns."""
    job = folder / "hostile.toml"
    text = (root / "crates" / "plan" / "tests" / "jobs" / "two-sides.toml").read_text(encoding="utf-8")
    text = re.sub(r'^title = ".*"', lambda _: f'title = "{HOSTILE}"', text, count=1, flags=re.M)
    text = text.replace('name = "hardener"', 'name = "=1+2 <i>&"')
    # What acts on a line without being seen is not let in at all.
    for sign in (r"\u0007", r"\u202e", r"\u2066"):
        job.write_text(text.replace("=1+2;", f"=1{sign}+2;", 1), encoding="utf-8")
        done = subprocess.run([build / "maskwright", "check", job], check=False, capture_output=True)
        claim(f"a title with {sign} is refused", done.returncode == 2, done.returncode)
    job.write_text(text, encoding="utf-8")
    out = folder / "hostile"
    done = subprocess.run([build / "maskwright", "plan", job, "-o", out], check=False, capture_output=True, text=True)
    claim("a job of hostile words is planned", done.returncode in (0, 1), done.stderr[-300:])
    title = json.loads(f'"{HOSTILE}"')
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    claim("the plan file has the paint's part as typed", any(p["name"] == "=1+2 <i>&" for q in plan["paint"] for p in q["parts"]))
    with pdfplumber.open(out / "book.pdf") as pdf:
        text = "".join(squeezed(p.extract_text()) for p in pdf.pages)
        first = re.sub(r"\s+", "", pdf.pages[0].extract_text().replace("\u200b", ""))
    # The face of the book's headings has no Hebrew of its own; another of its faces has, or its number stands there.
    start = re.sub(r"\s+", "", title)[:-1]
    claim("the book shows the title as words", start in first, first[:160])
    claim("the book shows the part as words", "=1+2 <i>&" in text)
    drawings = sorted((out / "layout").glob("*.svg")) + sorted((out / "patterns").glob("*.svg"))
    for path in drawings:
        root_of = ElementTree.parse(path).getroot()
        bare = {e.tag.split("}")[1] for e in root_of.iter()}
        claim(f"{path.name} holds drawing only", bare <= DRAWN, sorted(bare - DRAWN))
    calendar = icalendar.Calendar.from_ical((out / "day.ics").read_bytes())
    # The reader leaves the escapes of RFC 5545, 3.3.11, in a property it does not know.
    claim("the calendar's name is the title", re.sub(r"\\(.)", r"\1", str(calendar["X-WR-CALNAME"])) == title,
          str(calendar["X-WR-CALNAME"]))
    words = [str(e["SUMMARY"]) for e in calendar.walk("VEVENT")]
    claim("the calendar tells two marks of one text apart",
          any("N53 (left side" in w for w in words) and any("N53 (right side" in w for w in words), words[:3])
    for path in sorted((out / "patterns").glob("*.dxf")):
        audit = ezdxf.readfile(path).audit()
        claim(f"{path.name} passes the audit", not audit.errors and not audit.fixes)
    for path in sorted((out / "patterns").glob("*.pdf")):
        with pdfplumber.open(path) as pdf:
            said = re.sub(r"\s+", "", pdf.pages[0].extract_text())
        claim(f"{path.name} shows the title as words", re.sub(r"\s+", "", title)[:24] in said, said[:120])


def accents(build, root, folder):
    """A letter and a loose accent are printed as the one sign they are (Unicode Standard Annex 15)."""
    job = folder / "accents.toml"
    text = (root / "crates" / "plan" / "tests" / "jobs" / "two-sides.toml").read_text(encoding="utf-8")
    job.write_text(re.sub(r'^title = ".*"', 'title = "Me\u0301sange, Z\u030celeznice"', text, count=1, flags=re.M), encoding="utf-8")
    out = folder / "accents"
    subprocess.run([build / "maskwright", "plan", job, "-o", out], check=False, capture_output=True)
    for path in [out / "book.pdf", *sorted((out / "patterns").glob("*.pdf"))]:
        with pdfplumber.open(path) as pdf:
            said = pdf.pages[0].extract_text()
        claim(f"{path.name} has accents on their letters", "M\u00e9sange" in said and "\u017deleznice" in said, said[:80])


def main():
    build = pathlib.Path(sys.argv[1])
    shift = float(sys.argv[sys.argv.index("--shift") + 1]) if "--shift" in sys.argv else 0.0
    job = pathlib.Path(__file__).resolve().parents[2] / "hangar" / "01-parasol-wing" / "job.toml"
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        subprocess.run([build / "maskwright", "plan", job, "-o", folder / "plan"], check=False, capture_output=True)
        plan = json.loads((folder / "plan" / "plan.json").read_text())
        title = re.search(r'^title = "(.*)"', job.read_text(), re.M)[1]
        for paper, sizes in PAPERS.items():
            print(f"on {paper}")
            path = folder / f"{paper}.pdf"
            subprocess.run([build / "examples" / "set_book", job, path, paper], check=True)
            texts = look(path, sizes, title)
            measures(texts, plan, shift)
            full_size(path, plan)
        foreign(build, job, folder)
        root = job.parents[2]
        whole_pages(build, root, folder)
        hostile(build, root, folder)
        accents(build, root, folder)
        claim("the program's own book opens", len(pypdf.PdfReader(folder / "plan" / "book.pdf").pages) > 5)
    print(f"{len(failures)} missed")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
