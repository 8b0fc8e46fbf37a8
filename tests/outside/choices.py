"""Measures again, with shapely (on GEOS), every other place and size a plan offers, and what it claims of groups.

    python tests/outside/choices.py BUILD_DIR      (BUILD_DIR/maskwright plans the sample jobs)

From plan.json's outlines and features and the job file alone, for every alternative of every mark on a flat panel
or a wing:
  clearance  the characters moved there (taller, or set wider) have the clearance that is told, to 0.02 mm (arcs are
             chords within 0.01 mm), and it is kept;
  within     they lie inside the panel, and inside `within` where the job gives one;
  crossing   a feature that is crossed may be: every edge that enters it is straight, leaves it again and passes
             through its middle half, the rim no nearer than half its radius;
  largest    one step of the ladder higher, no place of a grid of 1/8 in keeps every wall by 0.1 mm;
  gap        no smaller change of the gap, in the steps of the search, serves anywhere on that grid;
  alike      marks of one group have one height and one gap, and on faces of wings one station.

With `--shift MM` every alternative is moved first: the check must then fail.
"""

import json
import math
import pathlib
import subprocess
import sys
import tempfile
import tomllib

import numpy
import shapely
from shapely.affinity import affine_transform

ROOT = pathlib.Path(__file__).resolve().parents[2]
EDGES_CLEAR = {"ring", "plate", "cap", "step", "patch", "rivets"}
NO_WALL = {"seam", "lap"}
HINGES = {"hinge", "gap"}
CHORDS = 0.02
KEPT = 0.002
GRID = 25.4 / 8
SURE = 0.1
failures: list[str] = []
counted = {"alternatives": 0, "crossings": 0, "grids": 0, "groups": 0}


def fail(name: str, what: str) -> None:
    failures.append(f"{name}: {what}")


class Walls:
    """The features of a surface as walls, with what the job says of crossing them."""

    def __init__(self, surface: dict, job_surface: dict):
        said = {f["id"]: f for f in job_surface.get("feature", [])}
        self.walls = []
        for f in surface["features"]:
            own = said[f["id"]]
            cross = own.get("cross", "never")
            if f["kind"] in NO_WALL:
                continue
            if f["kind"] in EDGES_CLEAR and (own.get("removable", False) or cross == "any"):
                continue
            if f["kind"] in HINGES and cross == "any":
                continue
            if "centre_flat_mm" in f:
                core, reach = shapely.Point(f["centre_flat_mm"]), f["radius_mm"]
            elif "path_flat_mm" in f:
                core, reach = shapely.LineString(f["path_flat_mm"]), f["width_mm"] / 2
            else:
                core, reach = shapely.Polygon(f["rings_flat_mm"][0], f["rings_flat_mm"][1:]), 0.0
            square = cross == "square" and f["kind"] in EDGES_CLEAR
            self.walls.append((f["id"], core, reach, f["clearance_mm"], f["kind"] not in EDGES_CLEAR, square))

    def clearances(self, edges, paint, moves, leave=()):
        """Least net clearance at each movement; -inf where an edge is inside a wall or paint covers one."""
        least = numpy.full(len(moves), numpy.inf)
        for name, core, reach, asked, uncovered, _ in self.walls:
            if name in leave:
                continue
            coords = shapely.get_coordinates(core)
            there = (coords[None, :, :] - moves[:, None, :]).reshape(-1, 2)
            index = numpy.repeat(numpy.arange(len(moves)), len(coords))
            if core.geom_type == "Point":
                moved = shapely.points(there)
            elif core.geom_type == "LineString":
                moved = shapely.linestrings(there, indices=index)
            else:
                moved = shapely.polygons(shapely.linearrings(there, indices=index))
            far = shapely.distance(edges, moved)
            net = numpy.where(far > reach, far - reach, -numpy.inf) - asked
            if uncovered:
                net = numpy.where(shapely.intersects(paint, moved), -numpy.inf, net)
            least = numpy.minimum(least, net)
        return least


def laid(mark: dict, height: float, gap: float):
    """Rings of the mark round its box's middle at another height and gap, in flat directions."""
    angle = math.radians(mark["angle_deg"])
    along = numpy.array([math.cos(angle), math.sin(angle)])
    spaces, groups = 0, []
    for c in mark["text"].strip():
        if c == " ":
            spaces += 1
        else:
            groups.append(spaces)
    assert len(groups) == len(mark["glyphs"])
    scale = height / mark["height_mm"]
    wider = gap - mark["gap_mm"] * scale
    steps = [k - groups[k] for k in range(len(groups))]
    middle = steps[-1] / 2
    centre = numpy.array(mark["centre_flat_mm"])
    glyphs = []
    for step, glyph in zip(steps, mark["glyphs"]):
        aside = along * wider * (step - middle)
        glyphs.append([(numpy.array(r) - centre) * scale + aside for r in glyph["rings_flat_mm"]])
    return glyphs


def shapes(glyphs):
    edges = shapely.MultiLineString([numpy.vstack([r, r[:1]]) for g in glyphs for r in g])
    paint = shapely.union_all([shapely.Polygon(g[0], g[1:]) for g in glyphs])
    shapely.prepare(edges)
    shapely.prepare(paint)
    return edges, paint


def entered(edges, centre, wall) -> bool:
    _, core, reach, _, _, _ = wall
    moved = affine_transform(core, [1, 0, 0, 1, -centre[0], -centre[1]])
    if reach > 0:
        return shapely.distance(edges, moved) < reach - KEPT
    return shapely.intersects(edges, moved.buffer(-KEPT))


def crosses_square(glyphs, centre, wall) -> str:
    """Why a crossing is not clean; empty if it is."""
    _, core, reach, _, _, _ = wall
    if core.geom_type == "LineString":
        return ""
    for ring in (r for g in glyphs for r in g):
        ring = ring + centre
        for a, b in zip(ring, numpy.roll(ring, -1, axis=0)):
            edge = shapely.LineString([a, b])
            if core.geom_type == "Point":
                away = edge.distance(core)
                if away >= reach - KEPT:
                    continue
                if min(core.distance(shapely.Point(a)), core.distance(shapely.Point(b))) < reach - KEPT:
                    return "an edge ends inside"
                if away > reach / 2 + CHORDS:
                    return f"an edge passes {reach - away:.2f} mm inside the rim of {reach:.2f} mm radius"
                continue
            if not edge.intersects(core.buffer(-KEPT)):
                continue
            if core.contains(shapely.Point(a)) or core.contains(shapely.Point(b)):
                return "an edge ends inside"
            corners = numpy.array(core.exterior.coords)
            for p, q in zip(corners, corners[1:]):
                cut = edge.intersection(shapely.LineString([p, q]))
                if cut.is_empty:
                    continue
                share = math.dist(p, cut.coords[0]) / math.dist(p, q)
                way, side = (b - a) / math.dist(a, b), (q - p) / math.dist(p, q)
                sine = abs(way[0] * side[1] - way[1] * side[0])
                if not 0.24 < share < 0.76 or sine < math.sin(math.radians(59.9)):
                    return f"a side is crossed at {share:.3f} of it, sine {sine:.3f}"
    return ""


def lengths(pairs, unit: float):
    return [[x * unit for x in pair] for pair in pairs]


def area_of(mark: dict, surface: dict, job: dict):
    own = next(m for m in job["mark"] if m["id"] == mark["id"])
    unit = {"in": 25.4, "mm": 1.0}.get(job.get("units", "in"))
    outline = shapely.Polygon(surface["outline_flat_mm"])
    plain = surface["kind"] == "flat" and unit and all(
        isinstance(x, (int, float)) for pair in own.get("within", []) for x in pair
    )
    if own.get("within") and plain:
        return shapely.Polygon(lengths(own["within"], unit)), True
    return outline, not own.get("within")


def grid_serves(walls, area, glyphs) -> bool:
    """True if some place of a grid over the area keeps every wall by SURE."""
    edges, paint = shapes(glyphs)
    counted["grids"] += 1
    points = numpy.vstack([r for g in glyphs for r in g])
    lo, hi = points.min(axis=0), points.max(axis=0)
    x0, y0, x1, y1 = area.bounds
    xs = numpy.arange(x0 - lo[0] + SURE, x1 - hi[0], GRID)
    ys = numpy.arange(y0 - lo[1] + SURE, y1 - hi[1], GRID)
    if not len(xs) or not len(ys):
        return False
    moves = numpy.array([[x, y] for x in xs for y in ys])
    # Wall by wall: what one refuses the next need not measure.
    for wall in walls.walls:
        others = [w[0] for w in walls.walls if w is not wall]
        moves = moves[walls.clearances(edges, paint, moves, others) >= SURE]
    inner = area.buffer(-SURE)
    return any(inner.covers(affine_transform(paint, [1, 0, 0, 1, *move])) for move in moves)


def check_mark(name: str, mark: dict, surface: dict, job: dict, shift: float) -> None:
    job_surface = next(s for s in job["surface"] if s["id"] == mark["surface"])
    walls = Walls(surface, job_surface)
    area, known = area_of(mark, surface, job)
    step = 25.4 / 8 if job.get("units", "in") in ("in", "ft") else 2.0
    for other in mark["fit"]["alternatives"]:
        what = f"{name} {mark['id']} {other['why']}"
        counted["alternatives"] += 1
        centre = numpy.array(other["centre_flat_mm"]) + [shift, 0.0]
        glyphs = laid(mark, other["height_mm"], other["gap_mm"])
        edges, paint = shapes(glyphs)
        crossed = []
        if other["why"] == "crossing":
            crossed = [w for w in walls.walls if w[5] and entered(edges, centre, w)]
            counted["crossings"] += len(crossed)
            if not crossed:
                fail(what, "crosses nothing")
            for wall in crossed:
                why = crosses_square(glyphs, centre, wall)
                if why:
                    fail(what, f"{wall[0]}: {why}")
        found = walls.clearances(edges, paint, centre[None, :], {w[0] for w in crossed})[0]
        told = other["clearance_mm"]
        if told is None:
            if math.isfinite(found):
                fail(what, f"tells no clearance, found {found:.3f}")
        elif found < -CHORDS or abs(found - told) > CHORDS:
            fail(what, f"clearance told {told}, found {found:.3f}")
        there = affine_transform(paint, [1, 0, 0, 1, *centre])
        if not area.buffer(CHORDS).covers(there):
            fail(what, f"leaves its area by {there.difference(area).area:.2f} mm2")
        if known and other["why"] == "largest" and grid_serves(
            walls, area, laid(mark, other["height_mm"] + step, other["gap_mm"] * (1 + step / other["height_mm"]))
        ):
            fail(what, "one step higher has a place too")
        if known and other["why"] == "gap":
            fine = 25.4 / 16 if job.get("units", "in") in ("in", "ft") else 1.0
            change = other["gap_mm"] - mark["gap_mm"]
            tried = numpy.arange(fine, abs(change) - fine / 2, fine) * math.copysign(1.0, change)
            for less in tried:
                if grid_serves(walls, area, laid(mark, mark["height_mm"], mark["gap_mm"] + less)):
                    fail(what, f"a change of {less:.2f} mm serves already")


def check_groups(name: str, plan: dict, job: dict) -> None:
    kinds = {s["id"]: s["kind"] for s in plan["surfaces"]}
    for group in job.get("alike", []):
        marks = [m for m in plan["marks"] if m["id"] in group]
        counted["groups"] += 1
        for key in ("height_mm", "gap_mm"):
            if max(m[key] for m in marks) - min(m[key] for m in marks) > 0.002:
                fail(name, f"{group} differ in {key}")
        searched = all(m["fit"]["status"] == "placed" for m in marks)
        told_apart = any(f["id"].startswith(("alike-apart", "alike-stations")) for f in plan["findings"])
        wings = all(kinds[m["surface"]] == "wing" for m in marks)
        if wings and searched and not told_apart and job.get("alike_place") != "own":
            stations = [m["centre_skin_mm"][0] for m in marks]
            if max(stations) - min(stations) > 25.4 / 64:
                fail(name, f"{group} stand at stations {stations}")


def main() -> int:
    build = pathlib.Path(sys.argv[1]).resolve()
    shift = float(sys.argv[sys.argv.index("--shift") + 1]) if "--shift" in sys.argv else 0.0
    with tempfile.TemporaryDirectory() as folder:
        for job_file in sorted((ROOT / "hangar").glob("*/job.toml")):
            name = job_file.parent.name
            out = pathlib.Path(folder) / name
            done = subprocess.run(
                [build / "maskwright", "plan", job_file, "-o", out], capture_output=True, check=False
            )
            if done.returncode > 1:
                continue
            plan = json.loads((out / "plan.json").read_text())
            job = tomllib.loads(job_file.read_text())
            surfaces = {s["id"]: s for s in plan["surfaces"]}
            for mark in plan["marks"]:
                own = next(m for m in job["mark"] if m["id"] == mark["id"])
                # On a skin that curves both ways flat readings are no lengths; curved.py looks there.
                if not surfaces[mark["surface"]]["developable"]:
                    continue
                # Further colours and slant change with the height in ways the outlines here do not tell.
                if "outline" in own or "shadow" in own or own.get("slant_deg"):
                    continue
                check_mark(name, mark, surfaces[mark["surface"]], job, shift)
            check_groups(name, plan, job)
    for line in failures:
        print(line)
    print(", ".join(f"{n} {what}" for what, n in counted.items()), f"{len(failures)} failures", sep=", ")
    if counted["alternatives"] < 40 or not counted["crossings"] or not counted["groups"] or counted["grids"] < 5:
        print("the jobs do not try every kind")
        return 1
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
