"""Joins the parts of a web font (latin, latin-ext, cyrillic, cyrillic-ext, greek) into one TrueType file.

Usage: make.py FOLDER_OF_UNPACKED_PACKAGES OUT_FOLDER

The packages are @fontsource/sofia-sans and @fontsource/sofia-sans-condensed 5.3.0 (OFL-1.1), unpacked side by
side by their names. Needs fonttools. The outlines are not touched; the width class is put right.
"""

import pathlib
import sys
import tempfile

from fontTools.merge import Merger
from fontTools.ttLib import TTFont

PARTS = ["latin", "latin-ext", "cyrillic", "cyrillic-ext", "greek"]
MADE = [
    ("sofia-sans", 400, "sofia-sans-regular.ttf"),
    ("sofia-sans", 700, "sofia-sans-bold.ttf"),
    ("sofia-sans-condensed", 700, "sofia-sans-condensed-bold.ttf"),
]


def main(packages, out):
    for family, weight, name in MADE:
        with tempfile.TemporaryDirectory() as folder:
            parts = []
            for part in PARTS:
                font = TTFont(packages / family / "files" / f"{family}-{part}-{weight}-normal.woff")
                font.flavor = None
                parts.append(str(pathlib.Path(folder) / f"{part}.ttf"))
                font.save(parts[-1])
            font = Merger().merge(parts)
            # The package leaves the width class of the condensed cut at normal, so that it cannot be asked for.
            font["OS/2"].usWidthClass = 3 if "condensed" in family else 5
            font.save(out / name)
            print(out / name)


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]))
