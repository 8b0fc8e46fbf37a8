"""Makes `cowl.stl`: an engine cowl of our own drawing, both sides in one scan, as a scanner would save it.

A shell 800 mm long, open in front and behind, 440 mm wide and 380 high in front, 900 and 800 behind; its right side swells by
2.5 mm over the exhaust, as no cowl is the same on both sides. Spacing about 20 mm, noise of 0.12 mm along the way out,
triangles in no order, binary STL. Axes as the scanner had them: x aft, y up, z to port; its zero is not in the middle of the
cowl: that lies at z = 12. Millimetres.
"""

import math
import pathlib
import random
import struct

LONG, MIDDLE = 800.0, 12.0
ALONG, ROUND = 44, 72
NOISE = 0.12
POWER = 2.3


def eased(u: float) -> float:
    """From 0 to 1, steep at first, level at the end."""
    return math.sin(u * math.pi / 2) ** 0.9


def point(i: int, k: int) -> tuple[float, float, float]:
    u = i / ALONG
    wide, high = 220 + 230 * eased(u), 190 + 210 * eased(u)
    turn = 2 * math.pi * k / ROUND
    sin, cos = math.sin(turn), math.cos(turn)
    size = (abs(sin) ** POWER + abs(cos) ** POWER) ** (-1 / POWER)
    x, port, up = LONG * u, wide * size * sin, high * size * cos
    if port < 0.0:
        port -= 2.5 * math.exp(-(((x - 420) / 160) ** 2) - ((up + 40) / 150) ** 2)
    return (x, up, port + MIDDLE)


def main() -> None:
    draw = random.Random(66)
    grid = [[point(i, k) for k in range(ROUND)] for i in range(ALONG + 1)]
    for row in grid:
        for k, (x, y, z) in enumerate(row):
            out = math.hypot(y, z - MIDDLE)
            shake = draw.gauss(0.0, NOISE)
            row[k] = (x, y + shake * y / out, z + shake * (z - MIDDLE) / out)
    triangles = []
    for i in range(ALONG):
        for k in range(ROUND):
            a, b, c, d = grid[i][k], grid[i + 1][k], grid[i + 1][(k + 1) % ROUND], grid[i][(k + 1) % ROUND]
            # Counter-clockwise seen from outside: up turns to port, x runs aft.
            triangles += [(a, c, b), (a, d, c)]
    draw.shuffle(triangles)
    with (pathlib.Path(__file__).parent / "cowl.stl").open("wb") as file:
        file.write(b"cowl of our own drawing, both sides".ljust(80, b" "))
        file.write(struct.pack("<I", len(triangles)))
        for corners in triangles:
            file.write(struct.pack("<12fH", 0.0, 0.0, 0.0, *(v for p in corners for v in p), 0))


if __name__ == "__main__":
    main()
