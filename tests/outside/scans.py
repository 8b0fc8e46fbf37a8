"""Meshes that other packages carry, from the file to the pattern and back onto the skin.

Usage: scans.py CUT_PATCHES FOLDER... [--stretch FACTOR]

The folders hold an aircraft of 2452 triangles (pyvista 0.49.1, MIT; text PLY) and two of 15 576 and 27 450 (aerosandbox
4.2.10, MIT; STL, not closed). Patches are cut all over them and laid flat.

* Every corner of a patch is a corner of the file, read here by other code.
* A line drawn straight on the pattern and laid back on the skin is as long as drawn within the strain stated for its
  patch: the shortest way over the patch by pygeodesic 0.1.11 (MIT) is no longer than drawn / (1 - strain), and drawn is
  no longer than (1 + strain) times that way.
* The root mean square strain, computed anew, is the one stated.

--stretch makes the patterns larger by that factor: a check that cannot fail is none.
"""

import json
import pathlib
import subprocess
import sys

import numpy as np
import pygeodesic.geodesic as exact
from shapely import LineString, Polygon, union_all
from skin import strain


def corners(path):
    """Corners of a file, as numbers of 32 bits."""
    data = path.read_bytes()
    if data.startswith(b"ply"):
        head, body = data.replace(b"\r\n", b"\n").split(b"end_header\n", 1)
        assert b"format ascii" in head
        count = int(head.split(b"element vertex ")[1].split()[0])
        return np.loadtxt(body.decode().splitlines()[:count], dtype=np.float32)[:, :3]
    count = int(np.frombuffer(data, "<u4", 1, 80)[0])
    assert len(data) == 84 + 50 * count, "binary STL"
    rows = np.frombuffer(data, np.dtype([("n", "<f4", 3), ("p", "<f4", (3, 3)), ("more", "<u2")]), count, 84)
    return rows["p"].reshape(-1, 3)


def main():
    args = sys.argv[1:]
    stretch = float(args[args.index("--stretch") + 1]) if "--stretch" in args else 1.0
    if "--stretch" in args:
        del args[args.index("--stretch") :]
    wrong, files = 0, [p for f in args[1:] for p in sorted(pathlib.Path(f).iterdir()) if p.suffix in (".ply", ".stl")]
    for path in files:
        points = corners(path)
        known = {p.tobytes() for p in np.ascontiguousarray(points, dtype=np.float32)}
        size = float(np.linalg.norm(points.max(0) - points.min(0))) * 0.04
        done = subprocess.run([args[0], str(path), str(size), "60"], check=True, capture_output=True)
        found, *patches = [json.loads(line) for line in done.stdout.splitlines()]
        laid = [p for p in patches if p["turned_over"] == 0 and p["max"] < 0.5]
        lines, bad, worst, folded = 0, 0, 0.0, 0
        for patch in laid:
            space = np.array(patch["points"])
            bad += sum(np.asarray(p, dtype=np.float32).tobytes() not in known for p in space)
            faces = np.array(patch["triangles"], dtype=np.int64)
            flat = np.array(patch["places"]) * stretch
            rms, most, down = strain(space, faces, flat)
            bad += down > 0 or abs(rms - patch["rms"]) > 1e-6 + 1e-6 * rms or abs(most - patch["max"]) > 1e-6
            pieces = [Polygon(flat[f]) for f in faces]
            whole = union_all(pieces)
            # A pattern that lies over itself shows no line of its own.
            if abs(whole.area - sum(p.area for p in pieces)) > 1e-6 * whole.area:
                folded += 1
                continue
            whole = whole.buffer(1e-9 * size)
            solver = exact.PyGeodesicAlgorithmExact(space, faces.astype(np.int32))
            n = len(space)
            for k in range(6):
                a, b = (7 * k) % n, (11 * k + n // 2) % n
                drawn = float(np.linalg.norm(flat[a] - flat[b]))
                if a == b or not whole.covers(LineString([flat[a], flat[b]])):
                    continue
                way = float(solver.geodesicDistances(np.array([a]), np.array([b]))[0][0])
                lines += 1
                slack = 1e-6 * size
                bad += way > drawn / (1 - patch["max"]) + slack or drawn > (1 + patch["max"]) * way + slack
                worst = max(worst, abs(way - drawn) / drawn)
        good = bad == 0 and len(laid) >= 20 and lines >= 60
        wrong += not good
        print(
            f"{'ok  ' if good else 'BAD '} {path.suffix} of {found['triangles']} triangles, {found['holes']} holes: {len(laid)} of "
            f"{len(patches)} patches laid flat ({folded} over themselves), {lines} lines laid back, off by {worst:.2%} at most; {bad} faults"
        )
    return 1 if wrong or len(files) < 3 else 0


if __name__ == "__main__":
    sys.exit(main())
