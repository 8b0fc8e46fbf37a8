"""Paper on a ball, held against great circles.

Usage: cover.py DUMP_PLAN [--narrow SHARE]

A body lofted through 33 rings of a ball of 20 in radius, with one side in the job and a mark of four letters 6 in high on
it. On a ball the shortest way between two points is the great circle, a zone of height h has the area 2 pi R h
(Archimedes; any textbook of spherical geometry) and its rings are circles, so that a place read by station and girth is
known in space. From the plan file alone:

* every place of the side farther from the mark than its tape goes lies within half a width of the middle of a strip of
  its face, and every place of the other side (a back is seen through the face, so that it is read alike) within half a
  width of one of the back, along great circles;
* each strip laps the one below by an inch or more along great circles;
* no strip from end to end is shorter than the great circle between the ends of its middle, nor than its middle is by chords;
* the paper's area is both sides less the letters with their tape, which nearly fill their box.

--narrow takes every strip for so much narrower: a check that cannot fail is none.
"""

import json
import math
import pathlib
import subprocess
import sys
import tempfile

INCH = 25.4
RADIUS = 20 * INCH
END = 1.3
failures, checks = [], 0


def check(good, words):
    global checks
    checks += 1
    if not good:
        failures.append(words)


def job():
    rings = []
    for k in range(-16, 17):
        s = 20 * math.sin(k / 16 * END)
        half = math.sqrt(400 - s * s)
        rings.append(f"{{ s = {s:.9f}, half_width = {half:.9f}, top = {half:.9f}, bottom = {-half:.9f}, power = 2.0 }}")
    return f"""title = "Ball"
units = "in"
[[surface]]
id = "ball"
kind = "body"
side = "left"
stations = [{", ".join(rings)}]
[[mark]]
id = "name"
surface = "ball"
text = "KTLH"
height = 6
place = {{ at = [1.5, 2.0] }}
[masking]
edge_tapes = [ {{ width = "1/4 in", roll = "36 yd", strain = 0.05 }} ]
tack_tape = {{ width = "3/4 in", real = "18 mm", roll = "60 yd" }}
paper = [ {{ width = "6 in" }}, {{ width = "9 in" }} ]
"""


def place(s, t):
    ring = math.sqrt(RADIUS**2 - s * s)
    return (s, -ring * math.cos(t / ring), ring * math.sin(t / ring))


def way(p, q):
    cross = math.dist((0, 0, 0), (p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]))
    return RADIUS * math.atan2(cross, sum(a * b for a, b in zip(p, q, strict=True)))


def to_line(p, t, first, last):
    """Least way from a place to the line along a girth, by golden section over stations near it."""
    low, high = max(first, p[0] - 150), min(last, p[0] + 150)
    for _ in range(40):
        a, b = low + 0.382 * (high - low), low + 0.618 * (high - low)
        if way(p, place(a, t)) < way(p, place(b, t)):
            high = b
        else:
            low = a
    return way(p, place((low + high) / 2, t))


def main():
    narrow = float(sys.argv[sys.argv.index("--narrow") + 1]) if "--narrow" in sys.argv else 0.0
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "job.toml"
        path.write_text(job(), encoding="utf-8")
        plan = json.loads(subprocess.run([sys.argv[1], path], check=True, capture_output=True).stdout)
    mark, paper = plan["marks"][0], plan["paper"]
    check(paper["sides"] == ["face", "back"], f"covered are {paper['sides']}")
    far = RADIUS * math.sin(END)
    first, last = -far, far
    middle = place(*mark["centre_skin_mm"])
    half = math.hypot(mark["length_mm"], mark["height_mm"]) / 2 + 3 * INCH
    for side in ("face", "back"):
        strips = [s for s in paper["strips"] if s["side"] == side]
        for i in range(1, 40):
            s = first + (last - first) * i / 40
            top = math.sqrt(RADIUS**2 - s * s) * math.pi / 2
            column = []
            for strip in strips:
                if strip["stations_mm"][0] <= s <= strip["stations_mm"][1]:
                    column.append((strip["girths_mm"][0], strip["width_mm"] * (1 - narrow)))
            for k in range(-19, 20):
                t = top * k / 20
                p = place(s, t)
                if side == "face" and way(p, middle) < half:
                    continue
                near = (to_line(p, low + w / 2, first, last) - w / 2 for low, w in column if abs(t - low - w / 2) < w)
                check(min(near, default=math.inf) < 0.05, f"{side}: {s:.0f} {t:.0f} shows")
            if side == "face" and abs(s - mark["centre_skin_mm"][0]) < half:
                continue
            column.sort()
            for (low, width), (high, _) in zip(column, column[1:], strict=False):
                if -top < low and high < top:
                    lap = width - to_line(place(s, high), low, first, last)
                    check(lap > INCH - 0.05, f"{side}: at {s:.0f} strips lap {lap:.1f} mm")
        for strip in strips:
            a, b = (min(max(x, first), last) for x in strip["stations_mm"])
            low, high = strip["girths_mm"]
            check(abs(high - low - strip["width_mm"]) < 0.01, f"{side}: {strip['width_mm']} wide lies {high - low} wide")
            line = [place(a + (b - a) * k / 200, (low + high) / 2) for k in range(201)]
            whole = strip["stations_mm"][0] <= first and last <= strip["stations_mm"][1]
            if whole and all(abs((low + high) / 2) < math.sqrt(RADIUS**2 - p[0] ** 2) * math.pi / 2 for p in line):
                chords = sum(math.dist(p, q) for p, q in zip(line, line[1:], strict=False))
                check(chords * (1 + narrow) < strip["length_mm"] + 0.5, f"{side}: {strip['length_mm']} long, middle {chords}")
                check(way(line[0], line[-1]) < strip["length_mm"] + 0.5, f"{side}: {strip['length_mm']} long")
    both = 2 * math.pi * RADIUS * 2 * far
    shut = both - paper["area_m2"] * 1e6
    round_it = 2 * (0.375 * INCH + 18)
    most = (mark["length_mm"] + round_it) * (mark["height_mm"] + round_it)
    # Ends of the tack strip run past its corners, up to its own width.
    check(0.6 * most < shut < 1.1 * most, f"{shut:.0f} mm2 are shut, the box round the tape has {most:.0f}")
    print(f"cover: {checks} checks, {len(failures)} failures")
    for failure in failures[:20]:
        print("  " + failure)
    return 1 if failures or checks < 1500 else 0


if __name__ == "__main__":
    sys.exit(main())
