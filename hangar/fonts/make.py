"""Draws the small fonts the tests letter from. Every outline is our own, given here in numbers,
and under the licences of the project.

    python hangar/fonts/make.py     (needs fonttools; writes beside itself, the same bytes each time)

plain.ttf     quadratic curves; `=` is put together from two hyphens, `X` from two bars that overlap
cubic.otf     cubic curves, the same drawings, with subroutines
variable.ttf  plain.ttf with an axis of weight from 400 (the default) to 900
"""

import math
import pathlib

from fontTools.cffLib import SubrsIndex
from fontTools.fontBuilder import FontBuilder
from fontTools.misc.psCharStrings import T2CharString
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib.tables.TupleVariation import TupleVariation

HERE = pathlib.Path(__file__).resolve().parent
CAP, STROKE, ROUND, PIECES = 700, 120, 0.5523, 16
DATE = 3786912000  # 1 January 2024, in seconds since 1904.


def bar(pen, corners):
    pen.moveTo(corners[0])
    for corner in corners[1:]:
        pen.lineTo(corner)
    pen.closePath()


def box(pen, x0, y0, x1, y1):
    bar(pen, [(x0, y0), (x0, y1), (x1, y1), (x1, y0)])


def oval(pen, x, y, a, b, hole=False):
    """Clockwise, as TrueType has its outsides; a hole the other way. Cubics or quadratics, as the pen has."""
    s = -1 if hole else 1
    if isinstance(pen, TTGlyphPen):
        step = 2 * math.pi / PIECES
        at = lambda k, r: (round(x - s * a * r * math.cos(k * step)), round(y + b * r * math.sin(k * step)))
        pen.moveTo(at(0, 1))
        for k in range(PIECES):
            pen.qCurveTo(at(k + 0.5, 1 / math.cos(step / 2)), at(k + 1, 1))
        pen.closePath()
        return
    k, m = a * ROUND, b * ROUND
    pen.moveTo((x - s * a, y))
    pen.curveTo((x - s * a, y + m), (x - s * k, y + b), (x, y + b))
    pen.curveTo((x + s * k, y + b), (x + s * a, y + m), (x + s * a, y))
    pen.curveTo((x + s * a, y - m), (x + s * k, y - b), (x, y - b))
    pen.curveTo((x - s * k, y - b), (x - s * a, y - m), (x - s * a, y))
    pen.closePath()


def draw(name, pen, t):
    if name == "H":
        bar(pen, [(60, 0), (60, 700), (60 + t, 700), (60 + t, 350 + t / 2), (460 - t, 350 + t / 2),
                  (460 - t, 700), (460, 700), (460, 0), (460 - t, 0), (460 - t, 350 - t / 2),
                  (60 + t, 350 - t / 2), (60 + t, 0)])
    elif name == "I":
        box(pen, 70, 0, 70 + t, 700)
    elif name == "O":
        oval(pen, 280, 350, 230, 360)
        oval(pen, 280, 350, 230 - t, 360 - t, hole=True)
    elif name == "eight":
        oval(pen, 270, 525, 190, 185)
        oval(pen, 270, 190, 220, 200)
        oval(pen, 270, 525, 190 - t, 185 - t, hole=True)
        oval(pen, 270, 190, 220 - t, 200 - t, hole=True)
    elif name == "A":
        bar(pen, [(20, 0), (220, 700), (220 + 1.2 * t, 700), (440 + t, 0), (440, 0), (400, 140), (80 + t, 140),
                  (20 + t, 0)])
        bar(pen, [(130 + t, 260), (360, 260), (235 + t / 2, 640)])
    elif name == "X":
        bar(pen, [(20, 0), (360, 700), (360 + t, 700), (20 + t, 0)])
        bar(pen, [(360, 0), (20, 700), (20 + t, 700), (360 + t, 0)])
    elif name == "hyphen":
        box(pen, 50, 300, 330, 300 + t)


WIDTHS = {".notdef": 500, "space": 250, "H": 520, "I": 260, "O": 560, "eight": 540, "A": 580, "X": 500,
          "hyphen": 380, "equal": 380}
CODES = {32: "space", 45: "hyphen", 56: "eight", 61: "equal", 65: "A", 72: "H", 73: "I", 79: "O", 88: "X"}


def quadratic(t):
    glyphs = {}
    for name in WIDTHS:
        pen = TTGlyphPen(glyphs)
        if name == "equal":
            pen.addComponent("hyphen", (1, 0, 0, 1, 0, 120))
            pen.addComponent("hyphen", (1, 0, 0, 1, 0, -120))
        else:
            draw(name, pen, t)
        # Points that lie halfway between their handles are kept, so that every weight has as many.
        glyphs[name] = pen.glyph(dropImpliedOnCurves=False)
    return glyphs


def started(is_ttf):
    font = FontBuilder(1000, isTTF=is_ttf)
    font.setupGlyphOrder(list(WIDTHS))
    font.setupCharacterMap(CODES)
    return font


def finished(font, style, side_bearings):
    font.setupHorizontalMetrics({n: (w, side_bearings(n)) for n, w in WIDTHS.items()})
    font.setupHorizontalHeader(ascent=800, descent=-200)
    font.setupNameTable({"familyName": "Maskwright Test", "styleName": style})
    font.setupOS2(sCapHeight=CAP, sTypoAscender=800, usWinAscent=800, usWinDescent=200)
    font.setupPost()
    font.updateHead(created=DATE, modified=DATE)
    font.font.recalcTimestamp = False


def truetype(path, style, variable):
    font = started(True)
    glyphs = quadratic(STROKE)
    font.setupGlyf(glyphs)
    finished(font, style, lambda n: getattr(font.font["glyf"][n], "xMin", 0))
    if variable:
        heavy = quadratic(STROKE + 40)
        font.setupFvar([("wght", 400, 400, 900, "Weight")], [])
        font.setupGvar(variations(glyphs, heavy))
    font.save(path)


def variations(glyphs, heavy):
    found = {}
    for name, glyph in glyphs.items():
        points = getattr(glyph, "coordinates", None)
        if not points or name == "equal":
            continue
        other = heavy[name].coordinates
        assert len(points) == len(other), name
        moves = [(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in zip(points, other)]
        found[name] = [TupleVariation({"wght": (0, 1, 1)}, moves + [(0, 0)] * 4)]
    return found


def opentype(path):
    font = started(False)
    strings = {}
    for name, width in WIDTHS.items():
        pen = T2CharStringPen(width, None)
        draw(name, pen, STROKE)
        strings[name] = pen.getCharString()
    # The two bars of `=` are one subroutine called twice (number 0, written less the bias of 107).
    bars = [WIDTHS["equal"], 50, 180, "rmoveto", -107, "callsubr", -280, 240, "rmoveto", -107, "callsubr"]
    strings["equal"] = T2CharString(program=[*bars, "endchar"])
    font.setupCFF("MaskwrightTest", {"FullName": "Maskwright Test"}, strings, {})
    private = font.font["CFF "].cff.topDictIndex[0].Private
    private.Subrs = SubrsIndex()
    lines = [0, STROKE, "rlineto", 280, 0, "rlineto", 0, -STROKE, "rlineto", "return"]
    private.Subrs.append(T2CharString(program=lines))
    strings["equal"].private = private
    finished(font, "Cubic", lambda n: 0)
    font.save(path)


if __name__ == "__main__":
    truetype(HERE / "plain.ttf", "Plain", False)
    opentype(HERE / "cubic.otf")
    truetype(HERE / "variable.ttf", "Variable", True)
