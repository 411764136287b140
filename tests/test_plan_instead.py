"""Plans that do little say what else can be done, what is behind, and read plainly aloud."""

from __future__ import annotations

import datetime as dt
import itertools
from typing import Any

import pytest
from example_calls import knowledge
from plan_cases import PLANNED, asked, day, whole_planner
from plan_cases import sheet as of_call

from advisor.checking.reading_grade import grade
from advisor.dose.limits import tolerates
from advisor.planning.sheet import Sheet, gather
from advisor.render.layout import Page
from advisor.render.plan_beside import beyond
from advisor.render.plan_beside import instead as texts
from advisor.render.plan_customer import plan_customer
from advisor.render.plan_page import plan_page
from advisor.render.plan_words import about


def sheet(*weeds: str, today: dt.date | None = None, **more: Any) -> Sheet:
    """A plan with every product known, and all beside it."""
    request = asked(*weeds, **more)
    of = whole_planner(request.region)
    return gather(of, of.plan(request), knowledge(), today=today)


def words(text: str) -> str:
    """A page as one line."""
    return " ".join(text.split())


# ---- what else can be done -----------------------------------------------------------------------


def test_a_list_without_a_labeled_product_names_others() -> None:
    """With a preventer alone dandelion has no step; better products, a spot spray and the spade
    are named, the licensed one as such."""
    found = sheet("dandelion", products=("stonecroft-preventer",))
    (other,) = found.instead
    assert found.steps == ()
    assert not other.sprayed
    assert other.products
    for product in other.products:
        assert product.homeowner == "yes"
        assert product.lists("dandelion") != "not-listed"
        assert tolerates(product, "tall-fescue", knowledge()) == "yes"
    assert all(product.homeowner != "yes" for product in other.licensed)
    assert [product.kind for product in other.spot] == ["non-selective"]
    said = texts(found, knowledge())
    assert other.products[0].name in said[0]
    assert said[-1].startswith("By hand: dig out dandelion")


@pytest.mark.parametrize("weed", ["quackgrass", "tall-fescue-clump", "wild-garlic", "henbit"])
def test_no_page_is_empty(weed: str) -> None:
    """Without a product that fits the page still says what can be done, to both readers."""
    found = sheet(weed, products=("kettlebrook-quinclorac",))
    assert found.steps == ()
    for page in (plan_page, plan_customer):
        said = words(page(found, knowledge(), Page(80)))
        assert "By hand:" in said
        assert "Mow at 2.5 to 4 inches" in said


def test_nobody_is_told_to_dig_creeping_roots() -> None:
    """Thistle and bindweed are pulled and cut; digging would multiply them."""
    for weed in ("canada-thistle", "field-bindweed"):
        found = sheet(weed, products=("stonecroft-preventer",))
        assert "Don't dig" in texts(found, knowledge())[-1]


def test_a_weak_plan_says_so_before_anything_else() -> None:
    """A three-way spray leaves most of the wild violet: both readers are told, and the technician
    is told what does more."""
    found = sheet("wild-violet", products=("larkmoor-broadleaf",))
    assert found.plan.alive["wild violet"].expected > 0.5
    page = words(plan_page(found, knowledge(), Page(80)))
    assert page.index("More than half of the wild violet") < page.index("AT A GLANCE")
    assert "fellmark-ester" in {p.id for p in found.instead[0].products}
    assert "Most of the wild violet will live through this." in words(
        plan_customer(found, knowledge(), Page(80))
    )


def test_a_plan_that_does_its_work_names_nothing_else() -> None:
    """Where the weed is beaten there is nothing to do instead."""
    assert sheet("dandelion").instead == ()


# ---- the day of reading --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("today", "behind"),
    [("2026-09-01", 0), ("2026-10-04", 0), ("2026-10-05", 1), ("2027-03-01", 2)],
)
def test_steps_that_are_behind_are_named(today: str, behind: int) -> None:
    """A step is behind once its last day has passed; the page then says how to plan anew."""
    found = sheet("ground-ivy", today=day(today), products=("fellmark-ester",), start="2026-09-20")
    assert [step.window.last < day(today) for step in found.plan.steps].count(True) == behind
    assert len(found.past) == behind
    page = plan_page(found, knowledge(), Page(80))
    assert ("--from " + today in page) == (behind > 0)


# ---- several weeds -------------------------------------------------------------------------------


def test_a_beaten_weed_is_sprayed_no_further() -> None:
    """For goosegrass and clover in zoysia four applications do; the third on clover is left out."""
    found = whole_planner("red-hills").plan(
        asked("goosegrass", "white-clover", region="red-hills", turf="zoysiagrass",
              start="2027-02-01")
    )  # fmt: skip
    clover = [s for s in found.steps if any(t.weed.id == "white-clover" for t in s.against)]
    assert found.beaten
    assert len(clover) == 2
    assert len(found.steps) == 4


# ---- sentences -----------------------------------------------------------------------------------


def test_windows_do_not_overlap() -> None:
    """A window that would run into the next one's ends in time for that step's day."""
    for weed in ("wild-violet", "ground-ivy", "canada-thistle"):
        for product in ("larkmoor-broadleaf", "fellmark-ester"):
            steps = sheet(weed, start="2026-11-25", products=(product,)).plan.steps
            for one, other in itertools.pairwise(steps):
                assert one.window.last < other.window.first


def test_grass_that_stands_no_high_cut_is_told_none() -> None:
    """On bermudagrass, cut at 1 to 2 inches, no sentence asks for three inches; on fescue one
    does."""
    asks = {
        turf: [t for t in beyond(sheet("yellow-nutsedge", turf=turf), knowledge()) if "at 3" in t]
        for turf in ("bermudagrass", "tall-fescue")
    }
    assert asks["bermudagrass"] == []
    assert asks["tall-fescue"]


def test_young_grass_is_named_before_a_spray() -> None:
    """Grass sown in March is to be old enough and mown three times before the spray in May."""
    found = sheet("ground-ivy", start="2026-03-01", seeding=(day("2026-03-20"),))
    page = words(plan_page(found, knowledge(), Page(80)))
    assert "Grass was sown on Fri, Mar 20: it must be 42 days old and mown three times" in page


def test_every_step_says_when_people_may_go_back() -> None:
    """The label's word on people and pets stands on each step, for both readers."""
    found = sheet("ground-ivy")
    for page in (plan_page, plan_customer):
        said = words(page(found, knowledge(), Page(80)))
        for step in found.steps:
            assert words(step.step.product.reentry) in said


@pytest.mark.parametrize(("share", "said"), [(0.004, "under 1 %"), (0.23, "about 23 %")])
def test_a_share_reads_well(share: float, said: str) -> None:
    """Nobody is told that about under 1 % is left."""
    assert about(share) == said


def test_the_customers_sentences_are_plain() -> None:
    """Every sentence of the customer's plan reads at grade 8 or below."""
    found = {k: v for k, v in knowledge().phrases.items() if k.startswith("plan-customer-")}
    assert len(found) > 25
    assert {k: grade(v) for k, v in found.items() if grade(v) > 8} == {}


@pytest.mark.parametrize(("today", "past"), [("2026-09-20", False), ("2026-11-25", True)])
def test_the_customer_is_told_that_days_are_past(today: str, past: bool) -> None:
    """A plan read out after its first window says so before the dates."""
    found = sheet("ground-ivy", today=day(today), start="2026-09-20")
    said = plan_customer(found, knowledge(), Page(80))
    assert ("Some of the days below are past." in said) is past


def test_a_window_of_one_day_has_no_last_good_day() -> None:
    """Where the best day is the only one the customer is not told of a later last day."""
    request = asked("ground-ivy", start="2026-10-01", days=1)
    of = whole_planner("lake-plain")
    found = gather(of, of.plan(request), knowledge())
    assert [len(s.step.window) for s in found.steps] == [1]
    said = words(plan_customer(found, knowledge(), Page(80)))
    assert "we find another one with you" in said
    assert "The last good day" not in said


@pytest.mark.parametrize("name", PLANNED)
def test_nothing_is_left_unfilled_for_the_customer(name: str) -> None:
    """The plan of every example call reads out without a placeholder or a Python word."""
    said = plan_customer(of_call(name), knowledge(), Page(80))
    assert not any(mark in said for mark in ("{", "}", "None"))


def test_the_customer_hears_dates_and_no_rates() -> None:
    """The customer's plan says when to leave mower and sprinkler alone, and nothing of the mix."""
    said = words(plan_customer(sheet("ground-ivy", start="2026-09-20"), knowledge(), Page(80)))
    assert "Please don't mow on these days: Sep 30 to Oct 2, 2026." in said
    assert "Please keep the sprinkler off on these days: Sep 30 to Oct 2, 2026." in said
    assert "fl oz" not in said
