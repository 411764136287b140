"""Beside the spray: seed in the soil, sowing, care, the site's word, other ways, the coming days.

The seed bank is held to a published burial trial, sowing to the labels' waits, every row of a
comparison to the planner's own figures.
"""

from __future__ import annotations

import datetime as dt
import itertools
from dataclasses import replace

import pytest
from example_calls import diagnosis
from plan_cases import BASE, asked, day, plan, planner, sheet, sheet_of

from advisor.planning.around import around, mix_of, stops_of
from advisor.planning.beyond import care, site_words, slots
from advisor.planning.compare import Row, compare
from advisor.planning.forecast import forecast
from advisor.planning.plan import Plan
from advisor.planning.request import Days
from advisor.planning.seedbank import LEFT_AT_END, left_after, seed_years
from advisor.weather.reading import parse_weather

# ---- seed in the soil ----------------------------------------------------------------------------

BURIED = {  # mean germination in percent after 0, 1 to 4, 5 to 8 and 9 to 17 years
    "annual grasses": (57, 28, 9, 4),
    "annual broadleaves": (47, 26, 16, 11),
}
MIDDLE_YEARS = (2.5, 6.5, 13.0)


def best_life(first: float, later: tuple[float, ...]) -> float:
    """The life in years that brings the assumed decay nearest to a row of the trial."""
    lives = [n / 10 for n in range(20, 400)]
    return min(lives, key=lambda life: worst(first, later, life))


def worst(first: float, later: tuple[float, ...], life: float) -> float:
    """The farthest that the decay lies from a row, in points."""
    return max(
        abs(first * left_after(life, years) - seen)
        for years, seen in zip(MIDDLE_YEARS, later, strict=True)
    )


@pytest.mark.parametrize(("group", "points"), [("annual grasses", 3), ("annual broadleaves", 7)])
def test_the_decay_assumed_is_about_what_buried_seed_did(group: str, points: float) -> None:
    """Source: seed of 41 weeds buried 20 cm deep in Nebraska for 17 years, Weed Science.

    One life fits the three later figures within three points for annual grasses and seven for
    annual broadleaves, whose tail is longer than any steady decay.
    """
    first, *later = BURIED[group]
    life = best_life(first, tuple(later))
    assert worst(first, tuple(later), life) <= points
    assert 8 <= life <= 20


def test_a_twentieth_is_left_at_the_end_of_life() -> None:
    """The figures of a weed run from the whole to a twentieth at its seed's life."""
    assert left_after(5, 0) == 1
    assert left_after(5, 5) == pytest.approx(LEFT_AT_END)
    weed = BASE.weeds["smooth-crabgrass"]
    years = seed_years(weed, 5)
    assert [y.year for y in years] == [1, 2, 3, 4, 5]
    assert years[4].high == pytest.approx(LEFT_AT_END)
    assert all(a.low > b.low and a.high > b.high for a, b in itertools.pairwise(years))
    assert all(y.low <= y.high for y in years)


def test_weeds_that_lawns_get_from_runners_have_no_seed_outlook() -> None:
    """Ground ivy's seed is of minor importance in lawns; it gets none."""
    assert seed_years(BASE.weeds["ground-ivy"]) == []


# ---- sowing --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "weeds", [("ground-ivy",), ("wild-violet",), ("smooth-crabgrass",), ("henbit", "dandelion")]
)
def test_no_open_sowing_day_lies_in_a_wait(weeds: tuple[str, ...]) -> None:
    """A day open for seed keeps every step's wait before sowing and the age new grass needs."""
    found = plan(*weeds, start="2026-07-01", days=500)
    for slot in slots(found, BASE, planner().seasons):
        for run in slot.open:
            assert slot.season.first <= run.first <= run.last <= slot.season.last
            for sown in (run.first, run.last):
                for step in found.steps:
                    apart = (sown - step.day).days
                    wanted = step.product.seed_after_days, -step.product.new_grass_days
                    assert apart >= wanted[0] or apart <= wanted[1]


def test_sowing_seasons_follow_the_grass_and_the_hemisphere() -> None:
    """Cool-season grass in late summer, warm-season in early summer, the south half a year on."""
    for turf, region, first in (
        ("tall-fescue", "lake-plain", "08-15"),
        ("bermudagrass", "lake-plain", "05-15"),
        ("perennial-ryegrass", "south-downs", "02-04"),
    ):
        found = plan("dandelion", turf=turf, region=region, start="2026-01-05", days=330)
        (slot,) = slots(found, BASE, planner(region).seasons)
        assert f"{slot.season.first:%m-%d}" == first


def test_a_season_without_room_names_the_product_that_takes_it() -> None:
    """A preventer in August closes the fall's sowing, and is named."""
    found = planner().follow(
        asked("henbit", start="2026-08-01", days=90),
        [(day("2026-08-10"), "stonecroft-preventer")],
    )
    (slot,) = slots(found, BASE, planner().seasons)
    assert slot.open == ()
    assert slot.closed_by is not None
    assert slot.closed_by.id == "stonecroft-preventer"


def test_st_augustinegrass_is_never_sown() -> None:
    """It is set as plugs or sod, so that there is no sowing season at all."""
    found = plan("yellow-nutsedge", turf="st-augustinegrass", start="2026-03-01")
    assert slots(found, BASE, planner().seasons) == []


# ---- care and the site's word --------------------------------------------------------------------


def test_what_keeps_the_weed_out_is_named() -> None:
    """Everything the knowledge base knows to keep a weed out stands on its plan, once."""
    found = plan("ground-ivy", "wild-violet")
    texts = [entry.do for entry in care(found, BASE)]
    for weed in ("ground-ivy", "wild-violet"):
        assert {saying.say for saying in BASE.weeds[weed].kept_out_by} <= set(texts)
    assert len(texts) == len(set(texts))


def test_the_diagnosis_decides_what_of_the_site_to_put_right() -> None:
    """A lawn mown too short and watered too often gets the remedies of just these causes."""
    found = diagnosis("ground-ivy-watered")
    beside = [c.cause.id for c in found.beside if c.cause.group == "site"]
    texts = [entry.do for entry in care(sheet("ground-ivy-watered").plan, BASE, found)]
    for cause in beside:
        assert BASE.causes[cause].remedies[0].do in texts
    assert BASE.causes["shallow-water-table"].remedies[0].do not in texts


def test_daily_water_and_wet_ground_are_spoken_of() -> None:
    """Watering four days a week, or a wet spot, brings the remedy for a weed that likes it wet."""
    wet = plan("yellow-nutsedge", water_weekdays=frozenset({0, 1, 3, 5}),
               features=("poor-drainage",))  # fmt: skip
    texts = [entry.do for entry in care(wet, BASE)]
    assert BASE.causes["overwatered"].remedies[0].do in texts
    assert BASE.causes["shallow-water-table"].remedies[0].do in texts
    dry = [entry.do for entry in care(plan("dandelion", water_weekdays=frozenset(range(7))), BASE)]
    assert BASE.causes["overwatered"].remedies[0].do not in dry


@pytest.mark.parametrize(
    ("features", "level"),
    [((), "control"), (("poor-drainage",), "suppression"), (("high-water-table",), "unlikely")],
)
def test_a_hopeless_site_is_called_so(features: tuple[str, ...], level: str) -> None:
    """Nutsedge: control on dry ground, suppression on wet, unlikely over a shallow water table."""
    found = plan("yellow-nutsedge", features=features)
    (word,) = site_words(found, BASE)
    assert word.level == level
    assert [limit.feature for limit in word.limits] == list(features)


def test_a_label_that_only_suppresses_is_called_so() -> None:
    """Where every product planned lists the weed as suppressed no control is promised."""
    found = plan("canada-thistle", start="2026-04-01")
    (word,) = site_words(found, BASE)
    assert word.level == "suppression"
    assert word.suppressed_only


def test_the_worst_outlook_comes_first() -> None:
    """With two weeds the one that cannot be beaten is spoken of first."""
    found = plan("dandelion", "yellow-nutsedge", features=("high-water-table",))
    assert [w.level for w in site_words(found, BASE)] == ["unlikely", "control"]


# ---- around a step -------------------------------------------------------------------------------


@pytest.mark.parametrize("weed", ["ground-ivy", "smooth-crabgrass", "yellow-nutsedge", "dandelion"])
def test_the_mix_of_every_step_is_worked_out(weed: str) -> None:
    """No mix is refused: the planned rate, grass and water are within the label."""
    found = plan(weed, start="2026-03-01", days=450)
    for step in found.steps:
        mix = mix_of(step, found.request, BASE)
        assert mix.refused == ()
        assert mix.loads
        assert step.rate is not None
        if not step.by_soil:
            (load,) = mix.loads
            high = step.rate.amount.exact(f"{load.doses[0].unit}/1000 ft2")[1]
            assert load.doses[0].amount == high * (load.area or 1)


def test_spots_get_a_mix_by_the_gallon() -> None:
    """A product that kills the grass is mixed for spots, a gallon at a time."""
    found = plan("quackgrass", start="2026-08-15", spot_kill=True)
    mix = mix_of(found.steps[0], found.request, BASE)
    assert mix.refused == ()
    assert mix.loads[0].area is None
    assert mix.loads[0].spray == 1


def test_a_preventer_is_judged_when_its_crop_should_be_up() -> None:
    """Four to seven weeks after the first seedlings, not after it was put down."""
    found = plan("smooth-crabgrass", start="2026-12-01", days=250)
    step = found.steps[0]
    crop = step.against[0].crop
    assert crop is not None
    assert around(step, found.request).look == Days(
        crop.first + dt.timedelta(days=28), crop.first + dt.timedelta(days=49)
    )


def test_stops_fit_the_product_and_the_site() -> None:
    """Rain stops a spray and no granule; water close by stops both where it is there."""
    spray = plan("ground-ivy", features=("pond-edge",))
    names = {s.id for s in stops_of(spray.steps[0], spray.request, BASE)}
    assert {"windy", "rain-coming", "too-hot-to-spray", "too-cold-to-spray", "near-water"} <= names
    granule = plan("smooth-crabgrass", start="2026-12-01", days=250)
    names = {s.id for s in stops_of(granule.steps[0], granule.request, BASE)}
    assert "rain-coming" not in names
    assert "near-water" not in names


# ---- other ways ----------------------------------------------------------------------------------


def rows(found: Plan, **more: object) -> dict[str, Row]:
    """The rows of a comparison by name."""
    return {r.name: r for r in compare(planner(found.request.region), found, **more)}


def test_nothing_beside_it_beats_the_plan_with_as_few_sprays() -> None:
    """No other way that keeps the labels and the grass has more control from as few sprays."""
    for weeds, start in ((("ground-ivy",), "2026-06-01"), (("wild-violet",), "2026-04-01")):
        found = plan(*weeds, start=start)
        table = rows(found)
        for name in ("intended", "now", "once", "fall"):
            row = table[name]
            if row.plan is not None and not row.breaks and row.applications <= len(found.steps):
                assert row.plan.control <= found.control + 1e-9


def test_what_the_customer_means_to_do_is_followed_to_the_day() -> None:
    """The days and products told are those of the row, and what they break is said."""
    found = plan("ground-ivy", start="2026-09-29")
    meant = [(day("2026-09-30"), "fellmark-ester"), (day("2026-10-10"), "fellmark-ester")]
    row = rows(found, intended=meant)["intended"]
    assert row.plan is not None
    assert [(s.day, s.product.id) for s in row.plan.steps] == meant
    assert row.breaks == ("interval",)


@pytest.mark.parametrize(
    ("product", "breaks", "more"),
    [
        ("tallowdene-ester", "licensed", {}),
        ("fellmark-ester", "turf-no", {"turf": "bermudagrass"}),
        ("reedholm-sedge", "not-listed", {}),
    ],
)
def test_a_way_that_breaks_a_label_says_so(
    product: str, breaks: str, more: dict[str, object]
) -> None:
    """A product that may not be used here is followed all the same, with what it breaks."""
    found = plan("ground-ivy", start="2026-09-29", **more)
    row = rows(found, intended=[(day("2026-10-05"), product)])["intended"]
    assert breaks in row.breaks


def test_the_same_again_waits_for_the_label() -> None:
    """With nothing told it is the same product, on the first day its interval has run out."""
    found = sheet("ground-ivy-watered").plan
    row = rows(found)["intended"]
    assert row.plan is not None
    assert [(str(s.day), s.product.id) for s in row.plan.steps] == [
        ("2026-10-11", "larkmoor-broadleaf")
    ]
    assert row.breaks == ()


def test_starting_over_leaves_time_to_sow() -> None:
    """The sprays of a renovation lie before a sowing season and leave days of it open."""
    found = plan("quackgrass", start="2026-06-01", spot_kill=True)
    row = rows(found)["renovate"]
    assert row.plan is not None
    assert row.reseed is not None
    last = row.plan.steps[-1]
    assert (row.reseed.first - last.day).days >= last.product.seed_after_days
    assert row.reseed.last == day("2026-09-30")
    assert len(row.plan.steps) <= 2


def test_a_lawn_that_nobody_sows_is_not_started_over() -> None:
    """Without a known grass, or with one that is not sown, starting over is no row to follow."""
    for turf in (None, "st-augustinegrass"):
        found = plan("yellow-nutsedge", turf=turf, start="2026-03-01")
        assert rows(found)["renovate"].plan is None


def test_product_and_cost_add_up() -> None:
    """Two applications at 0.73 fl oz take 1.46 fl oz, at 32 dollars for 16 fl oz 2.92 dollars."""
    found = plan("ground-ivy", start="2026-09-29")
    row = rows(found)["plan"]
    (used,) = row.used
    assert (float(used.amount), used.unit) == (1.46, "fl oz")
    assert row.cost == pytest.approx(2.92)
    assert rows(found)["once"].cost == pytest.approx(1.46)


def test_a_product_without_a_price_costs_nobody_knows_what() -> None:
    """One price missing leaves the whole sum open."""
    found = plan("ground-ivy", start="2026-09-29")
    unpriced = replace(BASE.products["fellmark-ester"], price=None)
    request = replace(found.request, labels={"fellmark-ester": unpriced})
    row = {r.name: r for r in compare(planner(), planner().plan(request))}["plan"]
    assert row.cost is None


def test_waiting_for_fall_is_no_row_in_fall() -> None:
    """Whoever asks in October is in fall already; in June the row is there and sprays in fall."""
    assert "fall" not in rows(plan("dandelion", start="2026-10-05"))
    row = rows(plan("dandelion", start="2026-06-05"))["fall"]
    assert row.plan is not None
    assert all(9 <= step.day.month <= 11 for step in row.plan.steps)


# ---- the coming days -----------------------------------------------------------------------------

HEAD = "date,temp_max [F],temp_min [F],rain [in],wind [mph]\n"


def coming(*days: str) -> str:
    """A forecast from its rows."""
    return HEAD + "\n".join(days) + "\n"


def dry(first: str, count: int) -> list[str]:
    """Mild, dry and calm days."""
    start = day(first)
    return [f"{start + dt.timedelta(days=n)},66,48,0,3" for n in range(count)]


@pytest.mark.parametrize(
    ("rows_", "word", "when"),
    [
        (dry("2026-09-28", 10), "go", "2026-10-01"),
        (
            [*dry("2026-09-28", 3), *(f"2026-10-0{n},66,48,0.5,3" for n in range(1, 6))],
            "no-go",
            None,
        ),
        ([*dry("2026-09-28", 3), *(f"2026-10-0{n},40,30,0,3" for n in range(1, 6))], "no-go", None),
        (
            [*dry("2026-09-28", 3), *(f"2026-10-0{n},66,48,0,22" for n in range(1, 6))],
            "no-go",
            None,
        ),
        (dry("2026-09-20", 5), "early", "2026-10-01"),
        (dry("2026-10-06", 5), "early", "2026-10-29"),
        (dry("2026-09-29", 3), "wait", "2026-10-01"),
    ],
)
def test_the_coming_days_say_go_wait_or_no(rows_: list[str], word: str, when: str | None) -> None:
    """The first day of the window that suits is named; rain, cold and wind say no, and why."""
    found = plan("ground-ivy", start="2026-09-15")
    told = forecast(found, parse_weather(coming(*rows_), "coming.csv"), BASE)
    assert told is not None
    assert told.word == word
    assert (None if told.day is None else str(told.day)) == when
    for each in told.days:
        assert (each.verdict == "go") == (each.reasons == ())
        assert each.in_window == told.step.window.holds(each.date)


def test_a_forecast_after_the_last_step_has_nothing_to_say() -> None:
    """Once all windows are past there is no step to judge."""
    found = plan("ground-ivy", start="2026-09-15")
    assert forecast(found, parse_weather(coming(*dry("2027-08-01", 4)), "late.csv"), BASE) is None


def test_rain_is_nothing_to_granules() -> None:
    """A wet day in the window is a day to put a preventer down."""
    found = plan("smooth-crabgrass", start="2026-12-01", days=250)
    inside = found.steps[0].window.first
    wet = [f"{inside + dt.timedelta(days=n)},50,38,0.4,3" for n in range(3)]
    told = forecast(found, parse_weather(coming(*wet), "wet.csv"), BASE)
    assert told is not None
    assert told.word == "go"


def test_the_label_decides_how_warm_a_day_must_be() -> None:
    """At 47 F a product allowed from 45 F may go; the usual limit of 50 F does not stop it."""
    found = plan("ground-ivy", start="2026-10-25", days=60, products=("fellmark-ester",))
    first = found.steps[0].window.first
    cool = [f"{first + dt.timedelta(days=n)},49,36,0,3" for n in range(-2, 5)]
    told = forecast(found, parse_weather(coming(*cool), "cool.csv"), BASE)
    assert told is not None
    assert told.word == "go"


def test_a_sheet_gathers_everything() -> None:
    """Steps, care, sowing, seed and the site's word stand on one sheet."""
    found = sheet_of("wild-violet", features=("shade",))
    assert len(found.steps) == len(found.plan.steps)
    assert found.care
    assert found.slots
    assert [w.id for w, _ in found.seeds] == ["wild-violet"]
    assert found.rows == ()
    assert found.forecast is None
