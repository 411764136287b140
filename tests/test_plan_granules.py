"""Granules and sprays that work through the leaf are planned by what a leaf needs.

Weed-and-feed wants wet leaves and a dry day after; a spray that works from the soil as well is no
preventer. Preventers keep to the soil.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import pytest
from example_calls import knowledge
from plan_cases import asked, day, whole_planner

from advisor.planning.around import around, stops_of
from advisor.planning.climate import RegionClimate
from advisor.planning.forecast import forecast
from advisor.planning.labels import must_stick, through_leaf
from advisor.planning.plan import Plan
from advisor.planning.planner import Planner
from advisor.planning.sheet import gather
from advisor.render.layout import Page
from advisor.render.plan_page import plan_page
from advisor.weather.reading import parse_weather

FEED, SPRAY = "dovebrook-feed", "larkmoor-broadleaf"
HEAD = "date,temp_max [F],temp_min [F],rain [in],wind [mph]\n"


def feed(**more: object) -> Plan:
    """The plan for dandelion with weed-and-feed alone."""
    request = asked("dandelion", start="2026-09-01", products=(FEED,), **more)
    return whole_planner("lake-plain").plan(request)


@pytest.mark.parametrize(
    ("product", "leaf", "sticks"),
    [
        (FEED, True, True),
        (SPRAY, True, False),
        ("fenwold-sedge", True, False),
        ("stonecroft-preventer", False, False),
        ("harrowgate-early", False, False),
    ],
)
def test_how_a_product_is_planned(product: str, leaf: bool, sticks: bool) -> None:
    """Weed-and-feed sticks to the leaf, a leaf and soil spray goes for the leaf, preventers do
    neither."""
    found = knowledge().products[product]
    assert (through_leaf(found), must_stick(found)) == (leaf, sticks)


def test_weed_and_feed_goes_for_plants_that_are_up() -> None:
    """Its steps are no preventer's: they meet dandelions in leaf and leave few of them."""
    found = feed()
    assert found.steps
    assert not any(step.by_soil for step in found.steps)
    assert found.alive["dandelion"].expected < 0.2


def test_weed_and_feed_asks_for_wet_leaves_and_a_dry_day_after() -> None:
    """The page asks for dew, for no rain, and for the sprinkler to stay off until the day after."""
    found = feed(water_weekdays=frozenset(range(7)))
    near = around(found.steps[0], found.request)
    first = found.steps[0].day
    assert near.last_water is None
    assert near.skip_water == (first, first + dt.timedelta(days=1))
    assert near.next_water == first + dt.timedelta(days=2)
    page = " ".join(str(plan_page(gather(whole_planner("lake-plain"), found, knowledge()),
                                  knowledge(), Page(80))).split())  # fmt: skip
    assert "leaves wet with dew, or from a light watering just before" in page
    assert "Keep it dry for a day" in page
    assert "rain-coming" in {s.id for s in stops_of(found.steps[0], found.request, knowledge())}


@dataclass(frozen=True)
class WetBefore(RegionClimate):
    """It rains on one day for certain; the other days are as usual."""

    rains: dt.date = dt.date(2026, 9, 19)

    def wet_day(self, date: dt.date) -> float:
        return 1.0 if date == self.rains else super().wet_day(date)


def test_rain_the_day_before_takes_nothing_from_weed_and_feed() -> None:
    """It takes from a spray, and not from granules that want wet leaves; rain after takes both."""
    base = knowledge()
    usual = whole_planner("lake-plain")
    wet = Planner(base, "lake-plain", WetBefore(base.regions["lake-plain"]))
    (target,) = usual.setup(asked("dandelion")).aims
    for name, before in ((FEED, False), (SPRAY, True)):
        product = base.products[name]
        after = day("2026-09-19"), day("2026-09-20")
        on_it, next_day = (
            (usual.killing.kill(target, product, d).expected
             - wet.killing.kill(target, product, d).expected) > 1e-9
            for d in after
        )  # fmt: skip
        assert on_it
        assert next_day is before


def test_the_losses_are_those_of_such_a_product() -> None:
    """Rain at once takes more from an amine than from an ester, as the rules of the cause say."""
    base, of = knowledge(), whole_planner("lake-plain")
    (target,) = of.setup(asked("dandelion")).aims
    kept = {}
    for name in (SPRAY, "fellmark-ester"):
        well, badly = (of.killing.kill(target, base.products[name], day("2026-09-20"), causes)
                       for causes in ((), ("washed-off",)))  # fmt: skip
        kept[name] = badly.expected / well.expected
    assert kept[SPRAY] == pytest.approx(1 - 0.75)
    assert kept["fellmark-ester"] == pytest.approx(1 - 0.5)


def test_a_leaf_and_soil_spray_is_planned_on_a_perennial() -> None:
    """Sulfentrazone on yellow nutsedge has its days, though it lasts in the soil as well."""
    request = asked("yellow-nutsedge", start="2026-03-01", products=("fenwold-sedge",),
                    homeowner=False)  # fmt: skip
    found = whole_planner("lake-plain").plan(request)
    assert found.steps
    assert not any(step.by_soil for step in found.steps)
    assert found.control > 0.3


@pytest.mark.parametrize(
    ("rains", "word", "when"),
    [
        ((), "go", "2026-09-15"),
        (("2026-09-14",), "go", "2026-09-15"),
        (("2026-09-15",), "go", "2026-09-16"),
        (("2026-09-15", "2026-09-16", "2026-09-17", "2026-09-18"), "wait", "2026-09-19"),
    ],
)
def test_the_coming_days_for_weed_and_feed(rains: tuple[str, ...], word: str, when: str) -> None:
    """Rain the day before is welcome; a rainy day is passed over, and the day that rain follows
    is open only."""
    days = [day("2026-09-12") + dt.timedelta(days=n) for n in range(8)]
    rows = [f"{d},70,50,{0.4 if str(d) in rains else 0},3" for d in days]
    told = forecast(feed(), parse_weather(HEAD + "\n".join(rows) + "\n", "w.csv"), knowledge())
    assert told is not None
    assert (told.word, str(told.day)) == (word, when)
