#!/usr/bin/env python3
"""Outside check of the job file's JSON Schema, with an independent validator and an independent TOML reader.

Usage: schema.py BUILD_DIR   (e.g. target/ci; it holds examples/print_schema)

Needs jsonschema (PyPI, tried with 4.26) and Python 3.11 for its own tomllib. Checked:
 1. the schema is itself a valid schema of draft 2020-12;
 2. every job of hangar/ validates, but the degenerate one does not;
 3. every length of the reader's own table is told right from wrong by the schema's pattern;
 4. small bad jobs, each spoiled in one place only, do not validate; unspoiled they do.
Exits 1 with a list if anything fails.
"""

import datetime
import json
import pathlib
import subprocess
import sys
import tomllib

import jsonschema

ROOT = pathlib.Path(__file__).resolve().parents[2]
REFUSED = {"06-degenerate"}

GOOD = """
title = "Panel"
units = "in"
[craft]
built = 1990
[[ground]]
id = "cream"
colour = "#efe6cf"
shot = 2026-06-04T15:00:00
dry_to_tape = { time = "1 h 30 min", at = "21 C" }
[[surface]]
id = "fin"
kind = "flat"
corners = [[0, 0], [30, 0], [24, "3 ft 4 in"]]
[[surface.feature]]
id = "ring"
kind = "ring"
at = [10, 10]
diameter = "4 1/2 in"
[[surface.feature]]
id = "seam"
kind = "seam"
path = [[0, 0], [1, 9]]
[[mark]]
id = "reg"
surface = "fin"
text = "N417RW"
height = "largest"
place = { at = [12, 8] }
[[paint]]
id = "blue"
volume_solids = 0.42
coats = [{ kind = "wet", film_um = 40 }]
[gun]
overlap = 0.5
speed = "18 in/s"
[conditions]
air = "72 F"
humidity = 45
[shop]
date = 2026-06-06
opens = "08:00"
"""

# What stands in the good job, and what is put in its place.
SPOILED = [
    ('title = "Panel"', ""),
    ('title = "Panel"', 'title = "  "'),
    ('units = "in"', 'units = "inch"'),
    ('units = "in"', 'unit = "in"'),
    ("built = 1990", "built = 1990.5"),
    ('"#efe6cf"', '"cream"'),
    ('colour = "#efe6cf"', 'colour = "#efe6cf"\nreflectance = 0.5'),
    ('"1 h 30 min"', '"30 min 1 h"'),
    ('"1 h 30 min"', '"90"'),
    ('id = "fin"', 'id = "Fin"'),
    ('kind = "flat"', 'kind = "flat"\nspan = 168'),
    ('kind = "flat"', 'kind = "wing"'),
    (', [24, "3 ft 4 in"]', ""),
    ('"3 ft 4 in"', '"3 ft 4"'),
    # Three numbers are a point of a scan: only the reader, which knows the kind of surface, refuses them here.
    ("at = [10, 10]", "at = [10, 10, 10, 10]"),
    ("at = [10, 10]\n", ""),
    ('diameter = "4 1/2 in"', 'diameter = "-4 in"'),
    ('diameter = "4 1/2 in"', "diameter = 0"),
    ('diameter = "4 1/2 in"', "diameter = 200000"),
    ('diameter = "4 1/2 in"', 'diameter = "4 1/2 in"\ncorners = [[0, 0], [9, 0], [9, 9]]'),
    ("path = [[0, 0], [1, 9]]", "at = [1, 1]\ndiameter = 3"),
    ('height = "largest"', 'height = "tall"'),
    ('height = "largest"', "height = true"),
    ("at = [12, 8]", "on = [12, 8]"),
    ("volume_solids = 0.42", "volume_solids = 0"),
    ("volume_solids = 0.42", "volume_solids = 1.1"),
    (", film_um = 40", ""),
    ("overlap = 0.5", "overlap = 1"),
    ('"18 in/s"', '"18 in"'),
    ('"72 F"', "72"),
    ("humidity = 45", "humidity = 120"),
    ("date = 2026-06-06", 'date = "sixth of June"'),
    ('"08:00"', '"24:00"'),
    ("[shop]", "[shops]"),
]

# Forms of a length: those a painter means, and those that mean nothing or two things.
LENGTHS = [
    "24 3/8 in", "24-3/8 in", "3/8 in", "1 ft 6 1/2 in", "1' 6-1/2\"", "1'-6 1/2\"", "1′ 6½″", "1’ 6½”", "1' 6''",
    "½ in", "6 ½ in", "600 mm", "600mm", "60 cm", "1.5 m", ".5 in", "12.5 ft", "36 yd", " 9/8 in ", "1/3 in",
    "1\u00a0ft 0 in",
]
NO_LENGTHS = [
    "1,5 m", "24 3 in", "5' -6\"", "1e3 mm", "nan mm", "inf m", "3 furlong", "3 inch", "24", "", "-", "--3 in", "3/0 in",
    "3.5/8 in", "24.5 3/8 in", "24.5½ in", "1.2.3 mm", "5. in", "1.5 ft 3 in", "1 ft 3 mm", "1 m 20 cm",
    "1 ft 6 1/2 in deep", "wide", "1 200 mm", "5-in",
]
SIGNED = ["-5 mm", "-3 1/2 in", "-1' 6\"", "\u22122 in"]


def as_json(value):
    """TOML values as JSON knows them: days and times become texts."""
    if isinstance(value, dict):
        return {key: as_json(item) for key, item in value.items()}
    if isinstance(value, list):
        return [as_json(item) for item in value]
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    return value


def main() -> int:
    program = pathlib.Path(sys.argv[1]) / "examples" / "print_schema"
    schema = json.loads(subprocess.run([str(program)], check=True, capture_output=True).stdout)
    wrong, checks = [], 0

    def expect(holds, what):
        nonlocal checks
        checks += 1
        if not holds:
            wrong.append(what)

    jsonschema.Draft202012Validator.check_schema(schema)
    expect(schema["$schema"].endswith("/2020-12/schema"), "the schema does not name its draft")
    validator = jsonschema.Draft202012Validator(schema)

    jobs = sorted((ROOT / "hangar").glob("*/job.toml"))
    expect(len(jobs) >= 6, f"only {len(jobs)} jobs in the hangar")
    for path in jobs:
        errors = list(validator.iter_errors(as_json(tomllib.loads(path.read_text(encoding="utf-8")))))
        if path.parent.name in REFUSED:
            expect(len(errors) >= 5, f"{path.parent.name}: only {len(errors)} errors")
        else:
            expect(not errors, f"{path.parent.name}: {[error.message[:200] for error in errors[:3]]}")

    def validates(text):
        return validator.is_valid(as_json(tomllib.loads(text)))

    expect(validates(GOOD), "the good job does not validate")
    for was, becomes in SPOILED:
        assert GOOD.count(was) == 1, was
        expect(not validates(GOOD.replace(was, becomes)), f"validates with {becomes!r} for {was!r}")

    def length_validator(name):
        return jsonschema.Draft202012Validator({**schema["$defs"][name], "$schema": schema["$schema"]})

    measure, position = length_validator("length"), length_validator("position")
    for text in LENGTHS:
        expect(measure.is_valid(text), f"no length: {text!r}")
    for text in LENGTHS + SIGNED:
        expect(position.is_valid(text), f"no position: {text!r}")
    for text in NO_LENGTHS:
        expect(not position.is_valid(text), f"a position: {text!r}")
    for text in SIGNED:
        expect(not measure.is_valid(text), f"a length below nothing: {text!r}")

    for line in wrong:
        print(line)
    print(f"schema: {checks} checks, {len(wrong)} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
