"""What a diagnosis says: which wordings fit, which days and products it names, what a change wins.

Small calls of their own and all example calls; the words as a whole are held by the golden files.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from itertools import product as pairs

import pytest
from example_calls import PATHS, ROOT, advisor, diagnosis, knowledge

from advisor.call import parse_call
from advisor.control import Base
from advisor.derive.fitting import fitting_products
from advisor.diagnosis import Diagnosis
from advisor.dose.limits import tolerates
from advisor.expect import Expectations
from advisor.languages import translated
from advisor.model import Cause, Stop
from advisor.render import say
from advisor.render.customer import customer_page
from advisor.render.layout import WIDEST, Page
from advisor.render.technician import technician_page
from advisor.render.why import why_page
from advisor.terms import Options, Span, Truth
from advisor.windows import Case, best_season, preventer_window, sow_window, words
from advisor.wordings import fitting, told_customer

BASE = knowledge()
CALLS = pytest.mark.parametrize("name", PATHS)
GRANULES = [n for n in PATHS if diagnosis(n).label.product and "granule" in str(
    diagnosis(n).values[-1]["formulation"])]  # fmt: skip
MONTH = re.compile(
    r"\b(January|February|March|April|May|June|July|August|September|October|November|December)\b"
)


def answer(text: str, reported: str = "2026-10-06") -> Diagnosis:
    """The answer to a call told in a few lines."""
    return advisor("auto").diagnose(parse_call(f"reported: {reported}\n{text}", "call.yaml", BASE))


def customer(found: Diagnosis) -> str:
    """The customer's page on one line."""
    return " ".join(customer_page(found, BASE, Page(WIDEST)).split())


def technician(found: Diagnosis) -> str:
    """The technician's page on one line."""
    return " ".join(technician_page(found, BASE, Page(WIDEST)).split())


# ---- which remedies fit --------------------------------------------------------------------------

STAGED = """
weed: {weed}
product: larkmoor-broadleaf
treatment: [{{sprayed: 2026-05-20 10:00, stage: {stage}}}]
seen: {{symptoms: twisted, where: same-spots, plants: mature}}
"""


@pytest.mark.parametrize(
    ("weed", "stage", "said", "not_said"),
    [
        ("dandelion", "flowering", "fresh leaves and no flowers", "while it is small"),
        ("henbit", "seeding", "while it is small", "fresh leaves and no flowers"),
    ],
)
def test_a_past_stage_has_the_remedy_of_the_plant(
    weed: str, stage: str, said: str, not_said: str
) -> None:
    """A perennial is to be sprayed on fresh leaves, an annual while small; not the other way."""
    found = answer(STAGED.format(weed=weed, stage=stage))
    remedies = " ".join(r.customer for c in found.changes for r in c.remedies)
    assert said in remedies
    assert not_said not in remedies


@pytest.mark.parametrize("cause", BASE.causes.values(), ids=lambda c: c.id)
def test_some_remedy_fits_every_weed(cause: Cause) -> None:
    """Whatever the weed and the other causes are, a cause keeps a remedy that is meant for it."""
    unknown = {name: fact.unknown for name, fact in BASE.facts.items()}
    for cycle in BASE.facts["life_cycle"].options:
        for fits in ("yes", "no"):
            values = unknown | {
                "life_cycle": Options.of(cycle),
                "product_for_it": Options.of(fits),
            }
            assert fitting(cause, values)
            assert all(r in cause.remedies for r in fitting(cause, values))


# ---- what one change wins ------------------------------------------------------------------------


def test_one_change_of_product_mends_all_that_blame_the_product() -> None:
    """A label without the weed and an active that does nothing are one change with one gain.

    The gain is the control without both, less the control as done; it is more than either alone.
    """
    found = diagnosis("goosegrass-jug-read-out")
    change = next(c for c in found.changes if len(c.causes) > 1)
    assert {c.cause.id for c in change.causes} == {"not-on-label", "wrong-weed"}
    assert len({c.won for c in change.causes}) == 1
    done, possible = found.weighing.done.expected, found.weighing.possible.expected
    assert change.won > 0.3
    assert done + change.won < possible
    page = technician(found)
    assert f"[with this change {say.percent(done + change.won)}]" in page


def test_causes_of_one_change_share_one_gain() -> None:
    """A dry day after spraying mends what is washed off and what is wet again: one gain."""
    found = answer(
        """
weed: dandelion
product: larkmoor-broadleaf
treatment: [{sprayed: 2026-09-01 10:00}]
seen: {symptoms: twisted, where: same-spots, plants: mature}
"""
    )
    together = [c.id for c in BASE.causes.values() if c.change == "dry-day-after"]
    assert together == ["washed-off", "wet-after"]
    won = {c.cause.id: c.won for c in found.weighing.causes if c.cause.id in together}
    lost = {c.cause.id: c.lost for c in found.weighing.causes if c.cause.id in together}
    assert len(won) == 2
    assert len(set(won.values())) == 1
    assert lost["washed-off"] != lost["wet-after"]


def test_changes_hold_every_remedy_once() -> None:
    """The changes of a call hold all its shown causes, each once, by the control won back."""
    for name in PATHS:
        found = diagnosis(name)
        mended = [c.cause.id for change in found.changes for c in change.causes]
        assert sorted(mended) == sorted(c.cause.id for c in found.remedies)
        won = [change.won for change in found.changes]
        assert won == sorted(won, reverse=True)


# ---- products that fit ---------------------------------------------------------------------------


def test_what_the_turf_does_not_stand_is_never_the_best() -> None:
    """No product that injures a turf is named for it, and none is what can be expected there."""
    expect = Expectations(BASE)
    for weed, turf in pairs(BASE.weeds.values(), BASE.turf):
        fits = fitting_products(BASE, weed, turf)
        assert [p.id for p in fits if tolerates(p, turf, BASE) == "no"] == []
        if fits:
            shares = [expect.of(weed.id, p.id, ()).share for p in fits]
            assert expect.best(weed.id, turf).share == max(shares) == shares[0]


def test_a_turf_can_lower_what_can_be_expected() -> None:
    """Triclopyr does most to ground ivy, and bermudagrass does not stand it: less is the best."""
    expect = Expectations(BASE)
    on_fescue = expect.best("ground-ivy", "tall-fescue")
    on_bermuda = expect.best("ground-ivy", "bermudagrass")
    assert on_fescue == expect.best("ground-ivy")
    assert isinstance(on_bermuda, Base)
    names = {p.id for p in fitting_products(BASE, BASE.weeds["ground-ivy"], "bermudagrass")}
    assert "fellmark-ester" not in names


@CALLS
def test_no_page_recommends_what_hurts_the_turf(name: str) -> None:
    """A product other than the one that was used stands on a page only if the turf stands it."""
    found = diagnosis(name)
    turf = found.call.turf
    used = {a.product for a in found.call.applications} | {found.call.product}
    partners = {p for a in found.call.applications for p in a.in_tank or ()}
    for one in BASE.products.values():
        if turf and one.id not in used | partners and tolerates(one, turf, BASE) == "no":
            assert one.name not in customer(found)
            assert one.name not in technician(found)


def test_a_preventer_is_not_named_for_plants_that_stand() -> None:
    """What is named in place of a leaf spray is never a preventer."""
    for weed in BASE.weeds.values():
        assert [p.id for p in fitting_products(BASE, weed, None) if p.kind == "pre-emergent"] == []


# ---- seedlings and preventers --------------------------------------------------------------------


@pytest.mark.parametrize("name", ["crabgrass-preventer-late", "crabgrass-preventer-worn-out"])
def test_nobody_hears_that_a_preventer_killed_the_weeds(name: str) -> None:
    """Where a preventer was put down, no page says that the treated plants died."""
    found = diagnosis(name)
    assert "did die" not in customer(found)
    assert "The treated plants died" not in technician(found)
    assert "The preventer did not stop all of the seed." in customer(found)


def test_seedlings_are_told_apart_from_survivors() -> None:
    """Seedlings after a spray: the old ones died, seed came up, and a preventer has its days."""
    page = customer(diagnosis("chickweed-next-fall"))
    assert "The weeds you sprayed did die. These are new ones from seed." in page
    assert "It does nothing to seed in the soil" in page
    window = preventer_window(diagnosis("chickweed-next-fall").case(BASE))
    assert window is not None
    first, last = (BASE.speech.day(d.month, d.day) for d in window)
    assert f"put down a preventer before the next seed comes up: {first} to {last}." in page
    assert "good treatments" not in page


# ---- granules ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", GRANULES)
def test_granules_have_no_tank(name: str) -> None:
    """Of granules nobody asks how a tank was filled, what else was in it, or how old a jug is."""
    found = diagnosis(name)
    asked = {q.fact for q in found.questions}
    assert not asked & {"mix_order", "tank_conflict", "product_age", "stored"}
    open_causes = {c.cause.id for c in found.open}
    assert not open_causes & {"mixed-wrong", "tank-partner-conflict", "product-degraded"}
    assert found.facts.at(0)["mix_order"].origin.how == "label"


# ---- stops ---------------------------------------------------------------------------------------

WAY_OUT = re.compile(r"\b(Wait|Ask|ask us|Bring|Have|Turn|Stay|Dig|Put it away)\b")


@pytest.mark.parametrize("stop", BASE.stops.values(), ids=lambda s: s.id)
def test_every_stop_has_a_way_out(stop: Stop) -> None:
    """Whatever must not be done, the customer hears what to do instead, in every wording."""
    for text in (stop.customer, *(one.customer for one in stop.instead)):
        assert WAY_OUT.search(text), text
        assert len(re.findall(r"[.!?](?:\s|$)", text)) > 1
    spanish = translated(BASE, "es").stops[stop.id]
    assert len(spanish.instead) == len(stop.instead)
    for text in (spanish.customer, *(one.customer for one in spanish.instead)):
        assert len(re.findall(r"[.!?](?:\s|$)", text)) > 1


def test_a_turf_that_is_hurt_is_offered_another_product() -> None:
    """Bermudagrass under a triclopyr ester: the customer hears of a product that it stands."""
    page = customer(diagnosis("dandelion-in-bloom"))
    fits = fitting_products(BASE, BASE.weeds["dandelion"], "bermudagrass")
    named = [p.name for p in fits if p.name in page]
    assert named
    assert "This product would hurt your kind of grass." in page


# ---- margins in words ----------------------------------------------------------------------------


@CALLS
def test_no_page_counts_days_below_zero(name: str) -> None:
    """No page says a time or a height with a minus sign, but where it quotes a rule's bounds."""
    found = diagnosis(name)
    pages = [customer(found), technician(found)]
    pages += [why_page(owner, found, BASE, Page(WIDEST)) for owner in (*BASE.causes, *BASE.stops)]
    counted = re.compile(r"(?<![\d\w-])-\d+(\.\d+)?( to -?\d+(\.\d+)?)? (days?|hours?|h|in|x)\b")
    for page in pages:
        told = re.sub(r"\[[^\]]*\]|needs [^:]*:|with: [^.]*", "", page)
        assert [m[0] for m in counted.finditer(told)] == []


@pytest.mark.parametrize(
    ("span", "text"),
    [
        (Span(-5, -5), "5 days before the label's interval is up"),
        (Span(-9, -5), "5 to 9 days before the label's interval is up"),
        (Span(2, 4), "2 to 4 days after the label's interval was up"),
        (Span(0, 0), "0 days after the label's interval was up"),
        (
            Span(-3, 2),
            "up to 3 days before the label's interval is up or "
            "up to 2 days after the label's interval was up",
        ),
    ],
)
def test_a_margin_in_words(span: Span, text: str) -> None:
    """A margin is said as what is short or over, never with a sign."""
    assert say.value(BASE.facts["next_spray_margin"], span) == text


# ---- trials --------------------------------------------------------------------------------------


def test_a_trial_says_on_which_weed_it_was() -> None:
    """The words of a rule name no weed of their own: trials stand apart and say on which weed."""
    names = {n.lower() for w in BASE.weeds.values() for n in (w.name, *w.also)}
    names |= {"crabgrass", "bentgrass", "thistle", "violet", "violets", "dandelions", "plantain"}
    named = re.compile(r"\b(" + "|".join(map(re.escape, sorted(names))) + r")\b", re.IGNORECASE)
    for rule in BASE.rules():
        assert named.search(rule.because) is None, rule.id
        assert re.search(r"\btrials?\b", rule.because) is None, rule.id


def test_a_trial_is_printed_with_its_weed() -> None:
    """What a trial found on violets stands behind "(trial on violets)" in an answer on ivy."""
    page = technician(diagnosis("ground-ivy-watered"))
    assert "(trial on violets) Three quarters control" in page


# ---- what can be undone --------------------------------------------------------------------------


@CALLS
def test_nobody_is_told_to_change_the_plant(name: str) -> None:
    """The chain behind a cause offers to change only what whoever sprays can change."""
    found = diagnosis(name)
    fixed = [f.says for f in BASE.facts.values() if f.change == "nobody"]
    assert BASE.facts["habit"].says in fixed
    for cause in [c for c in found.weighing.causes if c.truth is Truth.SHOWN]:
        page = " ".join(why_page(cause.cause.id, found, BASE, Page(WIDEST)).split())
        for offer in re.findall(r"it would not hold with: ([^.]*)\.", page, re.IGNORECASE):
            assert [
                says for says in fixed if re.search(rf"(^|; or ){re.escape(says)} ", offer)
            ] == []


# ---- days ----------------------------------------------------------------------------------------


@CALLS
def test_the_best_time_of_year_is_named(name: str) -> None:
    """Where the season was wrong the customer hears the months, in the seasons of the region."""
    found = diagnosis(name)
    if any(c.cause.id == "wrong-season" for c in found.shown) and found.call.weed:
        text = found.changes[[c.causes[0].cause.id for c in found.changes].index("wrong-season")]
        said = say.filled_for(text.remedies[0].customer, found, BASE)
        assert len(MONTH.findall(said)) == 2


@pytest.mark.parametrize(
    ("asked", "not_before", "days"),
    [
        ("2026-07-01", None, ("2026-10-01", "2026-11-01")),
        ("2026-10-06", None, ("2026-10-06", "2026-11-01")),
        ("2026-10-06", "2026-10-11", ("2026-10-11", "2026-11-01")),
        ("2026-10-31", None, ("2027-10-01", "2027-11-01")),
    ],
)
def test_the_next_best_season(asked: str, not_before: str | None, days: tuple[str, str]) -> None:
    """Ground ivy is best treated October 1 to November 1 (Purdue): next, still on, or next year."""
    case = Case(
        BASE.weeds["ground-ivy"],
        BASE.regions["lake-plain"],
        None,
        dt.date.fromisoformat(asked),
        dt.date.fromisoformat(not_before) if not_before else None,
    )
    found = best_season(case)
    assert found is not None
    assert tuple(map(str, found)) == days


def test_a_preventer_goes_down_before_the_weed_comes_up() -> None:
    """The days for a preventer end two weeks before germination; down south half a year later."""
    weed = BASE.weeds["smooth-crabgrass"]
    asked = dt.date(2026, 1, 10)
    north = Case(weed, BASE.regions["lake-plain"], None, asked)
    south = replace(north, region=BASE.regions["south-downs"])
    assert weed.germinates is not None
    here, there = preventer_window(north), preventer_window(south)
    assert here is not None
    assert there is not None
    assert here[1] - here[0] == dt.timedelta(days=7)
    starts = weed.germinates.first.in_year(2026)
    shift = dt.timedelta(days=BASE.regions["lake-plain"].shift_days)
    assert starts + shift - here[1] == dt.timedelta(days=14)
    assert 5 <= (there[0] - here[0]).days / 30 <= 8


def test_days_that_are_not_known_are_said_in_words() -> None:
    """Without a weed, a region and a grass every placeholder still has plain words."""
    nowhere = words(BASE, Case(None, None, None, dt.date(2026, 5, 1)))
    assert MONTH.search(" ".join(nowhere.values())) is None
    assert [name for name, text in nowhere.items() if not text or "{" in text] == []
    ivy = Case(BASE.weeds["ground-ivy"], None, None, dt.date(2026, 5, 1))
    assert words(BASE, ivy)["best_season"] == "about October 1 to November 1"


def test_grass_is_sown_in_its_own_season() -> None:
    """Tall fescue is sown in late summer and fall, bermudagrass in late spring."""
    asked = dt.date(2026, 4, 1)
    cool = sow_window(BASE, Case(None, BASE.regions["lake-plain"], "tall-fescue", asked))
    warm = sow_window(BASE, Case(None, BASE.regions["red-hills"], "bermudagrass", asked))
    assert cool is not None
    assert warm is not None
    assert cool[0].month in (8, 9)
    assert warm[0].month in (4, 5, 6)


# ---- names in doubt ------------------------------------------------------------------------------

NAMED = """
weed: ground-ivy
traits: {{leaves: opposite{more}}}
product: larkmoor-broadleaf
"""


@pytest.mark.parametrize(
    ("more", "known"),
    [
        ("", {"certain"}),
        (", stem: round", {"certain", "unsure"}),
        (", stem: round, smell: none", {"unsure"}),
    ],
)
def test_looks_that_do_not_fit_the_name(more: str, known: set[str]) -> None:
    """One look that a weed does not have leaves its name open, two of them put it in doubt."""
    fact = answer(NAMED.format(more=more)).facts.of_call["weed_named"]
    assert fact.value == Options(frozenset(known))


def test_a_weed_in_doubt_is_promised_nothing() -> None:
    """Where the name is in doubt the customer hears of no outlook, no spray and no day to look."""
    page = customer(diagnosis("name-in-doubt"))
    assert BASE.phrases["customer-expect-open"] in page
    assert BASE.phrases["customer-do-identify"] in page
    assert BASE.phrases["customer-look"] not in page
    assert (
        told_customer(BASE.stops["identify-first"], diagnosis("name-in-doubt").values[-1]) in page
    )


def test_the_answer_in_the_readme_is_what_is_printed() -> None:
    """The answer printed in the README is how the customer's page on its call begins."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (told,) = re.findall(r"^```yaml\n(.*?)^```", readme, re.MULTILINE | re.DOTALL)
    (shown,) = re.findall(r"^```text\n(.*?)^```", readme, re.MULTILINE | re.DOTALL)
    found = advisor("auto").diagnose(parse_call(told, "README.md", BASE))
    page = customer_page(found, BASE, Page(80))
    assert (
        shown.strip().splitlines() == page.strip().splitlines()[: len(shown.strip().splitlines())]
    )
    assert BASE.phrases["customer-do"] in shown
