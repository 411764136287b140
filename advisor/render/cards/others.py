"""The cards of a homeowner's question, a fact and a source.

Used by `library`, which adds to a source who cites it and to a fact which rules read it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.answers.compose import compose
from advisor.answers.context import Context
from advisor.model import Addition, Basis, Bound, FactDef, KnowledgeBase, Relation, Topic
from advisor.render import say
from advisor.render.cards.maker import Maker, numbers, there, yes_no
from advisor.render.cards.parts import Card, Item, Line, Part, Row, Table, Words
from advisor.render.say import in_hundred
from advisor.terms import Span
from advisor.units import show

ANY_DAY = dt.date(2001, 1, 1)
"""Where neither weed nor region is known, nothing said depends on the day."""


def answer_card(maker: Maker, name: str) -> Card:
    """A question of homeowners with its curated answer."""
    topic = maker.base.answers[name]
    sections = (
        maker.section("answer", _answer(maker, topic), topic.basis),
        maker.section("asked", [maker.item(f'"{asked}"') for asked in topic.ask]),
    )
    return Card("answer", name, topic.title, maker.say("about-answer"), there(sections))


def _answer(maker: Maker, topic: Topic) -> Iterator[Part]:
    said = compose(topic, Context(maker.base, ANY_DAY))
    yield maker.note("answer")
    if said.lead:
        yield maker.line("first-say", said.lead)
    yield maker.line("answer", said.answer)
    for addition in topic.add:
        tests = "; ".join(_tests(maker, addition))
        yield Line(maker.say("label-only-if", tests=tests), maker.template(addition.say))
    yield maker.line("short", said.short)
    yield maker.line("technician", said.technician)
    yield maker.line("safety", yes_no(topic.safety))
    if topic.keywords:
        yield maker.line("keywords", ", ".join(topic.keywords))
    if topic.related:
        yield maker.line("related", maker.links("answer", topic.related))


def _tests(maker: Maker, addition: Addition) -> Iterator[str]:
    for name, wanted in addition.tests.items():
        what = name.replace("_", " ")
        if wanted == ("known",):
            yield maker.say("test-known", what=what)
        else:
            yield maker.say("test-is", what=what, options=" or ".join(wanted))


def fact_card(maker: Maker, name: str) -> Card:
    """All that is known of a fact the rules may read."""
    fact = maker.base.facts[name]
    sections = (maker.section("fact", _fact(maker, fact), fact.basis),)
    return Card("fact", name, fact.says, maker.say("about-fact", scope=fact.scope), there(sections))


def _fact(maker: Maker, fact: FactDef) -> Iterator[Part]:
    yield maker.line("comes", maker.say(f"comes-{fact.comes}"))
    if fact.ask:
        yield maker.line("ask", fact.ask)
    if fact.range is not None:
        yield maker.line("range", show(fact.range, fact.unit) if fact.unit else numbers(fact.range))
        rows = tuple(
            Row(((_band(fact, low, high),), (_chance(maker, share),)))
            for low, high, share in fact.bands
        )
    else:
        rows = tuple(
            Row(((f"{name}: {option.says}",), (_chance(maker, option.how_often),)))
            for name, option in fact.options.items()
        )
    yield Table((maker.say("column-answer"), maker.say("column-how-often")), rows)
    for relation in maker.base.relations:
        if fact.id in relation.facts:
            yield relation_item(maker, relation)
    rules = [rule.id for rule in maker.base.rules() if fact.id in rule.facts]
    yield maker.line("read-by", maker.links("rule", rules))


def _band(fact: FactDef, low: float, high: float) -> str:
    return show(Span(low, high), fact.unit) if fact.unit else numbers((low, high))


def _chance(maker: Maker, share: float) -> str:
    return maker.say("in-hundred", chance=in_hundred(share))


def relation_item(maker: Maker, relation: Relation) -> Item:
    """What always holds between two facts."""
    if isinstance(relation, Bound):
        return maker.item(relation.because)
    words: list[Words] = []
    for condition in (relation.when, relation.then):
        fact = maker.base.facts[condition.fact]
        words.append((maker.fact(condition.fact), f" {say.condition(condition, fact)}"))
    when, then = words
    return maker.item((*when, ": ", *then, f". {relation.because}"))


def source_card(maker: Maker, name: str, cited_in: Iterable[Item] = ()) -> Card:
    """A published source, with who cites it."""
    source = maker.base.sources[name]
    seen = maker.say("seen" if source.seen else "not-seen", on=source.checked)
    parts: list[Part] = [
        maker.line("type", source.type.replace("-", " ")),
        maker.line("locator", source.locator or maker.say("no-locator")),
        maker.line("seen", seen),
    ]
    sections = (
        maker.section("source", parts),
        maker.section("cited-by", list(cited_in) or [maker.item(maker.say("cited-by-none"))]),
    )
    return Card("source", name, source.title, short_source(maker.base, name), there(sections))


def short_source(base: KnowledgeBase, name: str) -> str:
    """Publisher and year of a source."""
    source = base.sources[name]
    return f"{source.publisher}, {source.year}" if source.year else source.publisher


def origin(maker: Maker, basis: Basis) -> str:
    """Where a figure comes from, in a word or two."""
    if basis.source:
        return basis.source + (f" ({basis.note})" if basis.note else "")
    return maker.say(f"from-{basis.kind}")
