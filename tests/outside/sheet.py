"""Reads a drawing with tools that share no code with the program, and measures it.

    cargo run -p sheet --example sampler -- OUT.svg
    cargo run -p sheet --example sampler -- --widths > WIDTHS.txt
    python tests/outside/sheet.py OUT.svg WIDTHS.txt REGULAR.ttf BOLD.ttf

Needs shapely and fonttools; the two fonts are the regular and bold of the face named first in the drawing's
font stack. Says every measurement, and ends with status 1 if one is off.
"""

import math
import re
import sys
import xml.etree.ElementTree as ET

from fontTools.ttLib import TTFont
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box

NS = "{http://www.w3.org/2000/svg}"
SCALE = 1 / 10  # The sampler fits 100 in by 40 in into 260 by 120 mm: 1:10 is the largest round scale.
failures = []


def check(claim, wanted, got, tolerance):
    good = abs(wanted - got) <= tolerance
    print(f"{'ok  ' if good else 'MISS'} {claim}: wanted {wanted:.4f}, got {got:.4f}, tolerance {tolerance}")
    if not good:
        failures.append(claim)


def claim(text, good, detail=""):
    print(f"{'ok  ' if good else 'MISS'} {text} {detail}")
    if not good:
        failures.append(text)


def arc(p, r, large, sweep, q, steps=256):
    """Points of a circular arc by the endpoint rules of SVG 1.1, appendix F.6 (equal radii, no rotation)."""
    (x1, y1), (x2, y2) = p, q
    dx, dy = (x1 - x2) / 2, (y1 - y2) / 2
    half2 = dx * dx + dy * dy
    r = max(r, math.sqrt(half2))
    k = math.sqrt(max(0.0, r * r - half2) / half2) * (-1 if large == sweep else 1)
    cx, cy = k * dy + (x1 + x2) / 2, -k * dx + (y1 + y2) / 2
    a1, a2 = math.atan2(y1 - cy, x1 - cx), math.atan2(y2 - cy, x2 - cx)
    turn = a2 - a1
    if sweep and turn < 0:
        turn += 2 * math.pi
    if not sweep and turn > 0:
        turn -= 2 * math.pi
    return [(cx + r * math.cos(a1 + turn * i / steps), cy + r * math.sin(a1 + turn * i / steps))
            for i in range(1, steps + 1)]


def outlines(d):
    """Every outline of a path that uses M, L, A and Z: (points, closed)."""
    found, points, closed = [], [], False
    for letter, rest in re.findall(r"([MLAZ])([^MLAZ]*)", d):
        n = [float(x) for x in rest.split()]
        if letter == "M":
            if points:
                found.append((points, closed))
            points, closed = [(n[0], n[1])], False
        elif letter == "L":
            points.append((n[0], n[1]))
        elif letter == "A":
            points += arc(points[-1], n[0], int(n[3]), int(n[4]), (n[5], n[6]))
        else:
            closed = True
    return found + [(points, closed)]


def text_box(element, fonts):
    """The box of a text element by the font's own widths: baseline to cap height only, so that a miss is a
    true overlap of letters and no matter of generous boxes."""
    size = float(element.get("font-size"))
    font, widths, em = fonts[element.get("font-weight", "normal")]

    def run(text, at):
        return sum(widths[font.get(ord(c), ".notdef")][0] for c in text or "") * at / em

    width = run(element.text, size)
    for part in element:
        width += float(part.get("dx", 0))
        width += run(part.text, float(part.get("font-size", size))) + run(part.tail, size)
    x, y = float(element.get("x")), float(element.get("y"))
    start = {"start": 0, "middle": -width / 2, "end": -width}[element.get("text-anchor", "start")]
    shape = box(x + start, y - 0.73 * size, x + start + width, y)
    turn = re.match(r"rotate\(([-\d.]+) ", element.get("transform", ""))
    return affinity.rotate(shape, float(turn.group(1)), origin=(x, y)) if turn else shape


def main(drawing, table, regular, bold):
    root = ET.parse(drawing).getroot()
    layers = {g.get("id"): g for g in root.iter(NS + "g")}
    w, h = float(root.get("width").removesuffix("mm")), float(root.get("height").removesuffix("mm"))
    check("view box has millimetres as its unit (width)", w, float(root.get("viewBox").split()[2]), 1e-9)
    check("view box has millimetres as its unit (height)", h, float(root.get("viewBox").split()[3]), 1e-9)

    # Lengths and areas of the invented letters, by closed form from their own sizes in mm.
    l_path, d_path = [p.get("d") for p in layers["cut-lines"].iter(NS + "path")]
    (l_points, _), = outlines(l_path)
    letter = Polygon(l_points)
    check("area of the straight letter, mm2", (380 * 120 + 480 * 120) * SCALE**2, letter.area, 0.01)
    check("length round the straight letter, mm", 2 * (380 + 600) * SCALE, letter.length, 0.01)
    (outer, _), (inner, _) = outlines(d_path)
    back = 1460 - 1200
    area = back * 600 + math.pi * 300**2 / 2 - ((back - 120) * 360 + math.pi * 180**2 / 2)
    letter = Polygon(outer, [inner])
    check("area of the round letter, mm2", area * SCALE**2, letter.area, 0.02)
    check("round letter's stroke, mm", 120 * SCALE, LineString(inner + inner[:1]).distance(
        LineString(outer + outer[:1])), 0.003)
    check("height of the round letter, mm", 600 * SCALE, letter.bounds[3] - letter.bounds[1], 0.002)
    winding = [sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(p, p[1:] + p[:1])) for p in (outer, inner)]
    claim("a counter runs the other way round, so that it stays empty", winding[0] * winding[1] < 0)

    # Nothing but drawing: no element or attribute that could act or fetch.
    kinds = {e.tag.removeprefix(NS) for e in root.iter()}
    claim("only drawing elements", kinds <= {"svg", "title", "desc", "defs", "pattern", "path", "rect", "g",
                                             "circle", "text", "tspan"}, kinds)
    names = {a for e in root.iter() for a in e.attrib}
    claim("no attribute that acts or fetches", not any(a.startswith("on") or "href" in a for a in names))
    said = ["".join(e.itertext()) for e in root.iter(NS + "text")]
    claim("hostile words come out as words", any("<script>" in s and "&" in s for s in said))

    # Words: by the font's own widths none covers another, and all stay on the sheet.
    fonts = {}
    for name, path in (("normal", regular), ("bold", bold)):
        font = TTFont(path)
        fonts[name] = (font.getBestCmap(), font["hmtx"].metrics, font["head"].unitsPerEm)
    texts = [(text_box(e, fonts), "".join(e.itertext())) for e in root.iter(NS + "text")]
    met = [(a[1], b[1]) for i, a in enumerate(texts) for b in texts[i + 1:] if a[0].intersection(b[0]).area > 1e-6]
    claim(f"no two of {len(texts)} lines of words overlap", not met, met)
    sheet = box(10, 10, w - 10, h - 10)
    out = [t[1] for t in texts if not sheet.contains(t[0])]
    claim("all words lie inside the border", not out, out)

    # Words and lines: a line through words makes them hard to read, unless the words were drawn after it
    # on a strip of paper. Filled shapes and the border are not looked at.
    crossed = []
    everything = list(root.iter())
    paper = next(e for e in everything if e.get("id") == "paper").get("fill")

    def on_paper(t, shape):
        before = everything[order[t] - 1]
        if before.tag != NS + "path" or before.get("fill") != paper:
            return False
        return Polygon(outlines(before.get("d"))[0][0]).buffer(0.002).contains(shape)

    order = {e: k for k, e in enumerate(root.iter())}
    lines_of_words = [(text_box(e, fonts), e) for e in root.iter(NS + "text")]
    for g in ("cut-lines", "dimensions", "notes", "title-block", "reference"):
        for e in layers[g].iter(NS + "path"):
            for points, closed in outlines(e.get("d")):
                line = LineString(points + points[:1] if closed else points)
                crossed += [(g, "".join(t.itertext())) for shape, t in lines_of_words
                            if (line.crosses(shape) or line.within(shape))
                            and not (order[e] < order[t] and on_paper(t, shape))]
    claim("no line runs through words", not crossed, crossed)

    # The width table, character by character, against the font.
    short = []
    for row in open(table, encoding="utf-8"):
        code, *estimates = row.split()
        for estimate, (cmap, widths, em) in zip(estimates, (fonts["normal"], fonts["bold"])):
            real = widths[cmap[int(code)]][0] / em
            if float(estimate) < real:
                short.append((chr(int(code)), float(estimate), round(real, 3)))
            if float(estimate) > 1.6 * real:
                print(f"note {chr(int(code))!r} is given {float(estimate):.3f} for {real:.3f}")
    claim("no character is wider in the font than in the table", not short, short)

    dots = [Point(float(c.get("cx")), float(c.get("cy"))) for c in layers["notes"].iter(NS + "circle")
            if float(c.get("r")) > 3]
    apart = min(a.distance(b) for i, a in enumerate(dots) for b in dots[i + 1:])
    claim("balloons stand apart", apart >= 2 * 3.6 + 2 - 0.002, f"{apart:.3f} mm")
    print(f"{len(failures)} missed")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:5]))
