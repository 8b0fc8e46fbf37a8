"""Dew points against psychrolib, which solves the formulas of the ASHRAE Handbook (Fundamentals 2017, chapter 1).

Usage: air.py DUMP_AIR [--warm DEGREES]

psychrolib takes saturation over ice below 0 C (dew point: frost point); ours stays with liquid water, which is what
gathers on a cold panel first. Frost points are therefore turned into dew points over water with psychrolib's own
triple of formulas: the same vapour pressure, and the WMO's ratio of the two saturations. Where the dew point is above
freezing nothing is turned.
"""

import math
import subprocess
import sys

import psychrolib

# Greatest difference that is accepted, C.
WITHIN = 0.1


def over_water(vapour_pa: float) -> float:
    """Dew point over liquid water, C, by the formula of ASHRAE 2017 ch. 1 eq. 6 carried on below 0 C."""

    def saturated(t_c: float) -> float:
        t = t_c + 273.15
        return math.exp(
            -5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t * t
            - 1.4452093e-8 * t**3 + 6.5459673 * math.log(t)
        )

    low, high = -70.0, 60.0
    for _ in range(80):
        mid = 0.5 * (low + high)
        if saturated(mid) < vapour_pa:
            low = mid
        else:
            high = mid
    return low


def main() -> int:
    psychrolib.SetUnitSystem(psychrolib.SI)
    warm = float(sys.argv[sys.argv.index("--warm") + 1]) if "--warm" in sys.argv else 0.0
    text = subprocess.run([sys.argv[1]], check=True, capture_output=True, text=True).stdout
    checks, worst, failures, above = 0, 0.0, [], 0
    for line in text.splitlines():
        air, humidity, ours = map(float, line.split())
        ours += warm
        frost = psychrolib.GetTDewPointFromRelHum(air, humidity / 100)
        if frost > 0.01 and air > 0.01:
            theirs = frost
            above += 1
        elif air > 0.01:
            # Humidity is over water here; the vapour's own pressure is psychrolib's.
            theirs = over_water(psychrolib.GetVapPresFromRelHum(air, humidity / 100))
        else:
            # Humidity is always meant over water (WMO-No. 8), also below freezing.
            at = air + 273.15
            water = math.exp(
                -5.8002206e3 / at + 1.3914993 - 4.8640239e-2 * at + 4.1764768e-5 * at * at
                - 1.4452093e-8 * at**3 + 6.5459673 * math.log(at)
            )
            theirs = over_water(humidity / 100 * water)
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
