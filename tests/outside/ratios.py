"""How long our patches and ways take beside other libraries, in one run on one machine; no part of the checks.

Usage: ratios.py SKIN_SPEED [TRIANGLES ...]

SKIN_SPEED is the example of that name, built optimised. It lays flat half an egg (a grid) and a dented, noisy scan, made
as in skin.py, takes exact distances on the scan to 12 in, and one way of 12 in, taut and proven to be the shortest; here
libigl 2.6.3 (MPL-2.0) lays the same shapes flat (least squares conformal, then ten steps as rigid as possible, one call
after the other) and pygeodesic 0.1.11 (MIT) goes as far on them, once to every corner so near and once to a single one.
Each time is the least of five runs by the clock, that of pygeodesic on more than MOST_FOR_WAYS triangles of one run: other
work on the machine only adds.
"""

import re
import subprocess
import sys
import time

import numpy as np
import pygeodesic.geodesic as exact
from skin import fus, least, scan

RUNS = 5
# Exact ways of others take many seconds on finer nets.
MOST_FOR_WAYS = 20_000
REACH = 12.0


def best(run, runs=RUNS):
    times = []
    for _ in range(runs):
        before = time.perf_counter()
        run()
        times.append((time.perf_counter() - before) * 1000)
    return min(times)


def ours(program, count, ways):
    """Milliseconds by the words of the table."""
    words = [program, str(count)] if ways else [program, str(count), "short"]
    found = {}
    for line in subprocess.run(words, check=True, capture_output=True, text=True).stdout.splitlines():
        row = re.match(r"(\S.*?)\s+([\d.]+) ms", line)
        if row:
            found[row[1]] = float(row[2])
    return found


def main():
    program, sizes = sys.argv[1], [int(n) for n in sys.argv[2:]] or [5_000, 20_000]
    for count in sizes:
        ways = count <= MOST_FOR_WAYS
        times = ours(program, count, ways)
        rows = []
        for name, make in (("grid: flatten", fus), ("scan: flatten", scan)):
            points, faces = make(count)
            points, faces = np.ascontiguousarray(points), np.ascontiguousarray(faces, dtype=np.int64)
            rows.append((name, len(faces), best(lambda p=points, f=faces: least(p, f))))
        middle = int(np.argmin(np.linalg.norm(points - points.mean(0), axis=1)))
        far = int(np.argmin(np.abs(np.linalg.norm(points - points[middle], axis=1) - REACH)))
        solver = exact.PyGeodesicAlgorithmExact(points, faces.astype(np.int32))
        runs = RUNS if ways else 1
        one = best(lambda s=solver: s.geodesicDistance(middle, far), runs)
        rows.append(("scan: taut way of 12 in", len(faces), one))
        rows.append(("scan: the same, none shorter", len(faces), one))
        if ways:
            ends = np.array([middle]), np.array([far])
            rows.append(("scan: exact distances to 12 in", len(faces), best(lambda s=solver, e=ends: s.geodesicDistances(*e))))
        for name, triangles, theirs in rows:
            print(f"{triangles:8} triangles  {name:32} {times[name]:9.2f} ms   beside {theirs:9.1f} ms   {theirs / times[name]:7.1f} times")
    return 0


if __name__ == "__main__":
    sys.exit(main())
