"""From warmth to the stage of a weed: dates of events, what they rule out, what they say of a call.

The thresholds are the knowledge base's; the methods behind them are held to published days in
test_degree_days. Real warmth is Seattle's of 2015, from `tests/data/weather`.
"""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
from example_calls import KNOWLEDGE, knowledge
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.call import parse_call
from advisor.degree_days import Recipe, average
from advisor.fact import KNOWLEDGE as FROM_KNOWLEDGE
from advisor.fact import WEATHER, FactSet
from advisor.facts import gather
from advisor.growth import (
    LATER_STAGES,
    came,
    dated,
    running_total,
    season_start,
    soil_reached,
    stages_ruled_out,
)
from advisor.heat import AIR, GERMINATION, Threshold
from advisor.knowledge import load
from advisor.problem import ProblemsFound
from advisor.terms import Options, Span, Truth
from advisor.weather.reading import parse_weather, read_weather
from advisor.weather.record import Weather

DATA = Path(__file__).parent / "data" / "weather"
SEATTLE = DATA / "seattle-2015.csv"
HEAT = knowledge().heat


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def steady(first: str, count: int, high: float, low: float, gone: tuple[int, ...] = ()) -> Weather:
    """Days of one high and low (F), some of them missing."""
    start = day(first)
    rows = [f"{start + dt.timedelta(days=n)},{high},{low}" for n in range(count) if n not in gone]
    return parse_weather("date,temp_max [F],temp_min [F]\n" + "\n".join(rows), "steady.csv")


def threshold(low: float, high: float, **more: object) -> Threshold:
    values = {
        "id": "t", "weed": "dandelion", "event": GERMINATION, "says": "it starts",
        "heat": Span(low, high), "written": "", "recipe": Recipe("average", 50), "measured": AIR,
        "depth": None, "start": (1, 1), "then_days": (0, 0), "basis": "demo", "source": None,
    } | more  # fmt: skip
    return Threshold(**values)  # type: ignore[arg-type]


# ---- dates --------------------------------------------------------------------------------------


def test_ten_degree_days_a_day() -> None:
    """At ten degree days a day, 70 to 95 are passed on the seventh and the tenth day."""
    weather = steady("2026-01-01", 31, 70, 50)
    found = dated(weather, threshold(70, 95), day("2026-01-20"))
    assert (found.first, found.last) == (day("2026-01-07"), day("2026-01-10"))
    assert found.total == Span(310, 310)
    verdicts = [found.on(day(f"2026-01-{d:02}")) for d in (6, 7, 9, 10)]
    assert verdicts == [Truth.RULED_OUT, Truth.OPEN, Truth.OPEN, Truth.SHOWN]


def test_days_that_still_pass() -> None:
    """An event some weeks after a total comes that much later."""
    weather = steady("2026-01-01", 60, 70, 50)
    found = dated(weather, threshold(70, 95, then_days=(21, 28)), day("2026-02-20"))
    assert (found.first, found.last) == (day("2026-01-28"), day("2026-02-07"))


def test_a_threshold_not_reached_has_no_date() -> None:
    """What the warmth of the file does not reach has not come by its end."""
    found = dated(steady("2026-01-01", 31, 50, 30), threshold(70, 95), day("2026-01-20"))
    assert (found.first, found.last, found.total) == (None, None, Span(0, 0))


def test_a_missing_day_makes_a_date_an_interval() -> None:
    """A day without a row may have been as warm as the place can be, or cold."""
    weather = steady("2026-01-01", 31, 70, 50, gone=(2,))
    loose = dated(weather, threshold(70, 70), day("2026-01-20"))
    assert (loose.first, loose.last) == (day("2026-01-03"), day("2026-01-08"))
    placed = dated(weather, threshold(70, 70), day("2026-01-20"), outside=lambda _: Span(40, 64))
    assert (placed.first, placed.last) == (day("2026-01-07"), day("2026-01-08"))


def test_a_file_that_begins_late_leaves_the_date_open() -> None:
    """Warmth before the first row counts as anything plausible, not as none."""
    weather = steady("2026-03-01", 31, 60, 50)
    found = dated(weather, threshold(70, 95), day("2026-03-20"), outside=lambda _: Span(20, 55))
    assert found.first == day("2026-01-14")
    assert found.last == day("2026-03-19")


def test_seasons_of_both_halves_of_the_globe() -> None:
    """Counting begins on the threshold's day, in the south half a year from it."""
    april = threshold(1, 1, start=(4, 1))
    assert season_start(april, day("2026-04-01"), south=False) == day("2026-04-01")
    assert season_start(april, day("2026-03-31"), south=False) == day("2025-04-01")
    assert season_start(april, day("2026-10-01"), south=True) == day("2026-09-30")
    assert season_start(april, day("2026-05-01"), south=True) == day("2025-09-30")


def test_the_published_totals_on_a_real_spring() -> None:
    """By the four totals for crabgrass in air it came up in Seattle from 26 March to 7 May 2015."""
    weather = read_weather(SEATTLE)
    found = [dated(weather, t, day("2015-05-20")) for t in HEAT.of_weed("smooth-crabgrass")]
    when = came(found, GERMINATION)
    assert when is not None
    assert (when.first, when.last, len(when.by)) == (day("2015-03-26"), day("2015-05-07"), 4)
    total = running_total(weather, Recipe("average", 50), day("2015-01-01"), day("2015-05-07"))
    by_hand = sum(
        average(d.high.low, d.low.low, 50)
        for d in weather.days.values()
        if d.date <= day("2015-05-07") and d.high and d.low
    )
    assert total.low == pytest.approx(by_hand)
    assert by_hand >= 200 > by_hand - 12


def test_soil_worked_out_from_air_is_wide() -> None:
    """A total of the soil is dated from the estimate, later or earlier than any of the air's."""
    weather = read_weather(SEATTLE)
    soil = HEAT.thresholds["crabgrass-starts-in-soil"]
    found = dated(weather, soil, day("2015-05-20"))
    assert found.total.high - found.total.low > 1000
    assert came([found], GERMINATION) is None


@settings(max_examples=40, deadline=None)
@given(st.sets(st.integers(0, 150)), st.sets(st.integers(0, 150)), st.floats(10, 300))
def test_more_days_never_widen_a_date(holes: set[int], more: set[int], heat: float) -> None:
    """Whatever days are missing, with more of them missing an event is no better dated."""
    header, *rows = SEATTLE.read_text(encoding="utf-8").splitlines()

    def without(gone: set[int]) -> Weather:
        kept = [row for n, row in enumerate(rows[:180]) if n not in gone]
        return parse_weather("\n".join([header, *kept]), "s.csv")

    one = dated(without(holes), threshold(heat, heat + 40), day("2015-06-01"))
    other = dated(without(holes | more), threshold(heat, heat + 40), day("2015-06-01"))
    assert other.total.low <= one.total.low + 1e-9
    assert one.total.high <= other.total.high + 1e-9
    far = dt.date.max
    assert (other.first or far) <= (one.first or far)
    assert (one.last or far) <= (other.last or far)


# ---- what the warmth rules out ------------------------------------------------------------------


def test_no_bloom_before_there_is_warmth_for_it() -> None:
    """Before the first dandelion can bloom, its later stages are ruled out; after that none are."""
    weather = read_weather(SEATTLE)
    found = [dated(weather, t, day("2015-05-01")) for t in HEAT.of_weed("dandelion")]
    assert stages_ruled_out(found, day("2015-03-01"), day("2015-03-12")) == LATER_STAGES
    assert stages_ruled_out(found, day("2015-03-01"), day("2015-03-14")) == frozenset()
    assert stages_ruled_out(found, day("2014-12-20"), day("2014-12-24")) == frozenset()


@pytest.mark.parametrize(
    ("name", "soil", "expected"),
    [
        ("crabgrass-soil-starts", Span(50, 56), Truth.RULED_OUT),
        ("crabgrass-soil-starts", Span(50, 60), Truth.OPEN),
        ("crabgrass-soil-starts", Span(64, 70), Truth.SHOWN),
        ("annual-bluegrass-fall-flush", Span(71, 80), Truth.RULED_OUT),
        ("annual-bluegrass-fall-flush", Span(66, 74), Truth.OPEN),
        ("annual-bluegrass-fall-flush", Span(60, 69), Truth.SHOWN),
    ],
)
def test_the_soil_on_its_way_up_or_down(name: str, soil: Span, expected: Truth) -> None:
    """An event of rising soil comes once it is as warm, one of falling soil once it is as cool."""
    assert soil_reached(HEAT.soil[name], soil) is expected


# ---- what it says of a call ---------------------------------------------------------------------


def facts_of(lines: str, weather: Weather | None) -> FactSet:
    base = knowledge()
    return gather(parse_call(lines, "call.yaml", base), base, weather)


CRABGRASS = (
    "reported: 2015-07-10\nsite: {region: lake-plain}\nweed: smooth-crabgrass\n"
    "product: stonecroft-preventer\ntreatment: [{sprayed: 2015-04-20}]\n"
)


def test_lateness_by_the_warmth_of_the_year() -> None:
    """With a file the preventer is late or early by this year's warmth, without it by the usual
    calendar."""
    measured = facts_of(CRABGRASS, read_weather(SEATTLE)).of_applications[0]
    lateness = measured["germination_lateness"]
    assert lateness.value == Span(-17, 25)  # 26 March to 7 May
    assert lateness.origin.how == WEATHER
    assert "between 2015-03-26 and 2015-05-07" in lateness.origin.words
    usual = facts_of(CRABGRASS, None).of_applications[0]["germination_lateness"]
    assert usual.origin.how == FROM_KNOWLEDGE
    assert usual.value != lateness.value


def test_an_unusual_year_is_no_contradiction() -> None:
    """Where warmth and calendar disagree the warmth counts, and nobody is said to be wrong."""
    warm = steady("2015-01-01", 120, 80, 60)
    found = facts_of(CRABGRASS, warm)
    lateness = found.of_applications[0]["germination_lateness"].value
    assert lateness == Span(110 - 1 - 9, 110 - 1 - 3)  # came on the fourth to the tenth of January
    assert [c for c in found.conflicts if c.fact == "germination_lateness"] == []


def test_a_file_too_short_to_date_it_only_narrows() -> None:
    """A file that ends before the warmth is there says that it was not late by then."""
    cold = steady("2015-01-01", 115, 48, 30)
    found = facts_of(CRABGRASS, cold).of_applications[0]["germination_lateness"].value
    assert isinstance(found, Span)
    assert found.high <= day("2015-04-20").toordinal() - day("2015-04-26").toordinal() + 1


DANDELION = (
    "reported: 2015-04-10\nweed: dandelion\nproduct: larkmoor-broadleaf\n"
    "treatment: [{{sprayed: 2015-03-05{more}}}]\n"
)


def test_the_stage_is_narrowed_by_warmth() -> None:
    """Early in March no dandelion of that spring bloomed; told that it did, both are reported."""
    found = facts_of(DANDELION.format(more=""), read_weather(SEATTLE))
    stage = found.of_applications[0]["stage"]
    assert stage.value == Options.of("seedling", "vegetative", "dormant")
    told = facts_of(DANDELION.format(more=", stage: flowering"), read_weather(SEATTLE))
    assert told.of_applications[0]["stage"].value == Options.of("flowering")
    against = {(c.fact, c.other.origin.how) for c in told.conflicts}
    assert against == {("stage", WEATHER), ("stage", FROM_KNOWLEDGE)}


# ---- the file of thresholds ---------------------------------------------------------------------


def test_totals_in_c_are_kept_in_f() -> None:
    """42 to 78 C-days above 12 C are 75.6 to 140.4 F-days above 53.6 F."""
    soil = HEAT.thresholds["crabgrass-starts-in-soil"]
    assert (soil.heat, soil.recipe) == (Span(75.6, 140.4), Recipe("average", 53.6))
    assert soil.written == "42 to 78 C-days above 12 C"


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("weed: goosegrass", "weed: goosegras", "K201"),
        ("source: ohio-degree-day-almanac", "source: ohio-almanac", "K201"),
        ("heat: 70 to 140", "heat: 140 to 70", "K307"),
        ("cap: null", "cap: 40 F", "K307"),
        ("base: 50 F", "base: 50", "K103"),
        ("method: average", "method: mean", "K104"),
        ("start: 01-01", "start: 02-30", "K106"),
        ("mean: 57 to 64 F", "mean: 57 to 64 mph", "K306"),
        ("event: bloom-start", "event: blooms", "K104"),
    ],
)
def test_a_mistake_in_the_thresholds_is_found(
    tmp_path: Path, old: str, new: str, code: str
) -> None:
    """A mistake in heat.yaml is a problem at its place."""
    folder = tmp_path / "knowledge"
    shutil.copytree(KNOWLEDGE, folder, ignore=shutil.ignore_patterns("examples"))
    path = folder / "heat.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    line = text[: text.index(old)].count("\n") + 1
    with pytest.raises(ProblemsFound) as found:
        load(folder)
    assert [(p.code, p.line) for p in found.value.problems] == [(code, line)]
