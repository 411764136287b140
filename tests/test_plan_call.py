"""From a diagnosed call to a plan: what is taken over, what is refused, what waits.

The example calls are planned; calls with one thing changed show what that thing does.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from example_calls import PATHS, advisor, call, diagnosis, knowledge
from plan_cases import PLANNED, REFUSED, sheet, whole_planner

from advisor.call import parse_call
from advisor.diagnosis import Diagnosis
from advisor.planning.from_call import Refused, alive_of, request_from
from advisor.planning.plan import Plan
from advisor.planning.request import Request
from advisor.terms import Truth

BASE = knowledge()
NO_REGION = "violet-it-came-back"

PLAIN = """
call: T-1
reported: 2026-10-06
site: {region: lake-plain, turf: tall-fescue}
weed: ground-ivy
product: fellmark-ester
treatment:
  - {sprayed: 2026-09-13 10:00, amount: 0.7 fl oz, water: 1 gal, area: 1000 ft2}
"""


def asked(text: str) -> Request:
    """The request that a call makes."""
    found = answered(text)
    request = request_from(found, BASE)
    assert isinstance(request, Request)
    return request


def answered(text: str) -> Diagnosis:
    """The diagnosis of a call."""
    return advisor("auto").diagnose(parse_call(text, "call.yaml", BASE))


def planned(request: Request) -> Plan:
    """The plan for a request."""
    return whole_planner(request.region).plan(request)


@pytest.mark.parametrize("name", PLANNED)
def test_every_example_call_is_planned(name: str) -> None:
    """Weed, region, turf, features, start and treatments come from the call."""
    told = call(name)
    request = sheet(name).plan.request
    assert request.weeds == (told.weed or told.weed_treated,)
    assert request.turf == told.turf
    assert request.features == told.features
    assert request.start == told.reported
    assert len(request.done) == len(told.applications)
    assert request.reference == told.reference
    assert all(done.counted for done in request.done)


@pytest.mark.parametrize("name", PLANNED)
def test_a_plan_for_a_call_keeps_its_stops(name: str) -> None:
    """No step before the label's interval has run out or the last spraying can be judged."""
    found, plan = diagnosis(name), sheet(name).plan
    for step in plan.steps:
        assert step.day >= found.call.reported
        if plan.request.not_before is not None:
            assert step.day >= plan.request.not_before
        for done in plan.request.done:
            if done.product == step.product.id:
                assert (step.day - done.date).days >= step.product.interval_days


@pytest.mark.parametrize("name", [*REFUSED, NO_REGION])
def test_no_plan_before_the_weed_and_the_place_are_named(name: str) -> None:
    """A call whose weed is in doubt, or whose region is not told, gets a reason and no plan."""
    found = request_from(diagnosis(name), BASE)
    assert isinstance(found, Refused)
    assert found.why == ("no-region" if name == NO_REGION else "identify-first")
    assert (found.stop is not None) == (found.why == "identify-first")


def test_every_weed_in_doubt_is_refused_and_no_other() -> None:
    """Refused are the calls on which naming the weed first is shown, and only those."""
    shown = {
        name: {s.stop.id for s in diagnosis(name).stops if s.truth is Truth.SHOWN} for name in PATHS
    }
    doubtful = [name for name in PATHS if "identify-first" in shown[name]]
    assert doubtful == REFUSED
    assert "what-is-it" in doubtful


def test_a_region_can_be_given_beside_the_call() -> None:
    """A call without a region is planned where somebody says where it is."""
    found = request_from(diagnosis("violet-it-came-back"), BASE, "red-hills")
    assert isinstance(found, Request)
    assert found.region == "red-hills"


def test_naming_the_weed_outranks_everything() -> None:
    """Where the weed is in doubt the answer is to name it, also with a region given."""
    found = request_from(diagnosis("what-is-it"), BASE, "lake-plain")
    assert isinstance(found, Refused)
    assert found.why == "identify-first"


# ---- how much is alive ---------------------------------------------------------------------------


def test_what_is_seen_comes_before_what_is_reckoned() -> None:
    """A share told is taken as told."""
    request = asked(PLAIN + "seen: [{on: 2026-10-06, left: 50 %}]\n")
    assert request.alive["ground-ivy"] == (0.5, 0.5, 0.5)


def test_without_a_look_the_sprayings_are_reckoned() -> None:
    """Alive is what the control of the sprayings leaves: low of the one is high of the other."""
    found = answered(PLAIN)
    done = found.weighing.done
    assert alive_of(found) == (1 - done.high, 1 - done.expected, 1 - done.low)


def test_a_diagnosis_that_lowers_control_leaves_more_alive() -> None:
    """Rain an hour after the spraying leaves more alive than a dry day, and no fewer sprays."""
    dry = asked(PLAIN + "events: [{rained: 2026-09-20, amount: 0.5 in}]\n")
    wet = asked(PLAIN + "events: [{rained: 2026-09-13 11:00, amount: 0.5 in}]\n")
    assert wet.alive["ground-ivy"][1] > dry.alive["ground-ivy"][1]
    assert len(planned(wet).steps) >= len(planned(dry).steps)


def test_while_a_spray_works_what_is_seen_says_nothing() -> None:
    """Five days after a spraying all dandelions stand; the plan waits and reckons all the same."""
    found = diagnosis("dandelion-five-days")
    request = sheet("dandelion-five-days").plan.request
    assert found.look.waits
    assert request.not_before == found.look.last
    assert request.alive["dandelion"][1] < 0.9
    assert all(step.day >= found.look.last for step in sheet("dandelion-five-days").plan.steps)


def test_seedlings_never_had_the_spray() -> None:
    """Where new seedlings came up all that stands there is alive."""
    assert diagnosis("crabgrass-preventer-late").kind.kind.id == "new-seedlings"
    assert sheet("crabgrass-preventer-late").plan.request.alive["smooth-crabgrass"][1] == 1.0


# ---- labels and products -------------------------------------------------------------------------


def test_a_label_read_out_overrides_the_one_on_file() -> None:
    """An interval of 42 days read out over the phone is kept, not the 28 on file."""
    request = asked(PLAIN + "label: {interval: 42 days, per_year: 1}\n")
    label = request.labels["fellmark-ester"]
    assert (label.interval_days, label.per_year) == (42, 1)
    found = planned(replace(request, products=("fellmark-ester",), days=550))
    assert found.steps
    assert all(step.day >= dt.date(2027, 1, 1) for step in found.steps)


def test_the_product_at_hand_is_kept_where_it_does_the_job() -> None:
    """Half a dandelion lawn is finished with the broadleaf spray in the garage."""
    plan = sheet("plantain-half-rate").plan
    assert plan.request.at_hand == ("larkmoor-broadleaf",)
    assert {step.product.id for step in plan.steps} == {"larkmoor-broadleaf"}


def test_a_product_that_cannot_do_it_is_changed_and_compared() -> None:
    """Ground ivy under a three-way spray gets triclopyr; the old one's plan is kept beside."""
    plan = sheet("ground-ivy-watered").plan
    assert {step.product.id for step in plan.steps} == {"fellmark-ester"}
    assert plan.own is not None
    assert len(plan.own.steps) >= len(plan.steps)


def test_actives_that_the_plants_stand_are_not_planned_again() -> None:
    """On a stand that 2,4-D no longer marks, what remains of the three-way counts for little."""
    shown = {c.cause.id for c in diagnosis("buckhorn-not-a-mark").shown}
    assert "resistant-biotype" in shown
    plan = sheet("buckhorn-not-a-mark").plan
    assert "2,4-D" in plan.request.resisted["buckhorn-plantain"]
    assert all("2,4-D" not in {a.name for a in s.product.actives} for s in plan.steps)


def test_whoever_used_a_total_killer_may_be_planned_one() -> None:
    """Quackgrass sprayed with glyphosate is planned with it again, on spots."""
    plan = sheet("quackgrass-tilled").plan
    assert plan.request.spot_kill
    assert {step.product.kind for step in plan.steps} == {"non-selective"}


def test_seed_sown_lately_is_taken_over() -> None:
    """Sowing told among the events keeps the sprays away; sowing years ago does not."""
    assert sheet("quackgrass-tilled").plan.request.seeding == (dt.date(2026, 5, 29),)
    old = asked(PLAIN + "events: [{seeded: 2025-04-01}]\n")
    assert old.seeding == ()


def test_a_spraying_of_which_nobody_knows_the_day_counts_as_late() -> None:
    """Without a day it counts as made on the day of the call, so that the interval is kept."""
    text = PLAIN.replace("sprayed: 2026-09-13 10:00, ", "")
    assert [done.date for done in asked(text).done] == [dt.date(2026, 10, 6)]


def test_without_a_treatment_everything_is_alive() -> None:
    """A call before any spray plans against the whole weed."""
    text = PLAIN[: PLAIN.index("treatment:")]
    request = asked(text)
    assert request.done == ()
    assert request.alive["ground-ivy"] == (1.0, 1.0, 1.0)


def test_stops_of_the_call_are_on_the_sheet() -> None:
    """What the call shows must not be done now stands on the sheet of its plan."""
    for name in PLANNED:
        shown = {s.stop.id for s in diagnosis(name).stops if s.truth is Truth.SHOWN}
        assert {s.stop.id for s in sheet(name).stops} == shown
