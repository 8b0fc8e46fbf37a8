"""Stripes on bodies, held against exact ways over triangles and against closed forms of the ball.

Usage: curved_stripes.py DUMP_PLAN HANGAR [--wider MM]

* An egg (a spheroid, 60 in long and 32 in across) lofted through 49 rings, with a stripe through four points on its side.
  From `plan.json` alone a mesh of the egg itself is made round the stripe, and pygeodesic (the exact algorithm of
  Mitchell, Mount and Papadimitriou) measures from places of both edges to the middle: half the width, within the error
  stated.
* A ball of 20 in radius: a straight stripe is a band about a great circle. Its edges are parallels half the width off, as
  long as the equator times the cosine, and of geodesic curvature tan(h / R) / R (any textbook of spherical geometry); tape
  b wide strains by that times b plus b^2 / 2 R^2 (facts of the geometry sheet). On the other side its mirror image.
* hangar/64: the chord from edge to middle is shorter than the way over the skin, by less than d^3 / 24 R^2.

--wider asks every stripe so much wider: a check that cannot fail is none.
"""

import argparse
import json
import math
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
import pygeodesic.geodesic as exact

IN = 25.4
ROWS = 8
# Columns to either side of a place that are taken with it.
BESIDE = 8


def plan(dump, text):
    with tempfile.NamedTemporaryFile("w", suffix=".toml", delete=False) as file:
        file.write(text)
    try:
        return json.loads(subprocess.run([dump, file.name], check=True, capture_output=True).stdout)
    finally:
        pathlib.Path(file.name).unlink()


def egg(side, half_length, radius, count):
    rings = []
    for k in range(-count, count + 1):
        s = half_length * math.sin(k / count * 1.3)
        r = radius * math.sqrt(1 - (s / half_length) ** 2)
        rings.append(f"{{ s = {s:.9f}, half_width = {r:.9f}, top = {r:.9f}, bottom = {-r:.9f}, power = 2.0 }}")
    return f'[[surface]]\nid = "{side}"\nkind = "body"\nside = "{side}"\nstations = [{", ".join(rings)}]\n'


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("dump")
    parser.add_argument("hangar", type=pathlib.Path)
    parser.add_argument("--wider", type=float, default=0.0)
    args = parser.parse_args()
    wrong, asked = [], 0

    def near(what, got, want, within):
        nonlocal asked
        asked += 1
        if not abs(got - want) <= within:
            wrong.append(f"{what}: {got:.5f}, wanted {want:.5f} within {within:.5f}")

    head = 'title = "x"\nunits = "in"\n'
    # The egg.
    a, b = 30 * IN, 16 * IN
    text = head + egg("left", 30, 16, 24)
    text += '[[stripe]]\nid = "red"\nsurface = "left"\nthrough = [[-14, -2], [-4, 2.5], [6, 3], [15, -1.5]]\nwidth = 3\n'
    red = plan(args.dump, text)["stripes"][0]
    middle = np.array(red["middle_xyz_mm"])
    edges = [np.array(e) for e in red["edges_xyz_mm"]]
    for points in (middle, *edges):
        off = (points[:, 0] / a) ** 2 + (points[:, 1] ** 2 + points[:, 2] ** 2) / b**2 - 1
        near("points off the egg, mm", float(np.abs(off).max()) * b / 2, 0.0, 0.02)
    assert len(middle) == len(edges[0]) == len(edges[1])

    def on_egg(p):
        scale = 1 / np.sqrt((p[:, 0] / a) ** 2 + (p[:, 1] ** 2 + p[:, 2] ** 2) / b**2)
        return p * scale[:, None]

    # Rows from the one edge over the middle to the other, between them spread evenly and put on the egg; columns between
    # neighbours filled up so that the triangles are small both ways.
    def filled(points):
        parts = []
        for p, q in zip(points[:-1], points[1:], strict=True):
            parts.append(np.linspace(p, q, 4)[:-1])
        return np.concatenate([*parts, points[-1:]])

    left, mid, right = (on_egg(filled(p)) for p in (edges[0], middle, edges[1]))
    shares = np.linspace(0, 1, ROWS + 1)
    rows = [on_egg(left * (1 - f) + mid * f) for f in shares[:-1]] + [mid]
    rows += [on_egg(mid * (1 - f) + right * f) for f in shares[1:]]
    n = len(mid)
    width = 3 * IN + args.wider
    for row in (0, 2 * ROWS):
        for c in np.linspace(n // 6, n - n // 6, 9).astype(int):
            # Columns near enough for the foot on the middle, whichever way the edge leans.
            low, high = c - BESIDE, c + BESIDE + 1
            wide = high - low
            points = np.concatenate([r[low:high] for r in rows])
            faces = []
            for r in range(2 * ROWS):
                for k in range(wide - 1):
                    i, j = r * wide + k, (r + 1) * wide + k
                    faces += [[i, i + 1, j], [i + 1, j + 1, j]]
            ways = exact.PyGeodesicAlgorithmExact(points, np.array(faces))
            far, _ = ways.geodesicDistances(np.array([row * wide + BESIDE]), None)
            least = float(far[ROWS * wide : (ROWS + 1) * wide].min())
            # Triangles of 5 mm on a bend of 270 mm read short by less than 0.005 mm.
            near(f"from edge row {row}, column {c}", least, width / 2, red["edge_error_mm"] + 0.005)

    # The ball.
    radius, b = 20 * IN, 6.35
    text = head + egg("left", 20, 20, 16) + egg("right", 20, 20, 16)
    text += '[[stripe]]\nid = "band"\nsurface = "left"\nalong = { straight = [[-9, -6], [10, 7]] }\nwidth = 4\n'
    text += '[[stripe]]\nid = "copy"\nsurface = "right"\nmirror_of = "band"\n'
    text += '[masking]\nedge_tapes = [{ width = "1/4 in", real = "6.35 mm", roll = "36 yd", strain = 0.05 }]\n'
    made = plan(args.dump, text)
    band, copy = made["stripes"]
    half = 2 * IN + args.wider / 2
    middle = np.array(band["middle_xyz_mm"])
    axis = np.cross(middle[0], middle[-1])
    axis /= np.linalg.norm(axis)
    for p in middle:
        near("middle off its great circle", float(p @ axis), 0.0, 0.02)
    arc = radius * math.acos(float(middle[0] @ middle[-1]) / radius**2)
    near("length of the middle", band["length_mm"], arc, 0.02)
    for edge in band["edges_xyz_mm"]:
        edge = np.array(edge)
        for p in edge:
            near("edge off the great circle", radius * abs(math.asin(float(p @ axis) / radius)), half, 0.02)
        chords = np.linalg.norm(np.diff(edge, axis=0), axis=1)
        around = radius * math.cos(half / radius)
        long = float((2 * around * np.arcsin(chords / 2 / around)).sum())
        near("length of the edge", long, arc * math.cos(half / radius), 0.03)
    strain = math.tan(half / radius) / radius * b + b**2 / (2 * radius**2)
    near("strain of its tape", band["tape"]["max_strain"], strain, 2e-5)
    near("length of the mirror image", copy["length_mm"], band["length_mm"], 0.01)
    theirs = np.array(copy["middle_xyz_mm"])
    for p in middle:
        image = p * np.array([1, -1, 1])
        # To the chords of the other's middle.
        d = np.diff(theirs, axis=0)
        t = np.clip(((image - theirs[:-1]) * d).sum(1) / (d * d).sum(1), 0, 1)
        off = np.linalg.norm(theirs[:-1] + d * t[:, None] - image, axis=1).min()
        # A chord of 20 mm dips 0.1 mm into the ball.
        near("mirror image", float(off), 0.0, 0.12)

    # The aircraft.
    made = json.loads(
        subprocess.run([args.dump, args.hangar / "64-body-stripes" / "job.toml"], check=True, capture_output=True).stdout
    )
    of = {s["id"]: s for s in made["stripes"]}
    for name, width in (("red", 4 * IN), ("gold", 1 * IN)):
        stripe, half = of[name], (width + args.wider) / 2
        middle = np.array(stripe["middle_xyz_mm"])
        d = np.diff(middle, axis=0)
        for edge in stripe["edges_xyz_mm"]:
            edge = np.array(edge)
            for p in edge[5 : -len(edge) // 4 : 11]:
                t = np.clip(((p - middle[:-1]) * d).sum(1) / (d * d).sum(1), 0, 1)
                chord = np.linalg.norm(middle[:-1] + d * t[:, None] - p, axis=1).min()
                # No bend of this body is tighter than 10 in where the stripes run.
                short = half**3 / 24 / (10 * IN) ** 2 + 0.01
                near(f"chord of {name}", float(chord), half - short / 2, short / 2 + stripe["edge_error_mm"])
        other = of[f"{name}-right"]
        for row, twin in zip(stripe["stations"], other["stations"], strict=True):
            for key, got in row.items():
                if isinstance(got, str):
                    near(f"{name}: {key}", 0.0 if got == twin[key] else 1.0, 0.0, 0.0)
                    continue
                near(f"{name}: {key}", got, twin[key], 0.05)
    print(f"curved_stripes: {asked} checks, {len(wrong)} failures")
    for line in wrong[:20]:
        print("  " + line)
    return 1 if wrong or asked < 300 else 0


if __name__ == "__main__":
    sys.exit(main())
