"""Plans against what extension services and trials publish: seasons, intervals, numbers of sprays.

Each test names the text it holds the plan to, by title, publisher and year; what stands there is
the window or the interval, never the program's own figure. Dates are for the cool humid north where
nothing else is said.
"""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import pytest
from plan_cases import asked, plan, planner

from advisor.planning.plan import Plan


def gaps(found: Plan) -> list[int]:
    """The days between the steps of a plan."""
    return [(b.day - a.day).days for a, b in pairwise(found.steps)]


def between(day: dt.date, first: str, last: str) -> bool:
    """Whether a day lies in a part of its year, written MM-DD."""
    return first <= f"{day:%m-%d}" <= last


def test_ground_ivy_twice_in_fall_28_days_apart() -> None:
    """Source: How late is too late and Attempting ground ivy control, Purdue Turfgrass Science.

    October 1 to November 1, with triclopyr to mid-November; sprayed again at 28 days.
    """
    found = plan("ground-ivy", start="2026-09-01")
    assert [s.product.id for s in found.steps] == ["fellmark-ester"] * 2
    assert all(between(s.day, "10-01", "11-15") for s in found.steps)
    assert gaps(found) == [28]


def test_wild_violet_in_fall_and_spring() -> None:
    """Source: Efficacy of triclopyr mixtures for common blue violet, Weed Technology 34, 2020.

    Only triclopyr does much. The trade sprays in fall and at bloom in spring, three to five weeks
    apart, over two seasons (common practice).
    """
    found = plan("wild-violet", start="2026-09-01", days=400)
    assert all("triclopyr" in {a.name for a in s.product.actives} for s in found.steps)
    assert between(found.steps[0].day, "09-15", "10-31")
    assert any(between(s.day, "04-15", "05-31") for s in found.steps)
    assert min(gaps(found)) >= 21
    assert 2 <= len(found.steps) <= 4


def test_yellow_nutsedge_twice_in_june_three_weeks_apart() -> None:
    """Sources: Yellow nutsedge, Penn State Extension; Weed Technology 2021 on halosulfuron.

    Before new tubers form in late June to early July; twice three weeks apart, begun June 3 or
    later, gave more than 95 percent.
    """
    found = plan("yellow-nutsedge", start="2026-03-01", days=365)
    assert [s.product.id for s in found.steps] == ["reedholm-sedge"] * 2
    assert all(between(s.day, "06-01", "07-05") for s in found.steps)
    assert gaps(found) == [21]


def test_creeping_bentgrass_three_times_two_to_three_weeks_apart() -> None:
    """Source: Selective creeping bentgrass control, Ohio State University.

    Mesotrione three times, 14 days apart in bluegrass and 21 in ryegrass.
    """
    found = plan("creeping-bentgrass", start="2026-04-01", days=200, turf="kentucky-bluegrass")
    assert [s.product.id for s in found.steps] == ["palewater-white"] * 3
    assert all(14 <= gap <= 21 for gap in gaps(found))


def test_star_of_bethlehem_in_march_and_april_three_weeks_apart() -> None:
    """Source: Star of Bethlehem control, Kent County Cooperative Extension, 2008.

    While the leaves are up, three weeks apart; it comes back the next year, so look each spring.
    """
    found = plan("star-of-bethlehem", start="2026-02-01", days=150)
    assert found.steps
    assert all(between(s.day, "03-10", "05-20") for s in found.steps)
    assert min(gaps(found)) >= 21
    assert not found.beaten


@pytest.mark.parametrize(
    ("region", "fall", "spring"),
    [
        ("lake-plain", ("11-01", "11-30"), ("03-01", "04-10")),
        ("red-hills", ("10-20", "11-30"), ("02-10", "03-31")),
    ],
)
def test_wild_garlic_in_november_and_again_in_late_winter(
    region: str, fall: tuple[str, str], spring: tuple[str, str]
) -> None:
    """Source: Wild garlic, Missouri Botanical Garden.

    Fall and again early in spring before new bulbs form, for two to three years.
    """
    found = plan("wild-garlic", region=region, turf="bermudagrass", start="2026-09-15", days=300)
    assert between(found.steps[0].day, *fall)
    assert between(found.steps[1].day, *spring)
    assert not found.beaten


def test_canada_thistle_at_bud_and_on_fall_rosettes() -> None:
    """Source: Canada thistle control ... in a non-crop location, North Dakota State University.

    Bud to first bloom in June or July, then the rosettes of fall; nothing clears it in one year.
    """
    found = plan("canada-thistle", start="2026-04-20", days=250)
    assert between(found.steps[0].day, "06-01", "07-10")
    assert between(found.steps[1].day, "09-01", "10-31")
    assert gaps(found)[0] >= 56
    assert not found.beaten


def test_field_bindweed_from_bloom_to_fall() -> None:
    """Sources: Field bindweed, Washington State University; fall is best, Kansas State University.

    From bloom on and best in fall, two or three times a year for years.
    """
    found = plan("field-bindweed", start="2026-04-01", days=270)
    assert all(between(s.day, "06-01", "10-25") for s in found.steps)
    assert any(between(s.day, "08-20", "10-05") for s in found.steps)
    assert not found.beaten


def test_crabgrass_preventer_before_mid_april_in_the_north() -> None:
    """Source: Control of annual grassy weeds in lawns, Colorado State University Extension, 2014.

    Down and watered in before the soil reaches 55 F, in the north by about the middle of April.
    """
    found = plan("smooth-crabgrass", start="2026-09-01", days=300)
    first = found.steps[0]
    assert first.product.kind == "pre-emergent"
    assert between(first.day, "03-25", "04-20")
    assert first.against[0].crop is not None
    assert first.day < first.against[0].crop.first


def test_crabgrass_preventer_comes_earlier_in_the_south_of_the_country() -> None:
    """Source: the same; the warmer the region, the earlier its soil reaches 55 F."""
    north = plan("smooth-crabgrass", start="2026-12-01", days=250).steps[0].day
    south = plan("smooth-crabgrass", start="2026-12-01", days=250, region="red-hills").steps[0].day
    assert 7 <= (north - south).days <= 45


def test_crabgrass_that_is_up_is_sprayed_small_and_again() -> None:
    """Source: quinclorac on smooth crabgrass, HortScience 2003.

    Early to middle post-emergence is best; up to three times under heavy pressure.
    """
    found = plan("smooth-crabgrass", start="2026-05-25", days=120)
    assert 1 <= len(found.steps) <= 3
    assert all(between(s.day, "05-15", "07-15") for s in found.steps)
    assert all(s.product.acts_through == "leaf" for s in found.steps)


def test_dandelion_once_in_fall() -> None:
    """Sources: How late is too late, Purdue; Fall is the best time, Kansas State University.

    Mid-September to early November; over 90 percent from one spray.
    """
    for start in ("2026-03-01", "2026-06-15", "2026-09-01"):
        found = plan("dandelion", start=start, days=300)
        assert len(found.steps) == 1
        assert between(found.steps[0].day, "09-15", "11-05")
        assert found.control > 0.85


def test_nimblewill_in_late_spring_and_summer() -> None:
    """Source: Nimblewill update, Iowa State University Extension, 2012.

    Mesotrione in summer, two to three times two to three weeks apart (common practice).
    """
    found = plan("nimblewill", start="2026-03-01", days=250)
    assert all(between(s.day, "05-20", "08-15") for s in found.steps)
    assert all(14 <= gap <= 21 for gap in gaps(found))
    assert 2 <= len(found.steps) <= 3


def test_quackgrass_twice_in_september_then_seed() -> None:
    """Source: Controlling cool-season perennial grassy weeds in turf, University of Illinois.

    Glyphosate on the spot in active growth, best in September, twice two to four weeks apart.
    """
    found = plan("quackgrass", start="2026-08-15", days=200, spot_kill=True)
    assert [s.product.kind for s in found.steps] == ["non-selective"] * 2
    assert all(between(s.day, "09-01", "10-15") for s in found.steps)
    assert 14 <= gaps(found)[0] <= 28


def test_nothing_selective_is_planned_for_quackgrass() -> None:
    """Source: the same; no product takes it out of a cool-season lawn and leaves the grass."""
    found = plan("quackgrass", start="2026-08-15")
    assert found.steps == ()
    assert {b.why for b in found.barred} == {"kills-grass"}


def test_henbit_in_late_fall_or_with_a_preventer_in_september() -> None:
    """Source: Column on henbit and chickweed, Kansas State University.

    A preventer early to middle September, or a spray late October to early November; spraying the
    bloom in spring is not worthwhile.
    """
    found = plan("henbit", start="2026-08-10", days=250)
    for step in found.steps:
        if step.by_soil:
            assert step.window.last >= dt.date(2026, 9, 1)
        else:
            assert between(step.day, "10-15", "11-15")


# ---- the calendar ------------------------------------------------------------------------------


def test_the_south_of_the_globe_has_the_same_plan_half_a_year_later() -> None:
    """Ground ivy is sprayed twice in the southern fall, 28 days apart, as it is in the north."""
    found = plan("ground-ivy", region="south-downs", turf="perennial-ryegrass", start="2026-02-15")
    assert all(between(s.day, "03-15", "05-31") for s in found.steps)
    assert gaps(found) == [28]


def test_the_southern_preventer_goes_down_in_the_southern_spring() -> None:
    """Crabgrass comes up from October on; the preventer goes down before that."""
    found = plan(
        "smooth-crabgrass", region="south-downs", turf="perennial-ryegrass", start="2026-05-01"
    )
    assert between(found.steps[0].day, "09-01", "10-25")


def test_a_leap_year_moves_nothing_but_the_date() -> None:
    """A plan that starts on 29 February is the plan that starts on 1 March of the next year."""
    leap = plan("wild-violet", start="2028-02-29", days=300)
    usual = plan("wild-violet", start="2029-03-01", days=300)
    assert len(leap.steps) == len(usual.steps)
    for a, b in zip(leap.steps, usual.steps, strict=True):
        assert abs((a.day.replace(year=2029) - b.day).days) <= 1


@pytest.mark.parametrize("start", ["2026-12-25", "2027-12-31", "2028-01-01", "2028-02-28"])
def test_a_plan_runs_over_new_year(start: str) -> None:
    """Steps lie inside the horizon, the yearly limit counts by calendar year, gaps run on."""
    found = plan("wild-violet", start=start, days=550)
    for step in found.steps:
        assert found.request.horizon.holds(step.day)
    years = [step.day.year for step in found.steps]
    assert all(years.count(year) <= 2 for year in years)
    assert all(gap >= 28 for gap in gaps(found))


def test_no_warm_season_weed_is_sprayed_after_a_killing_frost() -> None:
    """Nimblewill, bermudagrass and nutsedge get no spray between fall and spring frost."""
    for weed in ("nimblewill", "wild-bermudagrass", "yellow-nutsedge"):
        for region, turf in (("lake-plain", "tall-fescue"), ("high-basin", "kentucky-bluegrass")):
            of = planner(region)
            request = asked(weed, region=region, turf=turf, start="2026-09-01", days=500,
                            spot_kill=True, sooner=0.0)  # fmt: skip
            found = of.plan(request)
            assert found.steps
            assert not any(of.seasons.frozen(step.day) for step in found.steps)
            setup = of.setup(request)
            for product in setup.products:
                for date, gain in zip(request.dates, setup.gains(product), strict=True):
                    assert gain is None or not of.seasons.frozen(date)
