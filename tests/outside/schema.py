"""Holds job files against the JSON Schema of the job file, with readers that are not ours.

Outside: Python's own tomllib reads the TOML, the package `jsonschema` (PyPI) validates. Days and times, which
JSON lacks, are turned into texts first. Good files must pass, files in the folder `bad` must fail.

    SCHEMA_DIR=DIR cargo test -p plan schema_for_outside
    python schema.py DIR/schema.json DIR
"""

import datetime
import pathlib
import sys
import tomllib

import json
import jsonschema


def plain(value):
    """The value with its days and times as texts."""
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    if isinstance(value, (datetime.date, datetime.time, datetime.datetime)):
        return value.isoformat()
    return value


def faults(validator, path):
    """Messages of everything in the file that the schema refuses."""
    with path.open("rb") as file:
        job = plain(tomllib.load(file))
    return [error.message for error in validator.iter_errors(job)]


def main():
    schema_path, folder = map(pathlib.Path, sys.argv[1:])
    schema = json.loads(schema_path.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    good = sorted(path for path in folder.rglob("*.toml") if "bad" not in path.parts)
    bad = sorted((folder / "bad").glob("*.toml"))
    wrong = []
    for path in good:
        wrong += [f"{path.name}: refused: {message[:200]}" for message in faults(validator, path)]
    for path in bad:
        if not faults(validator, path):
            first = path.read_text(encoding="utf-8").splitlines()[0]
            wrong.append(f"{path.name}: not refused: {first}")
    if not good or not bad:
        wrong.append("no files were found: nothing was checked")
    print("\n".join(wrong) if wrong else f"{len(good)} good files pass, {len(bad)} bad files are refused")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
