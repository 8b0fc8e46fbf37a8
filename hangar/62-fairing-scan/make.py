"""Makes `fairing.stl`: the outer half of a wheel fairing of our own drawing, as a scanner would save it.

A drop 900 mm long, 320 mm high and 240 mm wide, cut down its middle; spacing about 14 mm, noise of 0.15 mm along the
way out, triangles in no order, saved as loose triangles in binary STL whose head begins with the word `solid`, as
some programs do. Axes: x aft, y to the side (out), z up; millimetres.
"""

import math
import pathlib
import random
import struct

LONG, HIGH, WIDE = 900.0, 320.0, 240.0
ALONG, ROUND = 64, 30
NOISE = 0.15


def half(u: float) -> float:
    """Half thickness of the drop, of its greatest, `u` of the way aft: the root of a cubic's nose, a straight tail."""
    return 2.598 * math.sqrt(u) * (1.0 - u) if u < 1 / 3 else 1.5 * (1.0 - u) * (0.75 + 0.75 * u)


def point(i: int, j: int) -> tuple[float, float, float]:
    u = 0.015 + 0.955 * (i / ALONG) ** 1.15
    angle = math.pi * (j / ROUND - 0.5)
    size = half(u)
    return (LONG * u, WIDE / 2 * size * math.cos(angle), HIGH / 2 * size * math.sin(angle))


def main() -> None:
    draw = random.Random(24)
    grid = [[point(i, j) for j in range(ROUND + 1)] for i in range(ALONG + 1)]
    for row in grid:
        for j, (x, y, z) in enumerate(row):
            out = math.hypot(y / WIDE**2, z / HIGH**2) or 1.0
            shake = draw.gauss(0.0, NOISE)
            row[j] = (x, y + shake * y / WIDE**2 / out, z + shake * z / HIGH**2 / out)
    triangles = []
    for i in range(ALONG):
        for j in range(ROUND):
            a, b, c, d = grid[i][j], grid[i + 1][j], grid[i + 1][j + 1], grid[i][j + 1]
            # Counter-clockwise seen from +y, from where x runs to the left.
            triangles += [(a, c, b), (a, d, c)]
    draw.shuffle(triangles)
    with (pathlib.Path(__file__).parent / "fairing.stl").open("wb") as file:
        file.write(b"solid fairing, outer half, of our own drawing".ljust(80, b" "))
        file.write(struct.pack("<I", len(triangles)))
        for corners in triangles:
            file.write(struct.pack("<12fH", 0.0, 0.0, 0.0, *(v for p in corners for v in p), 0))


if __name__ == "__main__":
    main()
