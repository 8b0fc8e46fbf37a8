"""Every sample job's day read a second time from plan.json and day.ics alone, the calendar with the icalendar package.

- every task in its own limits, inside the shop's hours, no more hands than there are;
- coats, flash, pulls, paper and pot life against the job file, read with Python's own TOML reader;
- goes near each other apart by dry to tape; no pull before the last wet coat of its go;
- volumes by the coverage law from the plan's own area; parts in their ratio; sprayed area with shapely;
- the calendar: one event a task, the same times, floating, alarms, identifiers all different.

Usage: day.py BUILD_DIR [--late MINUTES]   (every pull moved by so much: the check must then fail)
"""

import datetime as dt
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import tomllib

import icalendar
from shapely.geometry import Polygon
from shapely.ops import unary_union

ROOT = pathlib.Path(__file__).resolve().parents[2]
failures: list[str] = []
checks = 0


def check(ok: bool, what: str) -> None:
    global checks
    checks += 1
    if not ok:
        failures.append(what)


def minutes(text: str) -> float:
    unit = {"min": 1, "h": 60, "d": 1440}
    return sum(float(n) * unit[u] for n, u in re.findall(r"([\d.]+)\s*(min|h|d)", text))


def celsius(text: str) -> float:
    number, unit = text.split()
    return (float(number) - 32) / 1.8 if unit == "F" else float(number)


def scaled(time: object, shop: float | None, at: str | None = None) -> float:
    """Minutes of a time of the job in this shop: doubled for every 10 C colder."""
    if isinstance(time, dict):
        time, at = time["time"], time.get("at")
    value = minutes(time)
    return value * 2 ** ((celsius(at) - shop) / 10) if at and shop is not None else value


def when(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


def end(task: dict) -> dt.datetime:
    return when(task["start"]) + dt.timedelta(minutes=task["minutes"])


def after(a: dt.datetime, b: dt.datetime) -> float:
    return (a - b).total_seconds() / 60


def check_day(name: str, job: dict, plan: dict) -> None:
    day, shop = plan["day"], job["shop"]
    opens, closes = (dt.time.fromisoformat(shop.get(k, d)) for k, d in (("opens", "08:00"), ("closes", "18:00")))
    hands = shop.get("hands", 1)
    conditions = job.get("conditions", {})
    warm = conditions.get("air") or conditions.get("surface")
    warm = celsius(warm) if warm else None
    check(len({t["id"] for t in day}) == len(day), f"{name}: ids repeat")
    check([t["start"] for t in day] == sorted(t["start"] for t in day), f"{name}: not in order")
    for t in day:
        where = f"{name} {t['id']}"
        check(t["minutes"] > 0, f"{where}: no time")
        check(not t["not_before"] or when(t["start"]) >= when(t["not_before"]), f"{where}: too early")
        check(not t["not_after"] or end(t) <= when(t["not_after"]), f"{where}: too late")
        if t["hands"]:
            check(when(t["start"]).time() >= opens and end(t).time() <= closes, f"{where}: shop closed")
            check(when(t["start"]).date() == end(t).date(), f"{where}: over night")
        busy = sum(o["hands"] for o in day if when(o["start"]) <= when(t["start"]) < end(o))
        check(busy <= hands, f"{where}: {busy} pairs of hands")
    marks = {m["id"]: m for m in job.get("mark", []) + job.get("stripe", [])}
    paints = {p["id"]: p for p in job["paint"]}
    goes = range(1, max(t["go"] for t in day) + 1)
    first_coats = {}
    for go in goes:
        own = [t for t in day if t["go"] == go]
        coats = [t for t in own if t["task"] in ("fog", "tack-up", "wet-coat")]
        pulls = [t for t in own if t["task"] == "pull"]
        wet = max(map(end, coats))
        first_coats[go] = (min(when(t["start"]) for t in coats), wet)
        check(all(when(t["start"]) >= wet for t in pulls), f"{name}: go {go} pulls into wet coats")
        paint = paints[marks[coats[0]["about"]]["paint"]]
        letters = [(t["about"], t["part"]) for t in own if t["task"] == "wet-coat"]
        # The last wet coats of a go and its pulls come in the same order when each is one letter.
        last = [t for t in own if t["task"] == "wet-coat"][-len(pulls):]
        swabs = [t for t in own if t["task"] == "swab"]
        check(len(last) == len(pulls) and bool(letters), f"{name}: go {go}: {len(last)} wet, {len(pulls)} pulled")
        if "pull_edge" in paint and len(last) == len(pulls):
            edge = paint["pull_edge"]
            for n, coat in enumerate(last):
                same = [k for k, c in enumerate(last) if (c["about"], c["part"]) == (coat["about"], coat["part"])]
                mine = [p for p in pulls if (p["about"], p["part"]) == (coat["about"], coat["part"])]
                pull = mine[same.index(n)]
                done = max([end(pull)] + [end(s) for s in swabs if when(s["start"]) == end(pull) and s["part"] == pull["part"]])
                early, late = (scaled(edge.get(k, "0 min"), warm, edge.get("at")) for k in ("from", "by"))
                check(after(when(pull["start"]), end(coat)) >= early - 0.01, f"{name}: {pull['id']} early")
                # Of stripes of one mask the first is wet a minute sooner at least for every other shot after it.
                others = coat["part"].count(",")
                check(after(done, end(coat)) <= late - others + 0.01, f"{name}: {pull['id']} late")
        cups = [t for t in own if t["task"] == "mix"]
        if "pot_life" in paint:
            for coat in coats:
                cup = max(when(c["start"]) for c in cups if end(c) <= when(coat["start"]))
                check(after(end(coat), cup) <= scaled(paint["pot_life"], warm) + 0.01, f"{name}: {coat['id']} past its cup")
        for n, coat in enumerate(paint["coats"]):
            kind = {"wet": "wet-coat"}.get(coat["kind"], coat["kind"])
            runs = [t for t in coats if t["task"] == kind]
            if kind == "fog" and len({t["about"] for t in runs}) == 1 and "flash" in coat:
                for a, b in zip(runs, runs[1:]):
                    wait = after(when(b["start"]), when(a["start"]))
                    letters_in = a["part"].count(",") + 1 if "," in a["part"] else max(len(a["part"]), 1)
                    per = a["minutes"] / letters_in
                    low, high = (scaled(coat["flash"][k], warm, coat["flash"].get("at")) for k in ("least", "most"))
                    check(low - 0.01 <= wait - per <= high + 0.01, f"{name}: {b['id']} flashes {wait - per}")
            if kind == "wet-coat" and "after" in coat and n:
                before = max(end(t) for t in coats if t["task"] != "wet-coat")
                # Of stripes of one mask the last is shot a minute later at least for every other before it.
                others = runs[-1]["part"].count(",")
                waits = after(when(runs[-1]["start"]), before) + others
                check(waits >= minutes(coat["after"]) - 0.01, f"{name}: {runs[-1]['id']} too soon")
        if "unmask" in paint:
            off = [t for t in own if t["task"] == "unmask"]
            check(bool(off), f"{name}: go {go} keeps its paper")
            low, high = (scaled(paint["unmask"].get(k, "0 min"), warm, paint["unmask"].get("at")) for k in ("from", "by"))
            for t in off:
                check(after(when(t["start"]), wet) >= low - 0.01 and after(end(t), wet) <= high + 0.01, f"{name}: {t['id']}")
        if "masking" in job:
            laid = [t for t in own if t["task"] == "tape" and t["why"].startswith(("edge tape", "film"))]
            dwell = minutes(job["masking"].get("edge_dwell", "24 h"))
            check(bool(laid), f"{name}: go {go} has no edge tape")
            for t in laid:
                check(end(t) <= first_coats[go][0], f"{name}: {t['id']} after the first coat")
                check(after(max(map(end, pulls)), when(t["start"])) <= dwell, f"{name}: {t['id']} stays on too long")
        for earlier in range(1, go):
            covered = [t for t in own if "paper over" in t["why"]]
            dry = scaled(paint.get("dry_to_tape", "1 d"), warm)
            for t in covered:
                # Paper on one side of a craft lies on no paint of the other.
                beside = {marks[c["about"]]["surface"] for c in day if c["go"] == earlier and c["task"] == "wet-coat"}
                if t["about"] and marks[t["about"]]["surface"] not in beside:
                    continue
                check(after(when(t["start"]), first_coats[earlier][1]) >= dry - 0.01, f"{name}: {t['id']} on soft paint")
    for mask in plan["masking"]:
        if not mask.get("with"):
            continue
        # Stripes of one mask: one task of each kind, and every stripe that is painted named in it. What lies wholly
        # within another has no paint of its own.
        names = {mask["of"], *mask["with"]}
        for kind in ("pull", "wet-coat", "unmask", "scuff", "swab", "inspect"):
            own = [t for t in day if t["task"] == kind and t["go"] and names & {t["about"], *t["part"].split(", ")}]
            whys = {t["why"].split(",")[0] for t in own}
            told = {n for t in own for n in t["part"].split(", ")}
            check(len(own) == len(whys), f"{name}: {len(own)} {kind} tasks of one mask of {sorted(names)}")
            check(not own or told <= names and mask["of"] in told and len(told) > 1, f"{name}: {kind} names {told}")
        check(any(t["task"] == "pull" and t["about"] == mask["of"] for t in day), f"{name}: {mask['of']} is not pulled")
    check_upon(name, plan, warm, paints, marks)
    for ground in job.get("ground", []):
        if "shot" in ground and "dry_to_tape" in ground:
            dry = ground["shot"] + dt.timedelta(minutes=scaled(ground["dry_to_tape"], warm))
            first = min(when(t["start"]) for t in day if t["task"] == "tape")
            check(first >= dry, f"{name}: tape on {ground['id']} at {first}, dry at {dry}")


def check_upon(name: str, plan: dict, warm: float | None, paints: dict, marks: dict) -> None:
    """Of two masks of two paints that lie where the other is painted, cut with shapely, the later is laid when the earlier
    paint is dry to tape and its mask off. Only where both lie in the flat of one panel."""
    flat = {s["id"] for s in plan["surfaces"] if s["developable"]}
    painted = [dict(m, shapes=[g["rings_flat_mm"] for g in m["glyphs"]]) for m in plan["marks"]]
    painted += [dict(s, shapes=[s["rings_flat_mm"]]) for s in plan["stripes"]]
    painted = [m for m in painted if m["surface"] in flat and m["id"] in marks]
    of = {m["id"]: m for m in painted}
    shape = {m["id"]: unary_union([Polygon(r[0], r[1:]).buffer(0) for r in m["shapes"] if r]) for m in painted}
    own = lambda t, ids: ids & {t["about"], *t["part"].split(", ")}
    for mask in plan["masking"]:
        ids = {mask["of"], *mask.get("with", [])}
        if mask["of"] not in of or mask.get("part", "letters") != "letters":
            continue
        rings = [Polygon(r).buffer(0) for p in mask["pieces"] for r in p["footprint_flat_mm"][:1]]
        tape = unary_union(rings)
        for other in painted:
            theirs = marks[other["id"]].get("paint")
            if other["id"] in ids or other["surface"] != of[mask["of"]]["surface"] or theirs in (None, mask["paint"]):
                continue
            if tape.intersection(shape[other["id"]]).area < 25.0:
                continue
            go = lambda some: min((t["go"] for t in plan["day"] if t["task"] == "pull" and own(t, some)), default=None)
            pair = {"mask": (go(ids), ids), "other": (go({other["id"]}), {other["id"]})}
            if None in (pair["mask"][0], pair["other"][0]):
                continue
            (first, early), (second, late) = sorted(pair.values(), key=lambda x: x[0])
            wet = max(end(t) for t in plan["day"] if t["go"] == first and t["task"] in ("fog", "tack-up", "wet-coat"))
            dry = paints[marks[next(iter(early))]["paint"]].get("dry_to_tape")
            laid = [t for t in plan["day"] if t["task"] == "tape" and own(t, late) and not t["why"].startswith(("wash", "paper over")) and t["go"] in (0, second)]
            begun = min(when(t["start"]) for t in laid)
            off = [end(t) for t in plan["day"] if t["go"] == first and t["task"] == "unmask"]
            check(all(begun >= t for t in off), f"{name}: the mask of {late} is laid before that of {early} is off")
            if dry:
                check(after(begun, wet) >= scaled(dry, warm) - 0.01, f"{name}: the mask of {late} is laid on soft paint")


def check_paint(name: str, job: dict, plan: dict) -> None:
    fan = 203.2
    for need in plan["paint"]:
        paint = next(p for p in job["paint"] if p["id"] == need["id"])
        own = {m["id"] for m in job.get("mark", []) if m.get("paint") == need["id"]}
        if any("outline" in m or "shadow" in m for m in job.get("mark", [])):
            continue
        # Where a skin curves both ways, its outline and the letters' charts are not of one plane.
        if not all(s["developable"] for s in plan["surfaces"]):
            continue
        painted = sprayed = 0.0
        for surface in plan["surfaces"]:
            shapes = [
                Polygon(g["rings_flat_mm"][0], g["rings_flat_mm"][1:])
                for m in plan["marks"] if m["id"] in own and m["surface"] == surface["id"] for g in m["glyphs"]
            ] + [
                Polygon(s["rings_flat_mm"][0], s["rings_flat_mm"][1:])
                for s in plan["stripes"] if s.get("paint") == need["id"] and s["surface"] == surface["id"]
            ]
            # Stripes of one paint that cross are painted as one.
            painted += unary_union(shapes).area
            grown = unary_union([s.buffer(fan / 2, quad_segs=64) for s in shapes])
            sprayed += grown.intersection(Polygon(surface["outline_flat_mm"])).area
        check(abs(painted / 1e6 - need["area_painted_m2"]) < 1e-4, f"{name}: painted {painted}")
        check(abs(sprayed / 1e6 - need["area_sprayed_m2"]) < 0.002, f"{name}: sprayed {sprayed} {need['area_sprayed_m2']}")
        film = sum(c.get("count", 1) * c["film_um"] for c in paint.get("coats", []))
        check(abs(film - need["dry_film_um"]) < 1e-6, f"{name}: film")
        if "volume_solids" in paint and "transfer_efficiency" in paint:
            litres = need["area_sprayed_m2"] * film / (1000 * paint["volume_solids"] * paint["transfer_efficiency"])
            check(abs(litres * 1000 - need["volume_ml"]) < 0.01, f"{name}: volume {litres}")
            whole = sum(p["parts"] for p in paint.get("parts", []))
            for part, got in zip(paint.get("parts", []), need["parts"], strict=True):
                check(abs(need["volume_ml"] * part["parts"] / whole - got["ml"]) < 0.01, f"{name}: {part['name']}")
            check(need["mix_ml"] >= need["volume_ml"], f"{name}: mixes less than the law")
            check(abs(sum(b["ml"] for b in need["batches"]) - need["mix_ml"]) < 0.01, f"{name}: cups")
        mass = need["area_painted_m2"] * film * paint.get("dry_density", 0)
        check(abs(mass - need["dry_mass_g"]) < 0.01, f"{name}: mass")


def check_calendar(name: str, plan: dict, path: pathlib.Path) -> None:
    raw = path.read_bytes()
    check(all(len(line) <= 75 for line in raw.split(b"\r\n")), f"{name}: a line is not folded")
    check(b"\n" not in raw.replace(b"\r\n", b""), f"{name}: a bare line feed")
    calendar = icalendar.Calendar.from_ical(raw)
    events = list(calendar.walk("VEVENT"))
    check(len(events) == len(plan["day"]), f"{name}: {len(events)} events")
    check(len({str(e["UID"]) for e in events}) == len(events), f"{name}: identifiers repeat")
    for event, task in zip(events, plan["day"]):
        start, stop = event.decoded("DTSTART"), event.decoded("DTEND")
        check(start.tzinfo is None and stop.tzinfo is None, f"{name} {task['id']}: not floating")
        check(start == when(task["start"]) and stop == end(task), f"{name} {task['id']}: {start} to {stop}")
        check(not event.errors, f"{name} {task['id']}: {event.errors}")
        alarms = list(event.walk("VALARM"))
        silent = task["task"] in ("wait", "swab")
        check(bool(alarms) != silent, f"{name} {task['id']}: {len(alarms)} alarms")
        for alarm in alarms:
            check(alarm.decoded("TRIGGER") is not None and alarm["ACTION"] == "DISPLAY", f"{name}: alarm")


def main() -> int:
    program = pathlib.Path(sys.argv[1]) / "maskwright"
    late = int(sys.argv[sys.argv.index("--late") + 1]) if "--late" in sys.argv else 0
    days = 0
    with tempfile.TemporaryDirectory() as folder:
        for path in sorted((ROOT / "hangar").glob("*/job.toml")):
            name = path.parent.name
            out = pathlib.Path(folder) / name
            if subprocess.run([program, "plan", path, "-o", out], capture_output=True).returncode not in (0, 1):
                continue
            plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
            job = tomllib.loads(path.read_text(encoding="utf-8"))
            if plan["paint"]:
                check_paint(name, job, plan)
            if not plan["day"]:
                check(not (out / "day.ics").exists(), f"{name}: a calendar without a day")
                continue
            for task in plan["day"]:
                if late and task["task"] == "pull":
                    task["start"] = (when(task["start"]) + dt.timedelta(minutes=late)).isoformat(timespec="minutes")
            days += 1
            check_day(name, job, plan)
            check_calendar(name, plan, out / "day.ics")
    print(f"day: {checks} checks over {days} days, {len(failures)} failures")
    for failure in failures[:30]:
        print("  " + failure)
    return 1 if failures or days < 5 or checks < 1000 else 0


if __name__ == "__main__":
    sys.exit(main())
