"""Runs every outside check in this folder; ends with a line that counts them.

Usage: run.py BUILD_DIR   (where our program and examples were built, e.g. target/ci)
"""

import pathlib
import subprocess
import sys

HERE = pathlib.Path(__file__).parent
HELPERS = {"run.py", "memory.py"}


def main() -> int:
    build = pathlib.Path(sys.argv[1]).resolve()
    passed, failed = 0, 0
    for script in sorted(HERE.glob("*.py")):
        if script.name in HELPERS:
            continue
        print(f"-- {script.name}", flush=True)
        done = subprocess.run([sys.executable, str(script), str(build)])
        if done.returncode == 0:
            passed += 1
        else:
            failed += 1
            print(f"-- {script.name} FAILED", flush=True)
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())
