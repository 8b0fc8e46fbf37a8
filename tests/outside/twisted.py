"""Wings with washout, two sections and a kink, laid flat by us and by libigl, and measured across by pygeodesic.

Usage: twisted.py DUMP_FACE HANGAR [--stretch FACTOR]

Each face is a net of triangles between places of the skin in space. Lengths in millimetres.

* NACA 2412, chord 60 to 30 in, half span 180 in, 3 degrees of washout (the `wing` of the project's papers, its upper
  face), the same with two sections (4415 to 2409, 5 degrees), and the kinked sample job: the root mean square strain of
  our flat, computed anew here from our places, is at most 1.005 times that of libigl's as-rigid-as-possible map of many
  steps, and no triangle lies face down. (libigl 2.6.3, MPL-2.0.)
* The sections are those of the formula (NACA Report 460), turned and scaled as the job says: every place at the root and
  at the tip lies on them.
* Between places the exact shortest way (pygeodesic 0.1.11, MIT) is as long as the straight line in flat within the
  strain stated, and along a station the chords add up to the readings.
* Without twist the face is a cone: its strain is nothing, and the same net shows what the triangles themselves cost.

--stretch makes our flat larger by that factor: a check that cannot fail is none.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import igl
import numpy as np
import pygeodesic.geodesic as exact
from skin import least, strain

INCH = 25.4

# What the chords of a net of 600 round cost: 1.8e-7 on the plain wing below, which unrolls.
FLOOR = (1.5e-7, 2e-7)

WING = """title = "Face"
units = "in"
[[surface]]
id = "face"
kind = "wing"
half = "right"
side = "upper"
span = 180
chord = [60, 30]
sweep = {sweep}
section = {section}
washout_deg = {washout}
"""


def faces_of(along, round_):
    i, j = np.meshgrid(np.arange(along), np.arange(round_), indexing="ij")
    a = (i * (round_ + 1) + j).ravel()
    b, c, d = a + round_ + 1, a + round_ + 2, a + 1
    odd = ((i + j) % 2 == 1).ravel()[:, None]
    first = np.where(odd, np.stack([a, b, d], -1), np.stack([a, b, c], -1))
    second = np.where(odd, np.stack([b, c, d], -1), np.stack([a, c, d], -1))
    # Turned so that faces look up in flat (y of flat falls as t grows).
    return np.ascontiguousarray(np.concatenate([first, second])[:, [0, 2, 1]], dtype=np.int64)


def naca4(digits, x):
    """Upper side of a four-digit section by its formula, thickness square to the camber line."""
    m, p, t = int(digits[0]) / 100, int(digits[1]) / 10, int(digits[2:]) / 100
    half = 5 * t * (0.2969 * np.sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)
    fore = x < p
    camber = np.where(fore, m / p**2 * (2 * p * x - x**2), m / (1 - p) ** 2 * (1 - 2 * p + 2 * p * x - x**2))
    slope = np.arctan(np.where(fore, 2 * m / p**2 * (p - x), 2 * m / (1 - p) ** 2 * (p - x)))
    return np.stack([x - half * np.sin(slope), camber + half * np.cos(slope)], 1)


def off_section(points, digits, chord, aft, up, washout):
    """Greatest distance of points (aft, up) from the section as it stands there, by chords of a fine one."""
    line = naca4(digits, np.linspace(0, 1, 6001) ** 2) * chord
    c, s = np.cos(np.radians(washout)), np.sin(np.radians(washout))
    line = line @ np.array([[c, s], [-s, c]]) + [aft, up]
    a, v = line[:-1], np.diff(line, axis=0)
    worst = 0.0
    for p in points:
        share = np.clip(((p - a) * v).sum(1) / (v * v).sum(1), 0, 1)
        worst = max(worst, np.linalg.norm(a + v * share[:, None] - p, axis=1).min())
    return worst


def rigid(points, faces):
    """libigl: the same start as in skin.py, then as rigid as possible until at rest."""
    start = least(points, faces)
    data = igl.ARAPData()
    data.max_iter = 40
    held = np.array([faces[0, 0]], np.int32)
    igl.arap_precomputation(points, faces, 2, held, data)
    return np.asarray(igl.arap_solve(np.ascontiguousarray(start[held]), data, start))


def main():
    stretch = float(sys.argv[sys.argv.index("--stretch") + 1]) if "--stretch" in sys.argv else 1.0
    wrong = 0
    twisted = (("2412", "2412", 3, 0), ("4415", "2409", 5, 8), ("2412", "2412", 0, 8))
    # A face of little strain needs a net of short chords.
    nets = ((30, 600), (30, 300), (30, 600), (30, 300))
    texts = [(WING.format(section=json.dumps([f"naca{a}", f"naca{b}"]), washout=w, sweep=s), a, b, w, s) for a, b, w, s in twisted]
    texts.append(((pathlib.Path(sys.argv[2]) / "65-twisted-wing/job.toml").read_text(encoding="utf-8"), None, None, 0, 0))
    if stretch != 1.0:
        nets, texts = nets[1:2], texts[1:2]
    for (along, around), (text, root, tip, washout, sweep) in zip(nets, texts, strict=True):
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "job.toml"
            path.write_text(text, encoding="utf-8")
            said = subprocess.run([sys.argv[1], path, str(along), str(around)], check=True, capture_output=True).stdout
        ours = json.loads(said.splitlines()[0])
        places = np.array(ours["places"])
        points, flat = np.ascontiguousarray(places[:, 4:7]), places[:, 2:4] * stretch
        faces = faces_of(along, around)
        rms, most, down = strain(points, faces, flat)
        plain = washout == 0 and root is not None
        theirs, theirs_most, _ = (0.0, 0.0, 0) if plain else strain(points, faces, rigid(points, faces))
        # The net's own chords stand in for arcs: on a cone all there is to see.
        good = down == 0 and (FLOOR[0] < rms < FLOOR[1] if plain else rms <= 1.005 * theirs)
        good = good and (ours["max"] == 0 if plain else abs(rms - ours["rms"]) < 0.1 * ours["rms"] + 1e-6)
        if root:
            for row, digits, chord, aft, turn in ((0, root, 60, 0, 0), (along, tip, 30, sweep, washout)):
                on = points[row * (around + 1) : (row + 1) * (around + 1)]
                good = good and off_section(on[:, [0, 2]], digits, chord * INCH, aft * INCH, 0, turn) < 0.001
        grid = points.reshape(along + 1, around + 1, 3)
        girths = np.linalg.norm(np.diff(grid, axis=1), axis=2).sum(1)
        good = good and np.abs(girths - places[around :: around + 1, 1]).max() < 0.25
        # Ways over a net of 300 round.
        kept = (np.arange(len(points)) % (around + 1)) % (around // 300) == 0
        coarse, shown = np.ascontiguousarray(points[kept]), flat[kept]
        solver = exact.PyGeodesicAlgorithmExact(coarse, faces_of(along, 300)[:, [0, 2, 1]].astype(np.int32))
        worst = 0.0
        for i, j, k, m in ((8, 200, 22, 270),):
            start, end = i * 301 + j, k * 301 + m
            way, _ = solver.geodesicDistances(np.array([start]), np.array([end]))
            drawn = np.linalg.norm(shown[start] - shown[end])
            off = abs(way[0] - drawn)
            worst = max(worst, off)
            # Chords of the net lose what their sagitta lacks, here under 0.01 per mille.
            good = good and off <= (ours["max"] + 1e-5) * drawn
        wrong += not good
        beside = "which unrolls" if plain else f"libigl {theirs:.3g}, ratio {rms / theirs:.4f}"
        print(
            f"{'ok  ' if good else 'BAD '} {root or 'kinked'} to {tip or 'job 65'}, {washout} degrees: RMS strain {rms:.3g} (stated "
            f"{ours['rms']:.3g}, {beside}), most {most:.3g} ({theirs_most:.3g}), "
            f"{down} face down, stated most {ours['max']:.3g}, lengths off by {worst:.4f} mm"
        )
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
