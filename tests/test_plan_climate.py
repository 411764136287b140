"""The usual weather a plan counts on: a region's months, years of records, frosts, germination.

Figures of records are checked against counting by hand; those of months against their own ends.
"""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_cases import BASE, asked, planner

from advisor.model import DayOfYear, Stretch
from advisor.planning.climate import DayRecord, RecordClimate, RegionClimate, rain_within
from advisor.planning.planner import Planner
from advisor.planning.records import climate_of, measured, records
from advisor.planning.request import Days
from advisor.planning.seasons import Seasons
from advisor.terms import Span
from advisor.weather.reading import parse_weather

REGION = BASE.regions["lake-plain"]
DAYS = st.dates(dt.date(2023, 1, 1), dt.date(2032, 12, 31))


def years(first: int, last: int) -> Iterator[dt.date]:
    """Every day of some years."""
    date = dt.date(first, 1, 1)
    while date.year <= last:
        yield date
        date += dt.timedelta(days=1)


# ---- months --------------------------------------------------------------------------------------


@pytest.mark.parametrize("region", BASE.regions)
@settings(max_examples=60, deadline=None)
@given(date=DAYS, limit=st.floats(-20, 120))
def test_chances_are_chances(region: str, date: dt.date, limit: float) -> None:
    """Every figure lies between 0 and 1, below and above add up, and rain grows with the hours."""
    climate = RegionClimate(BASE.regions[region])
    below, above = climate.high_below(date, limit), climate.high_above(date, limit)
    assert 0 <= below <= 1
    assert below + above == pytest.approx(1)
    assert 0 <= climate.wet_day(date) <= 1
    assert 0 <= rain_within(climate, date, 2) <= rain_within(climate, date, 24) <= 1
    assert rain_within(climate, date, 24) == pytest.approx(climate.wet_day(date))


def test_the_middle_of_a_month_is_the_month() -> None:
    """Half of the days around the 15th and 16th stay below the month's usual high."""
    climate = RegionClimate(REGION)
    for month, usual in enumerate(REGION.months, 1):
        for day in (15, 16):
            share = climate.high_below(dt.date(2027, month, day), usual.high)
            assert share == pytest.approx(0.5, abs=0.03)


@given(date=DAYS)
def test_days_change_little_from_one_to_the_next(date: dt.date) -> None:
    """No jump at the turn of a month or a year, leap years included."""
    climate = RegionClimate(REGION)
    after = date + dt.timedelta(days=1)
    assert abs(climate.high_below(date, 60) - climate.high_below(after, 60)) < 0.06
    assert abs(climate.wet_day(date) - climate.wet_day(after)) < 0.02


# ---- records -------------------------------------------------------------------------------------


def made_up(first: int = 2018, last: int = 2025) -> list[DayRecord]:
    """Years of records whose every figure follows from the date."""
    result = []
    for date in years(first, last):
        warm = -math.cos((date.timetuple().tm_yday - 20) / 365 * 2 * math.pi)
        high = 56 + 24 * warm + (date.day * 7 % 11) - 5
        rain = 0.2 if date.day % 3 == 0 else 0.0
        result.append(DayRecord(date, high, rain, float(date.day % 15), high - 20))
    return result


def test_a_record_counts_the_days_within_a_week() -> None:
    """The chance of a wet, cold, hot or windy day is its share of the days near it, by hand."""
    kept = made_up()
    climate = RecordClimate(kept, REGION, "made up")
    date = dt.date(2027, 5, 10)
    near = [r for r in kept if abs((r.date - date.replace(year=r.date.year)).days) <= 7]
    assert len(near) == 15 * 8
    assert climate.wet_day(date) == pytest.approx(sum(r.rain_in >= 0.04 for r in near) / len(near))
    assert climate.high_below(date, 60) == pytest.approx(sum(r.high < 60 for r in near) / len(near))
    assert climate.high_above(date, 60) == pytest.approx(sum(r.high > 60 for r in near) / len(near))
    assert climate.windy(date, 10) == pytest.approx(sum(r.wind >= 10 for r in near) / len(near))


def test_records_reach_over_new_year_and_leap_days() -> None:
    """New Year's Day counts late December; 29 February has the figures of the 28th."""
    climate = RecordClimate(made_up(), REGION, "made up")
    assert 0 < climate.wet_day(dt.date(2027, 1, 1)) < 1
    assert climate.wet_day(dt.date(2028, 2, 29)) == climate.wet_day(dt.date(2028, 2, 28))


def test_what_was_not_recorded_comes_from_the_region() -> None:
    """Without wind, rain or highs the months answer; with one of them only the others do."""
    usual = RegionClimate(REGION)
    bare = [replace(r, wind=None, rain_in=None) for r in made_up()]
    climate = RecordClimate(bare, REGION, "bare")
    date = dt.date(2027, 7, 4)
    assert climate.wet_day(date) == usual.wet_day(date)
    assert climate.windy(date, 10) == usual.windy(date, 10)
    assert climate.high_below(date, 80) != usual.high_below(date, 80)


def test_killing_frost_is_the_middle_of_the_years() -> None:
    """With first lows of 28 F on October 5, 20 and 30 in three years it is October 20."""
    first = {2020: dt.date(2020, 10, 5), 2021: dt.date(2021, 10, 20), 2022: dt.date(2022, 10, 30)}
    kept = [
        DayRecord(d, 60, 0, 5, 27.0 if d >= first[d.year] or d <= dt.date(d.year, 4, 20) else 45.0)
        for d in years(2020, 2022)
    ]
    climate = RecordClimate(kept, REGION, "three years")
    assert climate.fall_frost == DayOfYear(10, 20)
    assert climate.spring_frost == DayOfYear(4, 20)


def test_two_years_do_not_say_when_frost_comes() -> None:
    """With fewer than three years the region's frosts stand."""
    climate = RecordClimate(made_up(2023, 2024), REGION, "two years")
    assert climate.fall_frost == REGION.first_fall_frost
    assert climate.spring_frost == REGION.last_spring_frost


def test_a_place_without_frost_keeps_its_leaf() -> None:
    """Where no year had a killing frost, fall frost comes at the very end of the fall looked at."""
    kept = [DayRecord(d, 70, 0, 5, 50.0) for d in years(2020, 2023)]
    climate = RecordClimate(kept, REGION, "mild")
    assert climate.fall_frost.ordinal - REGION.first_fall_frost.ordinal == 75


# ---- files ---------------------------------------------------------------------------------------


def written(kept: list[DayRecord]) -> str:
    """The records as a weather file."""
    rows = [f"{r.date},{r.high:.1f},{r.low:.1f},{r.rain_in},{r.wind}" for r in kept]
    return "\n".join(["date,temp_max [F],temp_min [F],rain [in],wind [mph]", *rows]) + "\n"


def test_a_weather_file_becomes_records() -> None:
    """Every day of the file is a record with its high, low and rain."""
    kept = made_up(2023, 2024)
    found = list(records(parse_weather(written(kept), "two.csv")))
    assert [r.date for r in found] == [r.date for r in kept]
    assert [r.high for r in found] == pytest.approx([r.high for r in kept], abs=0.06)
    assert [r.low for r in found] == pytest.approx([r.low for r in kept], abs=0.06)


def test_a_climate_says_where_it_comes_from() -> None:
    """The years are counted and the file is named."""
    weather = parse_weather(written(made_up(2023, 2024)), "folder/two.csv")
    assert climate_of(weather, REGION).name == "2 years of two.csv"


def test_a_warm_place_brings_germination_forward() -> None:
    """Ten degrees warmer, crabgrass comes up earlier, and the preventer goes down earlier."""
    usual = parse_weather(written(made_up()), "usual.csv")
    warm = [replace(r, high=r.high + 10, low=r.low + 10) for r in made_up()]
    found = parse_weather(written(warm), "warm.csv")
    shifts = measured(usual, BASE, REGION), measured(found, BASE, REGION)
    assert shifts[1]["smooth-crabgrass"] < shifts[0]["smooth-crabgrass"]
    request = asked("smooth-crabgrass", start="2026-12-01", days=250)
    days = []
    for weather, shift in zip((usual, found), shifts, strict=True):
        of = Planner(BASE, "lake-plain", climate_of(weather, REGION), shift)
        days.append(of.plan(request).steps[0].day)
    assert days[1] < days[0]


# ---- seasons -------------------------------------------------------------------------------------


@pytest.mark.parametrize("region", BASE.regions)
def test_crops_come_whole_and_once_a_year(region: str) -> None:
    """Over five years each annual has one germination a year, as long as its calendar says."""
    seasons = Seasons(BASE.regions[region], RegionClimate(BASE.regions[region]))
    horizon = Days(dt.date(2026, 1, 1), dt.date(2030, 12, 31))
    for name in ("smooth-crabgrass", "henbit", "annual-bluegrass", "goosegrass"):
        weed = BASE.weeds[name]
        assert isinstance(weed.germinates, Stretch)
        crops = list(seasons.crops(weed, horizon))
        for crop in crops:
            assert abs(len(crop) - weed.germinates.days) <= 1
        starts = [crop.first for crop in crops]
        gaps = [(b - a).days for a, b in itertools.pairwise(starts)]
        assert all(364 <= gap <= 367 for gap in gaps)
        assert 5 <= len(crops) <= 7


def test_frost_lies_between_fall_and_spring() -> None:
    """In the north winter is frozen and summer is not; in the south it is the other way round."""
    north, south = planner().seasons, planner("south-downs").seasons
    for year in (2026, 2027, 2028):
        assert north.frozen(dt.date(year, 1, 15))
        assert not north.frozen(dt.date(year, 7, 15))
        assert south.frozen(dt.date(year, 7, 15))
        assert not south.frozen(dt.date(year, 1, 15))
    assert not north.frozen(dt.date(2026, 10, 12))
    assert north.frozen(dt.date(2026, 10, 13))


def test_stages_follow_one_another() -> None:
    """A crabgrass crop is seedling, vegetative, in flower, and past it, in that order."""
    seasons = planner().seasons
    weed = BASE.weeds["smooth-crabgrass"]
    crop = next(c for c in seasons.crops(weed, Days(dt.date(2027, 1, 1), dt.date(2027, 12, 31)))
                if c.first.year == 2027)  # fmt: skip
    order = ["seedling", "vegetative", "flowering", "after-bloom"]
    seen = []
    for n in range(0, 180):
        stages = seasons.stages(weed, crop, crop.first + dt.timedelta(days=n))
        name = next(stage for stage in order if stage in stages)
        if not seen or seen[-1] != name:
            seen.append(name)
    assert seen == order


def test_the_middle_of_a_value_that_may_be_anything_is_not_known() -> None:
    """A day whose rain may have been any amount gives no record of rain."""
    weather = parse_weather("date,temp_max [F],temp_min [F]\n2026-05-01,70,50\n", "x.csv")
    (record,) = records(weather)
    assert record.rain_in is None
    assert record.wind is None
    assert (record.high, record.low) == (70, 50)
    assert Span(70, 70) == weather.days[record.date].high
