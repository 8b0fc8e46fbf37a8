"""Checks the places the search found against brute force with an outside geometry library (shapely, on GEOS).

    python tests/outside/fit.py BUILD_DIR      (BUILD_DIR/examples/dump_fit is run)

On every invented panel the mark is put at every 1/8 in of the window, and every 1/64 in round the answers. A
place serves if every paint edge keeps its clearance from every feature and, of features that must not be
painted, no paint lies on them. Failures:
  claim     an answer does not keep its walls by 0.001 mm, or has not the clearance it tells (0.02 mm: arcs are
            chords within 0.01 mm here);
  worse     the grid has a roomier place than the roomiest, or a nearer one than the nearest;
  none      the grid has a place where the search says there is none;
  bound     what is told as proved is refuted by the grid.

With `--shift MM` every answer is moved first: the check must then fail.
"""

import json
import math
import pathlib
import subprocess
import sys
import time

import numpy
import shapely
from shapely import LineString, Point, Polygon
from shapely.affinity import translate

IN = 25.4
CHORDS = 0.02
KEPT = 0.001


class Panel:
    def __init__(self, data):
        self.data = data
        self.edges = shapely.MultiLineString([ring + ring[:1] for ring in data["rings"]])
        self.paint = Polygon()
        for ring in data["rings"]:
            # Rings alternate by orientation: holes run clockwise.
            area = Polygon(ring)
            outer = shapely.is_ccw(shapely.LinearRing(ring))
            self.paint = self.paint.union(area) if outer else self.paint.difference(area)
        self.walls = [self.wall(f) for f in data["features"]]

    @staticmethod
    def wall(feature):
        shape = feature["shape"]
        if "centre" in shape:
            return Point(shape["centre"]), shape["radius"] + feature["clearance"], feature
        if "path" in shape:
            return LineString(shape["path"]), shape["width"] / 2 + feature["clearance"], feature
        return Polygon(shape["corners"]), feature["clearance"], feature

    def clearances(self, centres):
        """Least net clearance at each centre; -inf where an edge enters an area or paint covers a feature."""
        least = numpy.full(len(centres), numpy.inf)
        for core, reach, feature in self.walls:
            moved = self.shifted(core, centres)
            net = shapely.distance(self.edges, moved) - reach
            if core.geom_type == "Polygon":
                # Anywhere in an area the distance is nothing: an edge that gets past the rim by more than may
                # be is refused.
                inside = shapely.intersects(self.edges, self.shifted(core.buffer(-KEPT), centres))
                net = numpy.where(inside, -numpy.inf, net)
            if feature["uncovered"]:
                heart = core if core.geom_type != "Polygon" else core.representative_point()
                on = shapely.intersects(self.paint, self.shifted(heart, centres))
                net = numpy.where(on, -numpy.inf, net)
            least = numpy.minimum(least, net)
        return least

    @staticmethod
    def shifted(core, centres):
        """The feature as the mark sees it when its middle is at each of the centres."""
        coords = shapely.get_coordinates(core)
        all_coords = (coords[None, :, :] - centres[:, None, :]).reshape(-1, 2)
        index = numpy.repeat(numpy.arange(len(centres)), len(coords))
        if core.geom_type == "Point":
            return shapely.points(all_coords)
        if core.geom_type == "LineString":
            return shapely.linestrings(all_coords, indices=index)
        return shapely.polygons(shapely.linearrings(all_coords, indices=index))

    def grid(self, lo, hi, step):
        (wx0, wy0), (wx1, wy1) = self.data["window"]
        xs = numpy.arange(max(lo[0], wx0), min(hi[0], wx1) + 1e-9, step)
        ys = numpy.arange(max(lo[1], wy0), min(hi[1], wy1) + 1e-9, step)
        return numpy.array([[x, y] for x in xs for y in ys]).reshape(-1, 2)


def check(data):
    panel = Panel(data)
    aim = numpy.array(data["aim"])
    (wx0, wy0), (wx1, wy1) = data["window"]
    grids = [panel.grid((wx0, wy0), (wx1, wy1), IN / 8)]
    answers = {k: data[k] for k in ("nearest", "roomiest")}
    for answer in answers.values():
        if "centre" in answer:
            x, y = answer["centre"]
            grids.append(panel.grid((x - IN / 8, y - IN / 8), (x + IN / 8, y + IN / 8), IN / 64))
    centres = numpy.concatenate(grids)
    clear = panel.clearances(centres)
    serves = clear >= CHORDS
    far = numpy.hypot(*(centres - aim).T)
    bad = []
    for name, answer in answers.items():
        if "none" in answer:
            if not answer["none"]:
                bad.append(f"{name}: given up")
            if serves.any():
                bad.append(f"{name}: none, but {centres[serves][0]} serves with {clear[serves][0]}")
            continue
        at = numpy.array([answer["centre"]])
        there = panel.clearances(at)[0]
        if not answer["proved"]:
            bad.append(f"{name}: not proved")
        if there < -KEPT - CHORDS or abs(there - answer["clearance"]) > CHORDS:
            bad.append(f"{name}: clearance told {answer['clearance']}, found {there}")
        inside = wx0 - KEPT <= at[0][0] <= wx1 + KEPT and wy0 - KEPT <= at[0][1] <= wy1 + KEPT
        if not inside:
            bad.append(f"{name}: outside the window at {at[0]}")
        if not serves.any():
            continue
        if name == "nearest":
            away = math.dist(answer["centre"], data["aim"])
            least = far[serves].min()
            if away > least + KEPT or answer["bound"] > least + KEPT:
                bad.append(f"nearest: {away} (bound {answer['bound']}), the grid has {least}")
        else:
            most = clear[serves].max()
            if answer["clearance"] < most - CHORDS or answer["bound"] < most - CHORDS:
                bad.append(f"roomiest: {answer['clearance']} (bound {answer['bound']}), the grid has {most}")
    return bad, "none" in answers["nearest"], len(centres)


def main():
    build = pathlib.Path(sys.argv[1]).resolve()
    dumped = subprocess.run([build / "examples" / "dump_fit"], check=True, capture_output=True).stdout
    panels = json.loads(dumped)
    shift = float(sys.argv[sys.argv.index("--shift") + 1]) if "--shift" in sys.argv else 0.0
    for answer in (data[k] for data in panels for k in ("nearest", "roomiest")):
        if "centre" in answer:
            answer["centre"][0] += shift
    failures, without, places = [], 0, 0
    started = time.perf_counter()
    for data in panels:
        bad, none, count = check(data)
        failures += [f"panel {data['seed']}: {line}" for line in bad]
        without += none
        places += count
    for line in failures:
        print(line)
    brute = (time.perf_counter() - started) / len(panels)
    ours = sum(data["seconds"] for data in panels) / len(panels)
    print(f"a panel takes {brute:.2f} s by brute force, {ours * 1e3:.2f} ms for nearest and roomiest by the search")
    print(f"{len(panels)} panels, {without} without a place, {places} places tried, {len(failures)} failures")
    if len(panels) < 60 or not 5 <= without <= len(panels) - 20:
        print("the panels do not try both kinds")
        return 1
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
