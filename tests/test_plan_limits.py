"""What a plan may not do: labels' waits and yearly limits, grasses, mowing, sowing, stages, frost.

Every limit is looked at on the finished plan, against the label and not against the optimiser.
"""

from __future__ import annotations

import datetime as dt
import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_cases import BASE, asked, day, plan, planner

from advisor.planning.around import around
from advisor.planning.labels import (
    active_years,
    gap_days,
    groups,
    per_year,
    rate_for,
    usable_products,
)
from advisor.planning.plan import Plan
from advisor.planning.request import Days, Done

WEEDS = ("ground-ivy", "wild-violet", "dandelion", "smooth-crabgrass", "henbit", "yellow-nutsedge")
THREE_WAY = frozenset({"2,4-D", "mecoprop-P", "dicamba"})
TURF = ("tall-fescue", "kentucky-bluegrass", "bermudagrass", "cool-season", "bentgrass-turf")


def keeps_labels(found: Plan, done: tuple[Done, ...] = ()) -> None:
    """Hold a plan to the intervals and yearly counts of its labels, with what was done before."""
    made = [*((d.date, BASE.products[str(d.product)]) for d in done)]
    made += [(step.day, step.product) for step in found.steps]
    for (first, one), (second, other) in itertools.combinations(
        sorted(made, key=lambda m: m[0]), 2
    ):
        if one.id == other.id:
            assert (second - first).days >= one.interval_days
        if groups(one) & groups(other):
            assert (second - first).days >= max(one.interval_days, other.interval_days)
    for year in {date.year for date, _ in made}:
        names = [product.id for date, product in made if date.year == year]
        assert all(names.count(n) <= BASE.products[n].per_year for n in names)


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_every_plan_keeps_the_labels(data: st.DataObject) -> None:
    """Intervals, yearly counts, temperatures, grasses and licenses hold, whatever is asked."""
    weeds = tuple(data.draw(st.lists(st.sampled_from(WEEDS), min_size=1, max_size=3, unique=True)))
    region = data.draw(st.sampled_from(["lake-plain", "red-hills", "south-downs"]))
    done = data.draw(
        st.lists(
            st.builds(
                Done,
                st.dates(dt.date(2026, 5, 1), dt.date(2026, 9, 20)),
                st.sampled_from(["fellmark-ester", "larkmoor-broadleaf"]),
            ),
            max_size=2,
        )
    )
    request = asked(
        *weeds,
        region=region,
        turf=data.draw(st.sampled_from(TURF)),
        start=str(data.draw(st.dates(dt.date(2026, 9, 1), dt.date(2026, 12, 31)))),
        days=data.draw(st.integers(30, 450)),
        done=tuple(done),
    )
    found = planner(region).plan(request)
    first = max([request.start, *(d.date + dt.timedelta(days=1) for d in done)])
    for step in found.steps:
        assert first <= step.day <= request.horizon.last
        assert planner(region).killing.legal(step.product, step.day)
        assert step.product.homeowner == "yes"
        assert step.product.kind != "non-selective"
        lawn = BASE.turf[str(request.turf)].members or (str(request.turf),)
        assert not set(lawn) & set(step.product.turf_injured)
        assert step.window.holds(step.day)
    spread = [
        d for i, d in enumerate(done) if all(abs((d.date - e.date).days) >= 28 for e in done[:i])
    ]
    if len(spread) == len(done):
        keeps_labels(found, tuple(done))


# ---- yearly limits -------------------------------------------------------------------------------


def test_the_yearly_amount_caps_the_applications() -> None:
    """At the top of the rate the year's amount allows two of mesotrione on dandelion, not three."""
    white = BASE.products["palewater-white"]
    assert white.per_year == 3
    assert per_year(white, ["creeping-bentgrass"]) == 3
    assert per_year(white, ["dandelion"]) == 2


def test_the_amount_of_an_active_is_shared_by_the_products_that_hold_it() -> None:
    """Triclopyr out of two jugs stays below what the higher label allows of it in a year."""
    products = [BASE.products["fellmark-ester"], BASE.products["tallowdene-ester"]]
    (triclopyr,) = [a for a in active_years(products, ["wild-violet"]) if a.name == "triclopyr"]
    assert set(triclopyr.per_application) == {"fellmark-ester", "tallowdene-ester"}
    assert triclopyr.cap >= 2 * max(triclopyr.per_application.values()) - 1e-9
    request = asked("wild-violet", start="2026-03-01", days=300, homeowner=False, most=6,
                    products=("fellmark-ester", "tallowdene-ester"), sooner=0.0)  # fmt: skip
    found = planner().plan(request)
    taken = sum(triclopyr.per_application[s.product.id] for s in found.steps)
    assert taken <= triclopyr.cap + 1e-9


def test_a_limit_that_is_used_up_leaves_the_product_to_the_next_year() -> None:
    """With both applications of the year made, none is planned before the first of January."""
    done = (Done(day("2026-06-05"), "reedholm-sedge", counted=True),
            Done(day("2026-06-26"), "reedholm-sedge", counted=True))  # fmt: skip
    found = plan("yellow-nutsedge", start="2026-07-20", days=400, done=done,
                 products=("reedholm-sedge",))  # fmt: skip
    assert found.steps
    assert all(step.day.year == 2027 for step in found.steps)
    short = plan("yellow-nutsedge", start="2026-07-20", days=100, done=done,
                 products=("reedholm-sedge",))  # fmt: skip
    assert short.steps == ()
    assert [b.limit for b in short.blocked] == ["yearly"]


def test_one_preventer_for_each_crop() -> None:
    """No crop gets two preventers, not even of different products."""
    found = plan("smooth-crabgrass", start="2026-02-01", days=500, most=8, sooner=0.0,
                 products=("stonecroft-preventer", "harrowgate-early"))  # fmt: skip
    served = [step.against[0].name for step in found.steps]
    assert len(served) == len(set(served))
    assert found.steps


def test_a_crop_that_has_its_preventer_gets_no_second_one() -> None:
    """A preventer put down in April covers this year's crop; what comes through is sprayed."""
    done = (Done(day("2026-04-10"), "stonecroft-preventer"),)
    found = plan("smooth-crabgrass", start="2026-04-20", days=140, done=done)
    assert not any(step.by_soil for step in found.steps)
    assert "covered" in {b.limit for b in found.blocked}
    (crop,) = found.targets
    assert crop.survivors[1] < 0.3


# ---- gaps ----------------------------------------------------------------------------------------


def test_products_of_one_group_keep_the_longer_interval() -> None:
    """Two auxins wait 28 days, an auxin and a bleacher two weeks, the same product its own."""
    ester, white = BASE.products["fellmark-ester"], BASE.products["palewater-white"]
    broadleaf = BASE.products["larkmoor-broadleaf"]
    assert gap_days(ester, broadleaf) == 28
    assert gap_days(ester, white) == 14
    assert gap_days(white, white) == 14


def test_a_weed_must_have_grown_leaf_again() -> None:
    """Canada thistle wants 56 days between sprays, whatever the label's interval is."""
    ester, thistle = BASE.products["fellmark-ester"], BASE.weeds["canada-thistle"]
    assert gap_days(ester, ester, [thistle]) == 56
    found = plan("canada-thistle", start="2026-03-01", days=500)
    days = [step.day for step in found.steps]
    assert all((b - a).days >= 56 for a, b in itertools.pairwise(days))


def test_of_a_product_nobody_knows_the_worst_is_taken() -> None:
    """After an unknown spray the next product's own interval is kept."""
    done = (Done(day("2026-09-25"), None, counted=True),)
    found = plan("ground-ivy", start="2026-09-29", done=done)
    assert found.steps[0].day >= day("2026-10-23")


# ---- the caller's days ---------------------------------------------------------------------------


def test_mowing_that_is_kept_leaves_the_days_between() -> None:
    """With Saturdays kept no step lies within the label's 48 hours of one."""
    found = plan("ground-ivy", start="2026-09-29", mow_weekdays=frozenset({5}), keep_mowing=True)
    for step in found.steps:
        near = [step.day + dt.timedelta(days=n) for n in (-1, 0, 1)]
        assert all(d.weekday() != 5 for d in near)


def test_mowing_three_times_a_week_leaves_no_day() -> None:
    """Mowing on Monday, Wednesday and Friday, kept, closes every day; the plan says so."""
    found = plan("ground-ivy", mow_weekdays=frozenset({0, 2, 4}), keep_mowing=True,
                 products=("cinderwick-total",), spot_kill=True)  # fmt: skip
    assert found.steps == ()
    assert [b.limit for b in found.blocked] == ["mowing"]


def test_mowing_and_watering_that_can_be_skipped_are_named() -> None:
    """A step names the mowing and the watering that fall into its waits, and only those."""
    found = plan("ground-ivy", start="2026-09-29", mow_weekdays=frozenset({4}),
                 water_weekdays=frozenset({0, 2, 3}))  # fmt: skip
    near = around(found.steps[0], found.request)
    assert found.steps[0].day == day("2026-10-01")
    assert near.skip_mowing == (day("2026-10-02"),)
    assert near.skip_water == (day("2026-09-30"), day("2026-10-01"))
    assert near.last_mowing == day("2026-09-29")
    assert near.next_mowing == day("2026-10-03")


def test_a_preventer_is_watered_in_and_skips_nothing() -> None:
    """A granule asks for water within the label's days and has nothing against the sprinkler."""
    found = plan("smooth-crabgrass", start="2026-12-01", days=250,
                 water_weekdays=frozenset(range(7)))  # fmt: skip
    near = around(found.steps[0], found.request)
    assert near.skip_water == ()
    assert near.last_water is None
    assert near.water_in_by == found.steps[0].day + dt.timedelta(days=7)


@pytest.mark.parametrize("sown", ["2026-09-10", "2026-10-20"])
def test_seed_is_kept_away_from_the_spray_in_both_directions(sown: str) -> None:
    """No spray within the label's wait before sowing, nor before the new grass is old enough."""
    ester = BASE.products["fellmark-ester"]
    found = plan("ground-ivy", start="2026-09-01", seeding=(day(sown),), products=(ester.id,))
    assert found.steps
    for step in found.steps:
        apart = (step.day - day(sown)).days
        assert apart >= ester.new_grass_days or -apart >= ester.seed_after_days


@pytest.mark.parametrize(
    ("limit", "more"),
    [
        ("days", {"avoid": (Days(day("2026-09-01"), day("2027-12-31")),)}),
        ("season", {"start": "2026-12-05", "days": 60}),
        (
            "interval",
            {"days": 20, "done": (Done(day("2026-08-30"), "fellmark-ester", counted=True),)},
        ),
        ("at-work", {"days": 40, "not_before": day("2027-01-01")}),
        ("seeding", {"days": 60, "seeding": (day("2026-09-03"), day("2026-10-10"))}),
    ],
)
def test_a_plan_without_a_day_says_which_limit_blocks(limit: str, more: dict[str, object]) -> None:
    """Where no day is left the first limit that leaves none is named, with the days before it."""
    if limit == "season":
        found = plan("nimblewill", products=("palewater-white",), **more)
    else:
        found = plan("ground-ivy", products=("fellmark-ester",), **more)
    assert found.steps == ()
    (blocked,) = found.blocked
    assert blocked.limit == limit
    counts = [count for _, count in blocked.left]
    assert counts == sorted(counts, reverse=True)
    assert counts[-1] == 0
    assert counts[-2] > 0


def test_a_year_too_cold_is_blamed_on_the_temperature() -> None:
    """In December a product that asks for 60 F finds no day; the weed would be there."""
    found = plan("tall-fescue-clump", start="2026-12-10", days=40, spot_kill=True)
    assert [b.limit for b in found.blocked] == ["temperature"]


# ---- which products ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("product", "why", "more"),
    [
        ("reedholm-sedge", "not-listed", {}),
        ("tallowdene-ester", "licensed", {}),
        ("cinderwick-total", "kills-grass", {}),
        ("fellmark-ester", "turf-no", {"turf": "bermudagrass"}),
        ("palewater-white", "turf-unsure", {"turf": "cool-season"}),
        ("larkmoor-broadleaf", "resistant", {"resisted": {"dandelion": THREE_WAY}}),
    ],
)  # fmt: skip
def test_a_product_that_may_not_be_used_says_why(
    product: str, why: str, more: dict[str, object]
) -> None:
    """Each product asked for and barred is given back with its reason, and is not planned."""
    found = plan("dandelion", products=(product, "larkmoor-broadleaf"), **more)
    assert why in {b.why for b in found.barred if b.product.id == product}
    assert all(step.product.id != product for step in found.steps)


def test_a_licensed_applicator_has_more_to_choose_from() -> None:
    """The licensed product is usable for a professional and for nobody else."""
    usable = {p.id for p in usable_products(asked("wild-violet", homeowner=False), BASE)[0]}
    assert "tallowdene-ester" in usable
    assert "tallowdene-ester" not in {p.id for p in usable_products(asked("wild-violet"), BASE)[0]}


def test_the_rate_is_that_of_the_weed_that_needs_most() -> None:
    """Violet asks more than dandelion; with both on the lawn the violet's rate is planned."""
    ester = BASE.products["fellmark-ester"]
    rate = rate_for(ester, ["dandelion", "wild-violet"])
    assert rate == ester.rate_for("wild-violet")


def test_groups_are_changed_where_it_costs_little() -> None:
    """Following a group by another is worth a twentieth of the survivors, and no more."""
    more = {"start": "2026-05-15", "days": 90, "products": ("oatmere-grass", "palewater-white")}
    one = [(day("2026-05-20"), "oatmere-grass"), (day("2026-06-12"), "oatmere-grass")]
    fixed = planner().worth(asked("smooth-crabgrass", rotate=False, **more), one)
    rotating = planner().worth(asked("smooth-crabgrass", **more), one)
    assert fixed - rotating == pytest.approx(0.05)
    other = [one[0], (day("2026-06-12"), "palewater-white")]
    assert planner().worth(asked("smooth-crabgrass", rotate=False, **more), other) == (
        planner().worth(asked("smooth-crabgrass", **more), other)
    )


# ---- stages and crops ----------------------------------------------------------------------------


def test_a_product_for_small_plants_is_not_planned_on_grown_ones() -> None:
    """Fenoxaprop ends with the seedhead: none on crabgrass that flowers, though mesotrione may."""
    of = planner()
    request = asked("smooth-crabgrass", start="2026-07-15", days=60)
    (target,) = of.setup(request).aims or [None]
    product = BASE.products["oatmere-grass"]
    kills = [of.killing.kill(target, product, d).expected for d in request.dates] if target else [0]
    assert max(kills) == 0


def test_an_annual_past_helping_is_left_alone() -> None:
    """In the middle of September this year's crabgrass is left to the frost, next year's is not."""
    found = plan("smooth-crabgrass", start="2026-09-15")
    assert [t.name for t in found.left_alone] == ["smooth crabgrass of 2026"]
    assert [t.name for t in found.targets] == ["smooth crabgrass of 2027"]


def test_killing_one_crop_does_nothing_to_the_next() -> None:
    """A spray on this year's crabgrass leaves next year's crop as it was."""
    found = plan("smooth-crabgrass", start="2026-06-01", days=400)
    first = found.steps[0]
    assert first.alive["smooth crabgrass of 2027"].expected == 1
    assert first.alive["smooth crabgrass of 2026"].expected < 0.3


def test_no_preventer_goes_on_frozen_ground() -> None:
    """In the north none goes down from December to February, whatever the crop."""
    for weed in ("prostrate-knotweed", "smooth-crabgrass"):
        found = plan(weed, start="2026-11-20", days=300)
        assert all(step.day.month not in {12, 1, 2} for step in found.steps)
