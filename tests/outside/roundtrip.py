"""Characters cut from a pattern file and laid back on the skin, from the file of a scan or the stations of a body.

Usage: roundtrip.py BUILD HANGAR MESH_FOLDER... [--stretch FACTOR]

The program itself plans each job and writes its patterns; here the paint edges are read out of the DXF (by ezdxf 1.4.5,
MIT), and each corner is laid back as a painter lays it who holds the pattern at its centre and along its baseline:
pygeodesic 0.1.11 (MIT, the exact algorithm of Mitchell, Mount and Papadimitriou) gives the shortest way over the skin
from the character's centre to the place that the plan gives the corner in space, how long it is and in which direction it
leaves. Its baseline leaves toward the centre of the neighbouring character.

* The way is as long as the distance on the pattern within the strain stated for the character.
* The corner's place along that way and the place on the pattern are no farther apart than the strain stated lets them
  be: a map that keeps lengths within a share e keeps the corners of a triangle within about 2 e of its longest side.
* Between the ends of each straight edge longer than a fifth of the height the way is as long as drawn, within the length error stated.
* Every place in space lies on the skin.

Jobs: the sample scan (hangar 62) as it is smoothed, and as it came from the scanner; an aircraft of 2452 triangles
(pyvista 0.49.1, MIT) and one of 15 576 (aerosandbox 4.2.10, MIT), marked at places of their own; a ball of 8 in by formula
with eights of 3, 6 and 8 in, whose sides are as long as the letter and err by millimetres; the sides of the sample
body (hangar 61), its loft taken at every 6 mm, of which the first, a middle and the last character are laid back.

--stretch makes the patterns larger by that factor: a check that cannot fail is none. The sample scan is enough for that.
"""

import json
import math
import pathlib
import subprocess
import sys
import tempfile

import ezdxf
import numpy as np
import pygeodesic.geodesic as exact

# Corners of a body's loft are so far apart, mm. A way of d over chords of h on a bend of R reads short by d h^2 / 24 R^2:
# 0.0073 mm of a letter's 305 where R is 250 mm; the chords lie h^2 / 8 R under the skin.
STEP = 6.0
UNDER, SHORT = STEP**2 / 8 / 250, 0.0073


class Skin:
    """Triangles into which places can be put as corners."""

    def __init__(self, points, triangles, about, reach):
        """The part of a skin within `reach` of `about` that hangs together there, side to side."""
        points, triangles = np.asarray(points, float), np.asarray(triangles, np.int64)
        near = np.linalg.norm(points - about, axis=1) < reach
        kept = triangles[near[triangles].all(1)]
        sides = {}
        for k, t in enumerate(kept):
            for i in range(3):
                sides.setdefault(frozenset((t[i], t[(i + 1) % 3])), []).append(k)
        a, b, c = (points[kept[:, k]] for k in range(3))
        first = int(np.argmin(nearest(about, a, b, c)[1]))
        met, more = {first}, [first]
        while more:
            t = kept[more.pop()]
            for i in range(3):
                both = sides[frozenset((t[i], t[(i + 1) % 3]))]
                fresh = [k for k in both if k not in met] if len(both) == 2 else []
                met.update(fresh)
                more += fresh
        kept = kept[sorted(met)]
        used = np.unique(kept)
        new = np.full(len(points), -1)
        new[used] = np.arange(len(used))
        self.points = list(points[used])
        self.triangles = [tuple(t) for t in new[kept]]

    def put(self, place):
        """Number of the corner at a place, and how far the place is off the skin."""
        points, triangles = np.array(self.points), np.array(self.triangles)
        a, b, c = (points[triangles[:, k]] for k in range(3))
        shares, off = nearest(place, a, b, c)
        best = int(np.argmin(off))
        share, t = shares[best], self.triangles[best]
        zero = share < 1e-9
        if zero.sum() == 2:
            return t[int(np.argmax(share))], off[best]
        here = len(self.points)
        self.points.append(points[list(t)].T @ share)
        for k in range(3):
            if zero[k]:
                # On a side: both its triangles are parted.
                i, j = t[(k + 1) % 3], t[(k + 2) % 3]
                for other in [o for o in self.triangles if i in o and j in o]:
                    self.triangles.remove(other)
                    self.triangles += [tuple(here if v == end else v for v in other) for end in (i, j)]
                return here, off[best]
        self.triangles.remove(t)
        self.triangles += [(t[0], t[1], here), (t[1], t[2], here), (t[2], t[0], here)]
        return here, off[best]

    def ways(self):
        return exact.PyGeodesicAlgorithmExact(np.array(self.points), np.array(self.triangles, np.int32))

    def heading(self, corner):
        """Function that gives the direction, rad, in which a point beside a corner lies, counted round the corner."""
        points = np.array(self.points)
        ring = {t[(k + 1) % 3]: t[(k + 2) % 3] for t in self.triangles for k in range(3) if t[k] == corner}
        start = min(ring)
        fan, at, turn = [], start, 0.0
        while True:
            after = ring[at]
            v, w = points[at] - points[corner], points[after] - points[corner]
            wide = math.atan2(np.linalg.norm(np.cross(v, w)), v @ w)
            fan.append((turn, v, w))
            turn, at = turn + wide, after
            if at == start:
                break
        # A corner of the scan itself may have more or less than a whole turn round it.
        whole = 2 * math.pi / turn

        def of(point):
            way = point - points[corner]
            best = None
            for from_turn, v, w in fan:
                n = np.cross(v, w)
                n /= np.linalg.norm(n)
                side = np.cross(n, v / np.linalg.norm(v))
                angle = math.atan2(way @ side, way @ v / np.linalg.norm(v))
                wide = math.atan2(np.linalg.norm(np.cross(v, w)), v @ w)
                off = abs(way @ n) / np.linalg.norm(way) + max(0.0, -angle, angle - wide)
                if best is None or off < best[0]:
                    best = (off, (from_turn + angle) * whole)
            assert best[0] < 1e-4, best
            return best[1]

        return of


def nearest(p, a, b, c):
    """Shares of the nearest point of each triangle, and its distance (C. Ericson, Real-time collision detection, 5.1.5)."""
    n = len(a)
    shares, least = np.zeros((n, 3)), np.full(n, np.inf)
    ab, ac, ap = b - a, c - a, p - a
    normal = np.cross(ab, ac)
    area = np.einsum("ij,ij->i", normal, normal)
    v = np.einsum("ij,ij->i", np.cross(ap, ac), normal) / area
    w = np.einsum("ij,ij->i", np.cross(ab, ap), normal) / area
    inside = (v >= 0) & (w >= 0) & (v + w <= 1)
    shares[inside] = np.stack([1 - v - w, v, w], 1)[inside]
    least[inside] = np.abs(np.einsum("ij,ij->i", ap, normal) / np.sqrt(area))[inside]
    corners = (a, b, c)
    for k in range(3):
        x, y = corners[k], corners[(k + 1) % 3]
        d = y - x
        t = np.clip(np.einsum("ij,ij->i", p - x, d) / np.einsum("ij,ij->i", d, d), 0, 1)
        off = np.linalg.norm(x + d * t[:, None] - p, axis=1)
        better = ~inside & (off < least)
        least[better] = off[better]
        shares[better] = 0
        shares[better, k], shares[better, (k + 1) % 3] = (1 - t)[better], t[better]
    return shares, least


def cut_out(path, mark, stretch):
    """Paint edges of each character out of a pattern file, in the mark's axes: its middle at zero, x along the baseline."""
    lines = ezdxf.readfile(path).modelspace().query('LWPOLYLINE[layer=="paint-edge"]')
    turn = -math.radians(mark["angle_deg"])
    cos, sin = math.cos(turn), math.sin(turn)
    rings = []
    for line in lines:
        points = np.array([[x, y] for x, y, _, _, bulge in line.get_points() if bulge == 0])
        points = points - mark["centre_flat_mm"]
        rings.append(points @ np.array([[cos, sin], [-sin, cos]]) * stretch)
    return rings


def lay_back(mark, rings, skin_near, of_net, chosen):
    """Checks of one mark; what is wrong, and how far off at worst. `of_net`: how far the triangles lie under the skin, mm, and
    how much shorter ways over them are."""
    wrong, worst, worst_edge, count = [], 0.0, 0.0, 0
    (under, short), glyphs, rings = of_net, mark["glyphs"], iter(rings)
    for k, glyph in enumerate(glyphs):
        own = [next(rings) for _ in glyph["rings_xyz_mm"]]
        if k not in chosen:
            continue
        chart, name = glyph["chart"], f"{mark['id']} {glyph['char']}"
        e = chart["max_strain"]
        beside = glyphs[k + 1] if k + 1 < len(glyphs) else glyphs[k - 1]
        back = 0.0 if k + 1 < len(glyphs) else math.pi
        centre, origin = np.array(chart["origin_xyz_mm"]), np.array(chart["origin_chart_mm"])
        next_to = np.array(beside["chart"]["origin_xyz_mm"])
        places = np.concatenate([np.array(r) for r in glyph["rings_xyz_mm"]])
        reach = max(np.linalg.norm(places - centre, axis=1).max(), np.linalg.norm(next_to - centre))
        skin = skin_near(centre, 1.15 * reach)
        numbers, off = [], []
        for p in [centre, next_to, *places]:
            number, away = skin.put(p)
            numbers.append(number)
            off.append(away)
        if max(off) > 0.002 + under:
            wrong.append(f"{name}: {max(off):.4f} mm off the skin")
        ways, heading = skin.ways(), skin.heading(numbers[0])

        def way(to, ways=ways, heading=heading, start=numbers[0]):
            length, path = ways.geodesicDistance(start, to)
            path = np.asarray(path)
            # From the corner on.
            if np.linalg.norm(path[0] - skin.points[start]) > 1e-9:
                path = path[::-1]
            return float(length), heading(path[1])

        level = way(numbers[1])[1] + back
        drawn = np.concatenate(own) - origin
        for p, number in zip(drawn, numbers[2:], strict=True):
            far, turn = way(number)
            on_pattern = float(np.hypot(*p))
            if abs(far - on_pattern) > e * on_pattern + short + 0.002:
                wrong.append(f"{name}: {on_pattern:.3f} mm from its centre, {far:.3f} on the skin")
            landed = far * np.array([math.cos(turn - level), math.sin(turn - level)])
            apart = float(np.linalg.norm(landed - p))
            worst, count = max(worst, apart), count + 1
            if apart > 2 * e * on_pattern + short + 0.004:
                wrong.append(f"{name}: lands {apart:.3f} mm beside its place, {on_pattern:.1f} mm from the centre, strain {e}")
        at = 2
        for ring in own:
            n = len(ring)
            for i in range(n):
                j = (i + 1) % n
                if np.linalg.norm(ring[j] - ring[i]) < 0.2 * mark["height_mm"]:
                    continue
                length = float(ways.geodesicDistance(numbers[at + i], numbers[at + j])[0])
                edge = float(np.linalg.norm(ring[j] - ring[i]))
                worst_edge = max(worst_edge, abs(length - edge))
                if abs(length - edge) > chart["max_length_error_mm"] + short + 0.002:
                    wrong.append(f"{name}: an edge of {edge:.3f} is {length:.3f} on the skin, {chart['max_length_error_mm']} stated")
            at += n
    return wrong, worst, worst_edge, count


def ball(path, radius, rings):
    """A ball as a text file: a corner at each pole and twice as many round each ring as there are rings."""
    around, rows, sides = 2 * rings, [f"v 0 0 {radius}", f"v 0 0 {-radius}"], []
    for k in range(1, rings):
        sin, cos = math.sin(math.pi * k / rings), math.cos(math.pi * k / rings)
        turns = [2 * math.pi * i / around for i in range(around)]
        rows += [f"v {radius * sin * math.cos(a)} {radius * sin * math.sin(a)} {radius * cos}" for a in turns]
    for i in range(around):
        j = (i + 1) % around
        at = [3 + k * around for k in range(rings - 1)]
        sides += [(1, at[0] + i, at[0] + j), (2, at[-1] + j, at[-1] + i)]
        for a, b in zip(at, at[1:], strict=False):
            sides += [(a + i, b + i, b + j), (a + i, b + j, a + j)]
    path.write_text("\n".join(rows + [f"f {a} {b} {c}" for a, b, c in sides]) + "\n", encoding="utf-8")
    return path


def scan_job(name, unit, height, marks, text="24"):
    rows = [
        f'[[mark]]\nid = "m{k}"\nsurface = "craft"\ntext = "{text}"\nheight = {height}\nplace = {{ at = {at}, toward = {toward} }}\n'
        for k, (at, toward) in enumerate(marks)
    ]
    surface = f'[[surface]]\nid = "craft"\nkind = "mesh"\nfile = "{name}"\nunit = "{unit}"\nsmooth = 0\n'
    return 'title = "x"\nunits = "mm"\n' + surface + "".join(rows)


def main():
    stretch = float(sys.argv[sys.argv.index("--stretch") + 1]) if "--stretch" in sys.argv else 1.0
    if "--stretch" in sys.argv:
        del sys.argv[sys.argv.index("--stretch") :]
    build, hangar = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    files = {p.name: p for f in sys.argv[3:] for p in pathlib.Path(f).iterdir()}
    fairing, stl = (hangar / "62-fairing-scan/job.toml").read_text(encoding="utf-8"), hangar / "62-fairing-scan/fairing.stl"
    jobs = [
        ("hangar 62", fairing, stl, 0.0, 0.0),
        ("hangar 62, not smoothed", fairing.replace('unit = "mm"', 'unit = "mm"\nsmooth = 0'), stl, 0.0, 0.0),
        *((name, scan_job(name, *rest), files[name], 0.0, 0.0) for name, *rest in MESHES),
        ("hangar 61", (hangar / "61-body-sides/job.toml").read_text(encoding="utf-8"), None, UNDER, SHORT),
    ]
    folder_of_ball = tempfile.TemporaryDirectory()
    round_one = ball(pathlib.Path(folder_of_ball.name) / "ball.obj", 203.2, 40)
    for inches in (3, 6, 8):
        eights = scan_job("ball.obj", "mm", 25.4 * inches, [([0, -203.2, 0], [76.2, -188, 0])], "88")
        jobs.append((f"a ball of 8 in, eights of {inches} in", eights, round_one, 0.0, 0.0))
    if stretch != 1.0:
        jobs = jobs[:2]
    bad = 0
    for name, text, scan, under, short in jobs:
        with tempfile.TemporaryDirectory() as folder:
            path, out = pathlib.Path(folder) / "job.toml", pathlib.Path(folder) / "out"
            path.write_text(text, encoding="utf-8")
            if scan:
                (path.parent / scan.name).write_bytes(scan.read_bytes())
            command = [build / "maskwright", "plan", path, "-o", out, "--only", "patterns"]
            done = subprocess.run(command, capture_output=True, text=True)
            if done.returncode == 2:
                print(done.stderr)
                return 1
            plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
            wrong, worst, edge, corners, e = [], 0.0, 0.0, 0, 0.0
            whole = None
            # Both sides of the body have the same characters: one is laid back.
            for mark in plan["marks"] if scan else plan["marks"][:1]:
                dump = [build / "examples/dump_skin", path, mark["surface"]]
                if scan and whole is None:
                    whole = json.loads(subprocess.run(dump, check=True, capture_output=True).stdout)

                def near(centre, reach, dump=dump, mark=mark):
                    if scan:
                        return Skin(whole["points"], whole["triangles"], centre, 2 * reach)
                    s, t = mark["centre_skin_mm"]
                    half = [mark["length_mm"] / 2 + 60, mark["height_mm"] / 2 + 40]
                    window = [s - half[0], s + half[0], t - half[1], t + half[1], STEP]
                    got = json.loads(subprocess.run([*map(str, dump + window)], check=True, capture_output=True).stdout)
                    return Skin(got["points"], got["triangles"], centre, reach)

                rings = cut_out(out / "patterns" / f"{mark['id']}.dxf", mark, stretch)
                said, far, off, count = lay_back(mark, rings, near, (under, short), range(9) if scan else (0, 3, 5))
                wrong += said
                worst, edge, corners = max(worst, far), max(edge, off), corners + count
                e = max([e, *(g["chart"]["max_strain"] for g in mark["glyphs"])])
            bad += bool(wrong) or corners < 20
            print(
                f"{'BAD ' if wrong else 'ok  '} {name}: {corners} corners laid back, off by {worst:.3f} mm at most; edges off by "
                f"{edge:.3f} mm; strain up to {e:.5f}; {len(wrong)} faults"
            )
            for line in wrong[:5]:
                print("     " + line)
    return 1 if bad else 0


# File, its unit, height of the marks in mm, and where they stand: a point, and one toward which the baseline runs.
MESHES = (
    (
        "airplane.ply",
        "mm",
        60,
        [([957.675, 915.49, 130.366], [857.675, 915.49, 130.366]), ([1311.893, 672.579, 27.474], [1211.893, 672.579, 27.474])],
    ),
    (
        "yf23.stl",
        "m",
        14,
        [([-0.2147, 0.0047, -0.0119], [-0.3147, 0.0047, -0.0119]), ([0.4118, 0.0357, -0.0266], [0.3118, 0.0357, -0.0266])],
    ),
)


if __name__ == "__main__":
    sys.exit(main())
