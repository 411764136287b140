"""Answers say what the knowledge base says: every placeholder, every number, every channel.

Walks all topics with nothing known, with each product, each weed and a diagnosed call. Figures are
looked up here a second time, straight in the entries, and on the pages of the diagnosis.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from example_calls import ROOT
from jsonschema import Draft202012Validator

from advisor.answers import unanswered
from advisor.answers.answering import Answerer, Reply
from advisor.answers.compose import Composed, compose
from advisor.answers.conditions import TESTS, holds
from advisor.answers.context import Context, of_call
from advisor.answers.finding import Verdict
from advisor.answers.values import VALUES
from advisor.call import load_call
from advisor.checking.reading_grade import grade
from advisor.diagnosis import Advisor, Diagnosis
from advisor.knowledge import load, shipped
from advisor.languages import digest, translated
from advisor.model import Addition, KnowledgeBase, Product
from advisor.render.answer_document import answer_document
from advisor.render.answer_page import (
    LONGEST_TEXT,
    Channel,
    customer_answer,
    technician_answer,
    text_message,
)
from advisor.render.layout import Page
from advisor.render.technician import technician_page
from advisor.terms import Span
from advisor.units import parse_amount

TODAY = dt.date(2026, 11, 25)
CALL = "ground-ivy-watered.yaml"
BASE = load(shipped("knowledge"))
NOTHING = Context(BASE, TODAY)


@cache
def diagnosis() -> Diagnosis:
    """The diagnosis of an example call."""
    call = load_call(ROOT / "knowledge" / "examples" / CALL, BASE, today=TODAY)
    return Advisor(BASE).diagnose(call)


def contexts(base: KnowledgeBase = BASE) -> Iterator[tuple[str, Context]]:
    """Nothing known, each product, each weed, a product with a weed and a lawn, and a call."""
    nothing = Context(base, TODAY)
    yield "nothing", nothing
    for product in base.products.values():
        yield product.id, replace(nothing, product=product)
    for weed in base.weeds.values():
        yield weed.id, replace(nothing, weed=weed)
    for turf in base.turf.values():
        yield turf.id, replace(nothing, turf=turf)
    for region in base.regions.values():
        yield region.id, replace(nothing, region=region)
    yield "call", of_call(diagnosis(), base)


ALL = dict(contexts())


def said(composed: Composed) -> Iterator[str]:
    """Every text of an answer."""
    yield from (composed.lead, composed.answer, composed.short, composed.technician)
    yield from composed.first
    yield from composed.added
    yield from composed.told
    yield composed.exact


def begins_whole(text: str, composed: Composed) -> bool:
    """Whether a text message begins with lead and short, or with lead and what comes first."""
    first = [composed.lead, *composed.first]
    if not composed.first:
        first.append(composed.short)
    return text.startswith(" ".join(t for t in first if t))


@pytest.mark.parametrize("topic", BASE.answers.values(), ids=lambda topic: topic.id)
def test_every_placeholder_is_filled_whatever_is_known(topic: object) -> None:
    """No text keeps a brace, stands empty or ends twice, with nothing, anything or a call known."""
    for name, ctx in ALL.items():
        composed = compose(topic, ctx)  # type: ignore[arg-type]
        assert all((composed.answer, composed.short, composed.technician)), name
        for text in said(composed):
            assert not re.search(r"[{}]|\.\.|  |\bNone\b", text), (name, text)


@pytest.mark.parametrize("topic", BASE.answers.values(), ids=lambda topic: topic.id)
def test_a_text_message_never_exceeds_its_length(topic: object) -> None:
    """Lead, what comes first and else the short answer fit whole, with their version."""
    for name, ctx in ALL.items():
        composed = compose(topic, ctx)  # type: ignore[arg-type]
        text = text_message(composed, BASE)
        assert len(text) <= LONGEST_TEXT, name
        assert begins_whole(text, composed), name
        assert text.endswith(f"[{composed.version}]")


# ---- figures ------------------------------------------------------------------------------------


def one(value: float | None) -> Span | None:
    return None if value is None else Span(value, value)


def positive(value: float) -> Span | None:
    return Span(value, value) if value > 0 else None


LABEL = {
    "rainfast": lambda p: one(p.rainfast_h),
    "interval": lambda p: one(p.interval_days),
    "per_year": lambda p: one(p.per_year),
    "temperature": lambda p: p.temperature,
    "temperature_low": lambda p: one(p.temperature.low) if p.temperature else None,
    "temperature_high": lambda p: one(p.temperature.high) if p.temperature else None,
    "mow_before": lambda p: positive(p.mow_before_h),
    "mow_after": lambda p: positive(p.mow_after_h),
    "seed_after": lambda p: one(p.seed_after_days),
    "new_grass": lambda p: one(p.new_grass_days),
    "first_days": lambda p: p.first_days if p.first_days.high else None,
    "full_days": lambda p: p.full_days if p.full_days.high else None,
    "residual": lambda p: p.residual_days,
    "keeps": lambda p: one(p.keeps_years),
    "water": lambda p: p.water.to("gal/1000 ft2") if p.water else None,
}
WEED = {
    "applications": lambda w: Span(*w.retreatments.applications),
    "retreat_interval": lambda w: Span(*w.retreatments.interval_days),
    "seasons": lambda w: one(w.retreatments.seasons),
    "seed_life": lambda w: w.seed_life_years,
}


@pytest.mark.parametrize("name", LABEL)
def test_a_figure_of_a_product_is_its_label(name: str) -> None:
    """With a product known the figure is that of its label; a rule it lacks is left out."""
    for product in BASE.products.values():
        found = VALUES[name](replace(NOTHING, product=product))
        assert found.span == LABEL[name](product)
        assert found.dropped == (found.span is None)
        assert found.known


@pytest.mark.parametrize("name", [*LABEL, *WEED])
def test_a_figure_of_nothing_known_spans_the_knowledge_base(name: str) -> None:
    """With nothing known the figure runs from the least to the most of all labels or weeds."""
    found = VALUES[name](NOTHING)
    entries = BASE.products.values() if name in LABEL else BASE.weeds.values()
    spans = [s for e in entries if (s := {**LABEL, **WEED}[name](e)) is not None]
    assert found.span == Span(min(s.low for s in spans), max(s.high for s in spans))
    assert not found.known


@pytest.mark.parametrize("name", WEED)
def test_a_figure_of_a_weed_is_its_entry(name: str) -> None:
    """With a weed known the figure is that of its file."""
    for weed in BASE.weeds.values():
        assert VALUES[name](replace(NOTHING, weed=weed)).span == WEED[name](weed)


def test_the_words_of_a_figure_hold_its_numbers() -> None:
    """Every figure in words reads back as the numbers behind it."""
    for ctx in ALL.values():
        for name in ("rainfast", "interval", "full_days", "new_grass", "keeps", "retreat_interval"):
            found = VALUES[name](ctx)
            if found.span is not None:
                read = parse_amount(found.words).to(found.unit)
                assert (read.low, read.high) == pytest.approx((found.span.low, found.span.high))


def test_a_call_gives_what_its_diagnosis_page_says() -> None:
    """Dates, kind, cause and change are those of the diagnosis and stand on its page."""
    found, ctx = diagnosis(), ALL["call"]
    page = " ".join(technician_page(found, BASE, Page()).split())
    assert VALUES["kind"](ctx).words in page
    assert VALUES["main_cause"](ctx).words.lower() in page.lower()
    for name, date in (("look_from", found.look.first), ("look_to", found.look.last)):
        assert str(date) in page
        assert VALUES[name](ctx).words == BASE.speech.day(date.month, date.day)
    next_day = max(found.look.not_before or found.call.reported, found.call.reported)
    assert VALUES["next_spray"](ctx).words == BASE.speech.day(next_day.month, next_day.day)
    change = found.remedies[0].cause.remedies[0].customer
    assert VALUES["main_change"](ctx).words == change


def test_a_label_read_out_over_the_phone_comes_first() -> None:
    """Where the call gives a figure of the label, the answer takes it, as the diagnosis does."""
    ctx = ALL["call"]
    label = replace(diagnosis().label, rainfast_h=9, interval_days=33)
    told = replace(ctx, diagnosis=replace(diagnosis(), label=label))
    assert VALUES["rainfast"](told).span == Span(9, 9)
    assert VALUES["interval"](told).span == Span(33, 33)
    assert VALUES["rainfast"](replace(told, product=other_than(ctx.product))).span != Span(9, 9)


def other_than(product: Product | None) -> Product:
    """A product sprayed on leaves that is not the one given."""
    return next(p for p in BASE.products.values() if p is not product and p.rainfast_h)


def test_product_for_an_area_is_the_rate_times_the_area() -> None:
    """5000 ft2 takes five times what the label gives for 1000 ft2."""
    for product in BASE.products.values():
        ctx = replace(NOTHING, product=product, area=parse_amount("5000 ft2"))
        rate = product.rate_for(None)
        found = VALUES["product_for_area"](ctx)
        if rate is None:
            continue
        span = rate.amount.to(rate.amount.unit)
        assert found.span is not None
        assert (found.span.low, found.span.high) == pytest.approx((5 * span.low, 5 * span.high))


def test_best_months_move_with_the_hemisphere() -> None:
    """South of the equator the best months come half a year later."""
    south = next(r for r in BASE.regions.values() if r.hemisphere == "south")
    weed = BASE.weeds["ground-ivy"]
    assert VALUES["best_season"](replace(NOTHING, weed=weed)).words == "October"
    assert "April" in VALUES["best_season"](replace(NOTHING, weed=weed, region=south)).words


# ---- additions, versions, documents -------------------------------------------------------------


def test_nothing_is_added_on_a_guess() -> None:
    """With nothing known no addition is said, first or after, and no test holds."""
    assert {name for name, read in TESTS.items() if read(NOTHING) is not None} == set()
    for topic in BASE.answers.values():
        composed = compose(topic, NOTHING)
        assert (composed.first, composed.added) == ((), ())


def test_all_tests_of_an_addition_must_hold() -> None:
    """An addition for a product and a weed is said when both are there, not with one."""
    addition = Addition({"product": ("known",), "weed": ("dandelion",)}, "Both.")
    product, weeds = next(iter(BASE.products.values())), BASE.weeds
    assert holds(addition, replace(NOTHING, product=product, weed=weeds["dandelion"]))
    assert not holds(addition, replace(NOTHING, product=product))
    assert not holds(addition, replace(NOTHING, product=product, weed=weeds["henbit"]))


def test_the_version_changes_with_what_is_said_and_only_then() -> None:
    """The same texts and figures give the same version; another product or text another one."""
    topic = BASE.answers["rain-after-spraying"]
    larkmoor = replace(NOTHING, product=BASE.products["larkmoor-broadleaf"])
    version = compose(topic, larkmoor).version
    assert compose(topic, replace(larkmoor, today=TODAY.replace(year=2027))).version == version
    assert compose(topic, NOTHING).version != version
    assert compose(replace(topic, short=f"{topic.short} Yes."), larkmoor).version != version


@pytest.fixture(scope="module")
def answerer(tmp_path_factory: pytest.TempPathFactory) -> Answerer:
    """The shipped knowledge base, ready to answer."""
    return Answerer(BASE, tmp_path_factory.mktemp("cache"))


def ask(answerer: Answerer, question: str) -> Reply:
    return answerer.answer(question, NOTHING)


def test_names_and_amounts_in_a_question_are_used(answerer: Answerer) -> None:
    """Misspelt names and amounts in the question fill the answer and are held against it."""
    reply = ask(answerer, "it rained 2 hours after i sprayed the dandilions with larkmore")
    assert reply.composed is not None
    assert reply.composed.topic.id == "rain-after-spraying"
    assert (reply.context.weed, reply.context.product) == (
        BASE.weeds["dandelion"], BASE.products["larkmoor-broadleaf"],
    )  # fmt: skip
    hours = VALUES["rainfast"](reply.context)
    assert reply.composed.told == (f"You said 2 hours. That is under {hours.words}.",)


def test_an_option_comes_before_the_question_and_the_question_before_the_call(
    answerer: Answerer,
) -> None:
    """The weed of an option wins over the one named, and that one over the call's."""
    question, call = "how many sprays to get rid of dandelions", ALL["call"]
    plain = answerer.answer(question, NOTHING, call)
    told = answerer.answer(question, replace(NOTHING, weed=BASE.weeds["henbit"]), call)
    other = answerer.answer("how many times do I have to spray to get rid of it", NOTHING, call)
    weeds = [r.context.weed.id for r in (told, plain, other) if r.context.weed]
    assert weeds == ["henbit", "dandelion", "ground-ivy"]


def test_first_aid_comes_before_whatever_else_is_asked(answerer: Answerer) -> None:
    """A question on swallowing and mowing gets first aid first, then the other answer."""
    reply = ask(answerer, "my kid swallowed some while I was mowing, when can i mow again")
    assert reply.composed is not None
    assert reply.composed.topic.id == "swallowed"
    assert reply.also is not None
    assert reply.also.topic.id == "mow-after-spraying"
    for channel in Channel:
        page = customer_answer(reply, BASE, channel, Page())
        lead = " ".join(reply.composed.lead.split())
        assert " ".join(page.split()).replace("\x1b", "").find(lead[:40]) >= 0


@pytest.mark.parametrize("question", ["how do I get rid of grubs", "qwrt zzxp blorf", "...", ""])
def test_a_question_that_is_not_ours_gets_no_answer(answerer: Answerer, question: str) -> None:
    """It is said plainly that there is no checked answer, and nothing is made up."""
    reply = ask(answerer, question)
    assert (reply.verdict, reply.composed) == (Verdict.NONE, None)
    assert BASE.phrases["answer-none"] in customer_answer(reply, BASE, Channel.PRINT, Page())


def test_the_same_question_gets_the_same_reply(answerer: Answerer, tmp_path: Path) -> None:
    """Learned anew, kept or read back: topic, score and version are equal."""
    again, kept = Answerer(BASE), Answerer(BASE, tmp_path)
    read_back = Answerer(BASE, tmp_path)
    for question in ("when can I mow", "is it to hot", "creeping charly came back"):
        scores = {
            tuple((c.topic.id, round(c.score, 3)) for c in found.nearest)
            for a in (answerer, again, kept, read_back)
            if (found := ask(a, question).found) is not None
        }
        assert len(scores) == 1


def test_every_document_fits_its_schema(answerer: Answerer) -> None:
    """Answered, asked back or not answered, the JSON document is as its schema has it."""
    schema = json.loads((ROOT / "schemas" / "answer-document.schema.json").read_text("utf-8"))
    check = Draft202012Validator(schema)
    for question in ("it rained 2 hours after I sprayed", "grubs", "", "my eye burns, when to mow"):
        check.validate(answer_document(ask(answerer, question), BASE))


def test_the_technician_sees_every_figure_with_its_origin(answerer: Answerer) -> None:
    """Each figure used stands on the technician's page with where it comes from."""
    reply = ask(answerer, "it rained after I sprayed larkmoor")
    page = " ".join(technician_answer(reply, BASE, Page(width=88)).split())
    assert reply.composed is not None
    for figure in reply.composed.fillings.values():
        if not figure.dropped:
            assert f"{figure.words} [{figure.origin}]" in page


# ---- questions kept -----------------------------------------------------------------------------


def test_unanswered_questions_are_counted_and_forgotten(tmp_path: Path) -> None:
    """The same words in any spelling count together, the most frequent first; clear forgets."""
    at = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)
    for question in ("Grubs?", "what about moles", "grubs"):
        assert unanswered.record(tmp_path, question, ["pull-or-dig"], at)
    with (tmp_path / unanswered.FILE).open("a") as file:
        file.write('{"torn": ')
    found = unanswered.recorded(tmp_path)
    assert [(u.question, u.count) for u in found] == [("grubs", 2), ("what about moles", 1)]
    assert unanswered.clear(tmp_path)
    assert unanswered.recorded(tmp_path) == ()
    assert not unanswered.clear(tmp_path)


@pytest.mark.parametrize("number", ["555-123-4567", "(555) 123 4567", "+15551234567"])
def test_no_phone_number_or_address_is_kept(number: str) -> None:
    """What could reach a person is masked before anything is written."""
    kept = unanswered.masked(f"call me at {number} or a.b@example.com about 5000 sq ft")
    assert kept == "call me at [number] or [address] about 5000 sq ft"


# ---- reading grades, languages ------------------------------------------------------------------


def test_the_grade_is_the_published_formula() -> None:
    """Flesch-Kincaid: 0.39 words a sentence plus 11.8 syllables a word less 15.59.

    Derivation of new readability formulas for Navy enlisted personnel, 1975 (cited from memory).
    """
    assert grade("The cat sat on the mat.") == pytest.approx(0.39 * 6 + 11.8 * 1 - 15.59, abs=0.01)


@pytest.mark.parametrize("code", sorted(BASE.languages))
def test_a_translation_fills_and_fits_like_the_original(code: str) -> None:
    """Translated answers keep no brace, fit a text message and are made from today's English."""
    base = translated(BASE, code)
    for name, wording in BASE.languages[code].answers.items():
        assert wording.of == digest(BASE.answers[name])
        for ctx in (c for _, c in contexts(base)):
            composed = compose(base.answers[name], ctx)
            text = text_message(composed, base)
            assert begins_whole(text, composed)
            assert not re.search(r"[{}]", " ".join(said(composed)))


def test_what_is_not_translated_is_said_in_english() -> None:
    """A topic without a translation keeps its English texts, and the base its rules."""
    base = translated(BASE, "es")
    missing = next(name for name in BASE.answers if name not in BASE.languages["es"].answers)
    assert base.answers[missing] == BASE.answers[missing]
    assert [r.clauses for r in base.rules()] == [r.clauses for r in BASE.rules()]
