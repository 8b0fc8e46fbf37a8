"""Dew points against psychrolib, which solves the formulas of the ASHRAE Handbook (Fundamentals 2017, chapter 1).

Usage: air.py DUMP_AIR [--warm DEGREES]

Air from -10 to 45 C, humidity from 5 to 100 %; below 0 C both give the frost point.
"""

import subprocess
import sys

import psychrolib

# Greatest difference that is accepted, C.
WITHIN = 0.1


def main() -> int:
    psychrolib.SetUnitSystem(psychrolib.SI)
    warm = float(sys.argv[sys.argv.index("--warm") + 1]) if "--warm" in sys.argv else 0.0
    text = subprocess.run([sys.argv[1]], check=True, capture_output=True, text=True).stdout
    checks, worst, failures, above = 0, 0.0, [], 0
    for line in text.splitlines():
        air, humidity, ours = map(float, line.split())
        ours += warm
        theirs = psychrolib.GetTDewPointFromRelHum(air, humidity / 100)
        above += theirs > 0
        checks += 1
        off = abs(ours - theirs)
        worst = max(worst, off)
        if off > WITHIN:
            failures.append(f"{air} C, {humidity} %: ours {ours:.3f}, psychrolib {theirs:.3f}")
    print(f"air: {checks} checks ({above} above freezing), worst {worst:.3f} C, {len(failures)} failures")
    for failure in failures[:10]:
        print("  " + failure)
    return 1 if failures or checks < 5000 or above < 2000 else 0


if __name__ == "__main__":
    sys.exit(main())
