"""How long a plan takes and how much memory, on more than a counter would ask for.

Run it by hand: `python tests/bench/bench_plan.py`. An 18-month plan for three weeds with three
products on ten years of made-up daily weather must stay under two seconds and 300 MB; the other
lines are larger. It is no test and pytest never collects it.
"""

from __future__ import annotations

import datetime as dt
import math
import platform
import resource
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT)]

from advisor.knowledge import load  # noqa: E402
from advisor.planning.planner import Planner  # noqa: E402
from advisor.planning.records import climate_of, measured  # noqa: E402
from advisor.planning.request import Request  # noqa: E402
from advisor.planning.sheet import gather  # noqa: E402
from advisor.render.plan_html import plan_html  # noqa: E402
from advisor.weather.reading import parse_weather  # noqa: E402

TARGET_S, TARGET_MB = 2.0, 300
YEARS = (2016, 2025)
START = dt.date(2026, 9, 29)
WEEDS = ("ground-ivy", "wild-violet", "smooth-crabgrass")
PRODUCTS = ("fellmark-ester", "kettlebrook-quinclorac", "stonecroft-preventer")
FIVE = (*WEEDS, "henbit", "yellow-nutsedge")


def weather() -> Iterator[str]:
    """Ten years of daily weather of a cool humid place, the same every time."""
    chance = Random(7)
    yield "date,temp_max [F],temp_min [F],rain [in],wind [mph]"
    date = dt.date(YEARS[0], 1, 1)
    while date.year <= YEARS[1]:
        warm = -math.cos((date.timetuple().tm_yday - 20) / 365 * 2 * math.pi)
        high = 60 + 24 * warm + chance.gauss(0, 8)
        low = high - chance.uniform(14, 24)
        rain = 0.0 if chance.random() > 0.34 else chance.expovariate(3)
        yield f"{date},{high:.0f},{low:.0f},{rain:.2f},{chance.uniform(2, 11):.0f}"
        date += dt.timedelta(days=1)


def megabytes() -> float:
    """The most memory this process has taken so far."""
    scale = 2**20 if platform.system() == "Darwin" else 2**10
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / scale


def main() -> None:
    """Time one plan after the other and print what they took."""
    base = load(ROOT / "knowledge")
    print(f"Python {platform.python_version()}, knowledge base loaded, {megabytes():.0f} MB")
    region = base.regions["lake-plain"]
    text = "\n".join(weather()) + "\n"
    begun = time.perf_counter()
    found = parse_weather(text, "ten-years.csv")
    climate, shifts = climate_of(found, region), measured(found, base, region)
    print(f"ten years of daily weather read and counted: {time.perf_counter() - begun:.2f} s")
    lawn = {"region": "lake-plain", "start": START, "turf": "tall-fescue"}
    asked = {
        "three weeds, three products, 18 months": Request(
            WEEDS, products=PRODUCTS, days=548, **lawn
        ),
        "three weeds, all products, 18 months": Request(WEEDS, days=548, **lawn),
        "five weeds, all products, 18 months": Request(FIVE, days=548, **lawn),
        "five weeds, up to ten applications": Request(FIVE, days=548, most=10, **lawn),
    }
    for number, (name, request) in enumerate(asked.items()):
        planner = Planner(base, "lake-plain", climate, shifts)
        begun = time.perf_counter()
        plan = planner.plan(request)
        took = time.perf_counter() - begun
        verdict = ""
        if number == 0:
            good = took < TARGET_S and megabytes() < TARGET_MB
            verdict = (
                f", asked for under {TARGET_S:g} s and {TARGET_MB} MB: {'yes' if good else 'NO'}"
            )
        steps = f"{len(plan.steps)} steps, {plan.control:.0%} control"
        print(f"{name}: {took:.2f} s, {megabytes():.0f} MB, {steps}{verdict}")
    planner = Planner(base, "lake-plain", climate, shifts)
    begun = time.perf_counter()
    page = plan_html(gather(planner, planner.plan(asked["three weeds, all products, 18 months"]),
                            base, comparing=True), base)  # fmt: skip
    took = time.perf_counter() - begun
    print(f"with other ways and the printed sheet: {took:.2f} s, {len(page):,} bytes")


if __name__ == "__main__":
    main()
