"""What a call is answered: kinds, causes, shares, remedies, stops, questions, outlook.

Each test tells a small call of its own, so that what it leans on can be seen. Figures of the
knowledge base may change; what follows from them may not.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass

import pytest
import yaml

from advisor.call import parse_call
from advisor.derive.margins import following
from advisor.diagnosis import Advisor, Diagnosis, StopFinding
from advisor.model import FactDef, KnowledgeBase
from advisor.questions import Question, answers
from advisor.render.document import diagnosis_document
from advisor.terms import Options, Truth, Value
from advisor.weighed import CauseFinding
from advisor.weighing import BESIDE

KINDS = {
    "not-dead-yet": """
weed: dandelion
product: larkmoor-broadleaf
treatment: [{sprayed: 2026-10-01 10:00}]
seen: {symptoms: twisted}
""",
    "survived": """
weed: broadleaf-plantain
product: larkmoor-broadleaf
treatment: [{sprayed: 2026-08-20 10:00, amount: 0.6 fl oz, area: 1000 ft2}]
seen:
  - {on: 2026-09-01, symptoms: twisted}
  - {on: 2026-10-06, symptoms: none, where: same-spots, plants: mature}
""",
    "resprouted": """
weed: ground-ivy
product: larkmoor-broadleaf
treatment: [{sprayed: 2026-08-20 10:00}]
seen:
  - {on: 2026-09-01, symptoms: browned}
  - {on: 2026-10-06, symptoms: none, where: same-spots, plants: mature}
""",
    "new-seedlings": """
weed: common-chickweed
product: larkmoor-broadleaf
treatment: [{sprayed: 2026-03-20 10:00, amount: 0.6 fl oz, area: 1000 ft2}]
seen:
  - {on: 2026-04-20, symptoms: browned}
  - {on: 2026-10-06, plants: seedlings, where: new-spots}
""",
    "crept-in": """
weed: white-clover
site: {features: [untreated-edge]}
product: larkmoor-broadleaf
treatment: [{sprayed: 2026-05-20 10:00}]
seen:
  - {on: 2026-06-20, symptoms: browned}
  - {on: 2026-10-06, plants: mature, where: edges}
""",
    "missed": """
weed: dandelion
product: larkmoor-broadleaf
treatment: [{sprayed: 2026-08-20 10:00}]
seen: {symptoms: none, plants: mature, where: strips, others: died}
""",
    "different-plant": """
weed: creeping-speedwell
weed_treated: ground-ivy
product: fellmark-ester
treatment: [{sprayed: 2026-08-20 10:00}]
seen: {plants: mature, where: new-spots}
""",
    "never-affected": """
weed: wild-violet
product: kettlebrook-quinclorac
treatment: [{sprayed: 2026-08-20 10:00, amount: 0.37 oz, area: 1000 ft2, surfactant: none}]
seen: {symptoms: none, plants: mature, where: same-spots, others: died, left: 100 %}
""",
}
"""A small call for each kind of comeback, reported on 6 October 2026."""


@dataclass
class Desk:
    """Someone who answers calls: the advisor and the knowledge base it leans on."""

    advisor: Advisor
    base: KnowledgeBase

    def answer(self, text: str, reported: str = "2026-10-06") -> Diagnosis:
        """The answer to a call told in a few lines."""
        call = parse_call(f"reported: {reported}\n{text}", "call.yaml", self.base)
        return self.advisor.diagnose(call)


@pytest.fixture
def desk(advisor: Advisor, base: KnowledgeBase) -> Desk:
    """Someone who answers calls by the knowledge base as shipped."""
    return Desk(advisor, base)


def ids(found: Iterable[CauseFinding | StopFinding]) -> list[str]:
    """The ids of causes or stops found."""
    return [f.cause.id if isinstance(f, CauseFinding) else f.stop.id for f in found]


def share(found: Diagnosis, cause: str) -> float:
    """A cause's share; 0 where no rule of it holds or could hold."""
    return sum(found.weighing.share(f) for f in found.weighing.causes if f.cause.id == cause)


# ---- kinds -------------------------------------------------------------------------------------


def test_a_call_for_each_kind(base: KnowledgeBase) -> None:
    """The calls below lead to every kind of comeback that the knowledge base knows."""
    assert set(KINDS) == set(base.kinds)


@pytest.mark.parametrize("kind", KINDS)
def test_kind_of_comeback(desk: Desk, kind: str) -> None:
    """The call told for a kind makes it the likeliest, shown, and more likely than all others."""
    found = desk.answer(KINDS[kind])
    assert found.kind.kind.id == kind
    assert found.kind.truth is Truth.SHOWN
    assert found.kind.chance > 0.5
    assert found.kind.speaking


@pytest.mark.parametrize("kind", KINDS)
def test_kinds_share_all_chances(desk: Desk, kind: str) -> None:
    """Every kind has a chance, the likeliest stands first, and the chances add up to one."""
    chances = [k.chance for k in desk.answer(KINDS[kind]).kinds]
    assert len(chances) == len(KINDS)
    assert chances == sorted(chances, reverse=True)
    assert math.fsum(chances) == pytest.approx(1)


def test_nothing_told_leaves_every_kind_open(desk: Desk) -> None:
    """Of a call that tells nothing each kind is as likely as it is met, and none is settled."""
    found = desk.answer("")
    often = {k.id: k.how_often for k in desk.base.kinds.values()}
    for kind in found.kinds:
        assert kind.truth is Truth.OPEN
        assert kind.chance == pytest.approx(often[kind.kind.id] / sum(often.values()))


# ---- causes ------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_shares_add_up(desk: Desk, kind: str) -> None:
    """What the causes cost adds up to the control lost, and their shares add up to one."""
    weighing = desk.answer(KINDS[kind]).weighing
    assert math.fsum(f.lost for f in weighing.causes) == pytest.approx(weighing.gap, abs=1e-9)
    shares = math.fsum(weighing.share(f) for f in weighing.causes)
    assert shares == pytest.approx(1 if weighing.gap > 1e-9 else 0)


@pytest.mark.parametrize("kind", KINDS)
def test_every_cause_stands_in_one_place(desk: Desk, kind: str) -> None:
    """Each cause found is a shown mistake, a shown fact beside, open, noted, or ruled out."""
    found = desk.answer(KINDS[kind])
    places = [ids(found.shown), ids(found.beside), ids(found.open), ids(found.noted)]
    listed = [name for place in places for name in place]
    assert len(listed) == len(set(listed))
    left = {f.cause.id for f in found.weighing.causes} - set(listed)
    open_and_unfit = {
        f.cause.id
        for f in found.weighing.causes
        if f.truth is Truth.OPEN and f.explains is Truth.RULED_OUT
    }
    assert left == open_and_unfit
    assert all(f.cause.group in BESIDE for f in found.beside)
    assert all(f.cause.group not in BESIDE for f in found.shown)


def test_a_mistake_that_explains_nothing_is_noted(desk: Desk) -> None:
    """Too little product in March killed the old plants all the same: no cause of seedlings."""
    found = desk.answer(KINDS["new-seedlings"])
    assert "rate-too-low" in ids(found.noted)
    assert "rate-too-low" not in ids(found.shown) + ids(found.remedies)
    assert share(found, "rate-too-low") == 0
    assert "seed-bank" in ids(found.beside)


def test_the_same_mistake_counts_where_the_plants_lived_on(desk: Desk) -> None:
    """The same 0.6 fl oz on plants that lived on is a shown cause with a share of its own."""
    found = desk.answer(KINDS["survived"])
    assert "rate-too-low" in ids(found.shown)
    assert share(found, "rate-too-low") > 0.05


def test_noted_causes_explain_no_kind_that_is_left(desk: Desk) -> None:
    """What is noted can explain only kinds that are ruled out, and has no share."""
    for text in KINDS.values():
        found = desk.answer(text)
        left = {k.kind.id for k in found.kinds if k.truth is not Truth.RULED_OUT}
        for noted in found.noted:
            assert left.isdisjoint(noted.cause.explains)
            assert (noted.lost, noted.won) == (0, 0)


def test_more_of_a_mistake_costs_more(desk: Desk) -> None:
    """The less product went on, the lower the control and the larger the share of the rate."""
    controls, shares = [], []
    for amount in ("1.1", "0.9", "0.6", "0.3"):
        text = KINDS["survived"].replace("0.6 fl oz", f"{amount} fl oz")
        found = desk.answer(text)
        controls.append(found.weighing.done.expected)
        shares.append(share(found, "rate-too-low"))
    assert controls == sorted(controls, reverse=True)
    assert shares == sorted(shares)
    assert shares[0] == 0 < shares[1]


def test_rain_within_the_hour_costs_more_than_rain_at_night(desk: Desk) -> None:
    """An amine rained on after an hour is worse off than one rained on after five."""
    events = "events: [{watered: none}, {rained: 2026-08-%s}]"
    soon, later, never = (
        desk.answer(KINDS["survived"] + events % rain) for rain in ("20 10:30", "20 15:30", "26")
    )
    assert "washed-off" in ids(soon.shown)
    assert "washed-off" in ids(later.shown)
    assert soon.weighing.done.expected < later.weighing.done.expected
    assert "washed-off" not in {f.cause.id for f in never.weighing.causes}


# ---- too few, wrong product, none, two --------------------------------------------------------


BENTGRASS = """
weed: creeping-bentgrass
site: {region: lake-plain}
product: palewater-white
treatment: [%s]
seen:
  - {on: 2026-08-01, symptoms: bleached}
  - {on: 2026-10-06, symptoms: none, where: same-spots, plants: mature}
"""
SPRAYING = "{sprayed: 2026-%s 10:00, surfactant: label}"


def test_too_few_applications(desk: Desk) -> None:
    """Bentgrass sprayed once of three or four times: the sprayings left out cost the most."""
    found = desk.answer(BENTGRASS % (SPRAYING % "06-15"))
    assert ids(found.shown)[0] == "too-few-applications"
    assert share(found, "too-few-applications") > 0.4
    assert ids(found.remedies)[0] == "too-few-applications"
    assert found.weighing.repeats == 3
    assert (
        found.weighing.possible.expected
        > desk.base.weeds["creeping-bentgrass"].control["mesotrione"].share
    )


def test_enough_applications(desk: Desk) -> None:
    """Sprayed four times, nothing is said of too few, and control rises with each spraying."""
    days = ("06-15", "06-29", "07-13", "07-27")
    calls = [BENTGRASS % ", ".join(SPRAYING % d for d in days[:n]) for n in (1, 2, 3, 4)]
    found = [desk.answer(text) for text in calls]
    controls = [f.weighing.done.expected for f in found]
    assert controls == sorted(controls)
    assert "too-few-applications" not in ids(found[3].shown) + ids(found[3].open)


def test_a_product_that_only_suppresses(desk: Desk) -> None:
    """Violets under a mix that only suppresses them: the label has a share, and so it says."""
    text = KINDS["resprouted"].replace("ground-ivy", "wild-violet")
    found = desk.answer(text)
    assert "label-suppression-only" in ids(found.shown)
    assert share(found, "label-suppression-only") > 0.05
    assert found.outlook.level == "suppression"
    better = desk.answer(text.replace("larkmoor-broadleaf", "fellmark-ester"))
    assert "label-suppression-only" not in {f.cause.id for f in better.weighing.causes}
    assert better.weighing.done.expected > found.weighing.done.expected


def test_a_product_that_does_not_list_the_weed(desk: Desk) -> None:
    """A label that does not list the weed is a cause, and leaves little to hope for."""
    found = desk.answer(KINDS["never-affected"])
    assert "not-on-label" in ids(found.shown)
    assert share(found, "not-on-label") > 0.1
    assert found.outlook.level == "unlikely"


def test_the_product_gap_is_shared_by_those_who_blame_the_product(desk: Desk) -> None:
    """Wrong weed and a label that does not list it blame one gap: they take it in equal parts."""
    found = desk.answer(
        KINDS["never-affected"].replace(
            "weed: wild-violet", "weed: wild-violet\nweed_treated: white-clover"
        )
    )
    blamed = {
        f.cause.id: f.lost for f in found.shown if f.cause.id in ("not-on-label", "wrong-weed")
    }
    assert len(blamed) == 2
    assert blamed["not-on-label"] == pytest.approx(blamed["wrong-weed"])


def test_a_call_without_any_treatment(desk: Desk) -> None:
    """A call that tells of no treatment gets an answer: all open, nothing shown, a day to look."""
    found = desk.answer("weed: wild-violet\nproduct: fellmark-ester\n")
    assert ids(found.shown) == ids(found.noted) == []
    assert found.open
    assert len(found.facts.of_applications) == 1
    assert found.questions
    assert found.look.first > found.call.reported
    assert found.look.not_before is None


def test_a_weed_nobody_named(desk: Desk) -> None:
    """Where no weed is named, naming it comes before all else, and no outlook is given."""
    text = KINDS["never-affected"].replace("weed: wild-violet\n", "").replace("kettlebrook-", "")
    found = desk.answer(text.replace("product: quinclorac", "product: kettlebrook-quinclorac"))
    assert found.stops[0].stop.id == "identify-first"
    assert found.stops[0].truth is Truth.SHOWN
    assert found.outlook.level == "open"
    assert found.outlook.limits == ()


def test_a_preventer_that_failed(desk: Desk) -> None:
    """Granules put down in late May and watered in a month later: late, and dry too long."""
    found = desk.answer(
        """
weed: smooth-crabgrass
site: {region: lake-plain}
product: stonecroft-preventer
treatment: [{sprayed: 2026-05-20 10:00, amount: 7 lb, area: 2000 ft2}]
events: [{rained: none}, {watered: 2026-06-20, amount: 0.5 in}]
seen: {on: 2026-07-01, plants: seedlings}
""",
        reported="2026-07-01",
    )
    assert found.kind.kind.id == "new-seedlings"
    assert {"preventer-late", "preventer-not-watered-in"} <= set(ids(found.shown))
    assert "rate-too-low" not in {f.cause.id for f in found.weighing.causes}
    assert {"washed-off", "coverage-thin", "too-cold", "mown-before"}.isdisjoint(
        f.cause.id for f in found.weighing.causes
    )


def test_half_a_dose_of_a_preventer_explains_seedlings(desk: Desk) -> None:
    """For a preventer seedlings are what survived it, so a thin rate explains them."""
    granules = desk.answer(
        """
weed: smooth-crabgrass
site: {region: lake-plain}
product: stonecroft-preventer
treatment: [{sprayed: 2026-04-05 10:00, amount: 1 lb, area: 1000 ft2}]
events: [{rained: none}, {watered: 2026-04-06, amount: 0.5 in}]
seen: {on: 2026-06-10, plants: seedlings}
""",
        reported="2026-06-10",
    )
    assert granules.kind.kind.id == "new-seedlings"
    assert "rate-too-low" in ids(granules.shown)
    assert share(granules, "rate-too-low") > 0.1


def test_two_products(desk: Desk) -> None:
    """Each of two sprayings is weighed by its own label, and its causes say which it was."""
    found = desk.answer(
        """
weed: ground-ivy
product: larkmoor-broadleaf
treatment:
  - {sprayed: 2026-05-20 10:00, product: kettlebrook-quinclorac, amount: 0.37 oz, area: 1000 ft2}
  - {sprayed: 2026-08-10 10:00, amount: 0.5 fl oz, area: 1000 ft2}
seen:
  - {on: 2026-09-01, symptoms: browned}
  - {on: 2026-10-06, symptoms: none, where: same-spots, plants: mature}
"""
    )
    causes = {f.cause.id: f for f in found.weighing.causes}
    assert {f.application for f in causes["not-on-label"].findings} == {0}
    assert {f.application for f in causes["label-suppression-only"].findings} == {1}
    shown = [f for f in causes["rate-too-low"].findings if f.truth is Truth.SHOWN]
    assert {f.application for f in shown} == {1}


# ---- remedies, stops, look ---------------------------------------------------------------------


MISTAKES = """
weed: broadleaf-plantain
site: {region: lake-plain}
product: larkmoor-broadleaf
treatment:
  - sprayed: 2026-08-20 10:00
    amount: 0.5 fl oz
    water: 1 gal
    area: 1000 ft2
    coverage: thin
    water_hardness: 500 ppm
    mix_order: product-first
events: [{watered: none}, {rained: 2026-08-20 11:00}]
seen:
  - {on: 2026-09-01, symptoms: twisted}
  - {on: 2026-10-06, symptoms: none, where: same-spots, plants: mature}
"""


def test_remedies_are_ranked_by_what_they_win(desk: Desk) -> None:
    """What to change first is what wins back the most; each wins something, none wins it all."""
    found = desk.answer(MISTAKES)
    mistakes = {"washed-off", "rate-too-low", "coverage-thin", "hard-water", "mixed-wrong"}
    assert mistakes <= set(ids(found.remedies))
    won = [f.won for f in found.remedies]
    assert won == sorted(won, reverse=True)
    assert all(f.won > 0 for f in found.remedies if f.cause.id in mistakes)
    assert max(won) < found.weighing.gap


@pytest.mark.parametrize(
    ("cause", "wrong", "right"),
    [
        ("washed-off", "rained: 2026-08-20 11:00", "rained: 2026-08-29 11:00"),
        ("rate-too-low", "amount: 0.5 fl oz", "amount: 1.3 fl oz"),
        ("coverage-thin", "coverage: thin", "coverage: leaves-wet"),
        ("hard-water", "water_hardness: 500 ppm", "water_hardness: 50 ppm"),
        ("mixed-wrong", "mix_order: product-first", "mix_order: half-water-first"),
    ],
)
def test_what_a_remedy_wins_is_what_the_better_call_has(
    desk: Desk, cause: str, wrong: str, right: str
) -> None:
    """The same call with one mistake put right has the control that the remedy was said to win."""
    assert wrong in MISTAKES
    found, better = desk.answer(MISTAKES), desk.answer(MISTAKES.replace(wrong, right))
    remedy = next(f for f in found.remedies if f.cause.id == cause)
    assert cause not in {f.cause.id for f in better.shown}
    won = better.weighing.done.expected - found.weighing.done.expected
    assert won == pytest.approx(remedy.won, rel=0.1)


def test_stops_come_shown_before_open(desk: Desk) -> None:
    """Stops that are shown stand before those to be checked, with the weed's name first."""
    for text in KINDS.values():
        stops = desk.answer(text).stops
        shown = [s.truth is Truth.SHOWN for s in stops]
        assert shown == sorted(shown, reverse=True)
        for stop in stops:
            assert all(f.truth is stop.truth for f in stop.findings)


def test_the_labels_interval_stops_the_next_spraying(desk: Desk) -> None:
    """Five days after a spraying the interval of 28 days is a stop; sixty days after it is none."""
    soon = desk.answer(KINDS["not-dead-yet"])
    assert "label-interval" in ids(s for s in soon.stops if s.truth is Truth.SHOWN)
    assert soon.look.not_before == dt.date(2026, 10, 29)
    later = desk.answer(KINDS["not-dead-yet"], reported="2026-11-30")
    assert "label-interval" not in ids(later.stops)


def test_the_yearly_limit_stops_at_its_count(desk: Desk) -> None:
    """Two sprayings in the calendar year of the call use up a label of two; one does not."""
    two = "product: larkmoor-broadleaf\ntreatment: [{sprayed: 2026-04-01}, {sprayed: %s}]"
    used = desk.answer(two % "2026-08-01")
    assert "label-yearly-limit" in ids(s for s in used.stops if s.truth is Truth.SHOWN)
    over = desk.answer(two.replace("2026-04", "2025-04") % "2025-08-01")
    assert "label-yearly-limit" not in ids(over.stops)


def test_wait_while_it_is_not_dead_yet(desk: Desk) -> None:
    """What was judged too soon is looked at again when the product has had its time."""
    look = desk.answer(KINDS["not-dead-yet"]).look
    assert look.waits
    assert (look.first, look.last) == (dt.date(2026, 10, 15), dt.date(2026, 10, 29))


def test_the_share_seen_alive_is_kept(desk: Desk) -> None:
    """What the caller still sees alive is kept beside the model's figure; untold it is none."""
    told = desk.answer(KINDS["never-affected"]).seen_alive
    assert told is not None
    assert (told.low, told.expected, told.high) == (1, 1, 1)
    assert desk.answer(KINDS["survived"]).seen_alive is None


def test_contradictions_are_reported(desk: Desk) -> None:
    """An answer that the events contradict is in the answer and in the document, with both."""
    text = KINDS["survived"].replace("area: 1000 ft2", "answers: {dry_hours_before: 48 h}")
    found = desk.answer(text + "events: [{rained: none}, {watered: 2026-08-20 06:00}]")
    assert [(c.fact, c.application) for c in found.conflicts] == [("dry_hours_before", 0)]
    (told,) = diagnosis_document(found, desk.base)["conflicts"]
    assert (told["fact"], told["application"]) == ("dry_hours_before", 1)
    assert "48 h" in told["kept"]
    assert "watered 2026-08-20 06:00" in told["other"]


def test_a_site_that_keeps_the_weed(desk: Desk) -> None:
    """On a site where the weed cannot be beaten the outlook says so, and why."""
    limits = desk.base.weeds["ground-ivy"].sites
    feature = next(s for s in limits if s.feature == "shade")
    text = KINDS["resprouted"] + "site: {features: [shade]}\n"
    found = desk.answer(text.replace("larkmoor-broadleaf", "fellmark-ester"))
    assert found.outlook.level == feature.outlook
    assert feature.because in found.outlook.reasons


# ---- questions ---------------------------------------------------------------------------------


UNITS = {"share": "share", "ratio": "x", "count": ""}
BY_AMOUNTS = "rate_of_min"
"""Asked for by the amounts that make it, and what it costs varies within any one answer."""


def said(fact: FactDef, value: Value) -> str:
    """An answer in words; a span that ends just below a bound is said to end a hair below it."""
    if isinstance(value, Options):
        (option,) = value.possible
        return option
    high = value.high - 1e-9 if value.high - value.low > 1e-6 else value.high
    return f"{value.low:.10f} to {high:.10f} {UNITS.get(fact.unit, fact.unit)}".strip()


def answered(text: str, question: Question, answer: str) -> str:
    """The call with the answer to a question put where it belongs."""
    told = yaml.load(text, yaml.BaseLoader) or {}
    if question.application is None:
        told.setdefault("answers", {})[question.fact] = answer
    else:
        entry = told["treatment"][question.application]
        entry.setdefault("answers", {})[question.fact] = answer
    return str(yaml.safe_dump(told, sort_keys=False))


def possible_answers(
    base: KnowledgeBase, found: Diagnosis, question: Question
) -> list[tuple[Value, float]]:
    """Every answer that any rule could tell from another one, each with its chance."""
    fact = base.facts[question.fact]
    links = {f.fact: f for f in following(fact.id, found.label)}
    cuts: set[float] = set()
    for rule in base.rules():
        for condition in (c for clause in rule.clauses for c in clause.conditions):
            for bound in (condition.low, condition.high):
                if bound is not None and condition.fact == fact.id:
                    cuts.add(bound)
                elif bound is not None and condition.fact in links:
                    cuts.update(links[condition.fact].back(bound))
    start = found.values[question.application or 0][fact.id]
    return list(answers(fact, start, sorted(cuts)))


def moved(before: Diagnosis, after: Diagnosis) -> float:
    """Half the sum of what all shares move by."""
    one, other = (
        {f.cause.id: d.weighing.share(f) for f in d.weighing.causes if f.lost > 0}
        for d in (before, after)
    )
    return math.fsum(abs(one.get(n, 0) - other.get(n, 0)) for n in {*one, *other}) / 2


@pytest.mark.parametrize("kind", KINDS)
def test_an_answer_moves_the_shares_as_foreseen(desk: Desk, kind: str) -> None:
    """Answering a top question in every way it can be answered moves the shares, on average by
    what the question was said to be worth.
    """
    found = desk.answer(KINDS[kind])
    worth = [q for q in found.questions[:3] if q.value > 0]
    assert worth
    for question in worth:
        moves = []
        expected = 0.0
        for value, chance in possible_answers(desk.base, found, question):
            words = said(desk.base.facts[question.fact], value)
            after = desk.answer(answered(KINDS[kind], question, words))
            moves.append(moved(found, after))
            expected += chance * moves[-1]
        assert max(moves) > 0
        if question.fact == BY_AMOUNTS:
            assert min(moves) <= question.value <= max(moves)
        else:
            assert question.value == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize("kind", KINDS)
def test_questions_are_ranked_by_what_they_are_worth(desk: Desk, kind: str) -> None:
    """The question that would move the shares most stands first; each is asked once."""
    questions = desk.answer(KINDS[kind]).questions
    assert [q.value for q in questions] == sorted((q.value for q in questions), reverse=True)
    asked = [(q.ask, q.application) for q in questions]
    assert len(asked) == len(set(asked))
    assert all(q.settles for q in questions)


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_certain_is_never_asked(desk: Desk, kind: str) -> None:
    """No question is about a fact that is exactly known or of which all has been told."""
    found = desk.answer(KINDS[kind])
    for question in found.questions:
        fact = found.facts.at(question.application or 0)[question.fact]
        assert not fact.origin.firm
        if isinstance(fact.value, Options):
            assert len(fact.value.possible) > 1
        else:
            assert fact.value.low < fact.value.high


@pytest.mark.parametrize("kind", KINDS)
def test_a_question_belongs_where_its_fact_does(desk: Desk, kind: str) -> None:
    """A question on a fact of an application names one of them, one on the call names none."""
    found = desk.answer(KINDS[kind])
    for question in found.questions:
        if desk.base.facts[question.fact].scope == "application":
            assert question.application in range(len(found.facts.of_applications))
        else:
            assert question.application is None


def test_who_told_the_day_is_not_asked_for_it(desk: Desk) -> None:
    """A caller who told when it was sprayed and seen is asked neither day again."""
    text = KINDS["survived"].replace("product: larkmoor-broadleaf\n", "")
    asked = {q.fact for q in desk.answer(text).questions}
    assert {"days_watched", "judge_margin", "season_fit", "germination_lateness"}.isdisjoint(asked)
    vague = text.replace("sprayed: 2026-08-20 10:00", "sprayed: unknown")
    assert "season_fit" in {q.fact for q in desk.answer(vague).questions}


def test_an_answered_question_is_not_asked_again(desk: Desk) -> None:
    """Once the top question is answered exactly, it is no longer asked."""
    for kind, text in KINDS.items():
        found = desk.answer(text)
        choices = [q for q in found.questions if not desk.base.facts[q.fact].is_number]
        question = choices[0]
        value, _ = possible_answers(desk.base, found, question)[0]
        words = said(desk.base.facts[question.fact], value)
        after = desk.answer(answered(text, question, words))
        again = {(q.fact, q.application) for q in after.questions}
        assert (question.fact, question.application) not in again, kind


def test_a_fact_of_an_application_that_only_kinds_read(desk: Desk) -> None:
    """What the kinds hang on at an application is asked about the last one, which they read."""
    found = desk.answer(
        "weed: smooth-crabgrass\ntreatment: [{sprayed: 2026-04-01}, {sprayed: 2026-05-01}]\n"
        "seen: {on: 2026-07-01, plants: seedlings}"
    )
    through = [q for q in found.questions if q.fact == "acts_through"]
    assert {q.application for q in through} <= {0, 1}
    assert 1 in {q.application for q in through}


# ---- the same call, the same answer ------------------------------------------------------------


def test_the_same_call_again(desk: Desk) -> None:
    """The same call gets the same document again, from this advisor and from a new one."""
    text = KINDS["survived"]
    first = diagnosis_document(desk.answer(text), desk.base)
    assert diagnosis_document(desk.answer(text), desk.base) == first
    again = Desk(Advisor(desk.base), desk.base)
    assert diagnosis_document(again.answer(text), desk.base) == first
