"""Lays another language over the texts that customers read.

`translated` gives a knowledge base like the one it takes, with titles, customer texts, answers,
questions and figures in the language; every renderer works on it as on the English one. Rules,
figures and technician texts stay as they are, and what is not translated stays English.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TypeVar

from advisor.model import (
    Cause,
    Kind,
    KnowledgeBase,
    Language,
    Product,
    Stop,
    Topic,
    Weed,
    Wording,
)

ENGLISH = "en"
Entry = TypeVar("Entry")
Said = TypeVar("Said", Kind, Cause, Stop)


def languages(base: KnowledgeBase) -> tuple[str, ...]:
    """The languages that answers may be given in, English first."""
    return (ENGLISH, *(name for name in sorted(base.languages) if name != ENGLISH))


def translated(base: KnowledgeBase, name: str) -> KnowledgeBase:
    """The knowledge base in a language.

    Raises:
        KeyError: if there is no such language.
    """
    if name == ENGLISH and name not in base.languages:
        return base
    to = base.languages[name]

    asked = {base.facts[name].ask: ask for name, ask in to.asks.items()}

    def texts(text: str) -> str:
        return to.texts.get(text, text)

    return replace(
        base,
        kinds=_each(base.kinds, lambda kind: _kind(kind, to)),
        causes=_each(base.causes, lambda cause: _cause(cause, to)),
        stops=_each(base.stops, lambda stop: _stop(stop, to)),
        facts={
            name: replace(fact, ask=to.asks.get(name) or asked.get(fact.ask, fact.ask))
            for name, fact in base.facts.items()
        },
        weeds=_each(base.weeds, lambda weed: _weed(weed, to, texts)),
        turf={
            name: replace(turf, name=to.names.get(name, turf.name))
            for name, turf in base.turf.items()
        },
        products=_each(base.products, lambda product: _product(product, texts)),
        phrases={**base.phrases, **to.phrases},
        answers=_each(base.answers, lambda topic: _topic(topic, to)),
        asking=replace(base.asking, first_aid=_first_aid(base, to)),
        speech=to.speech,
        original=None if name == ENGLISH else translated(base, ENGLISH),
    )


def digest(topic: Topic) -> str:
    """A short digest of the texts of an answer that a translation is made from."""
    texts = (topic.title, topic.lead or "", topic.answer, topic.short)
    return hashlib.sha256("\x1f".join(texts).encode()).hexdigest()[:8]


def _first_aid(base: KnowledgeBase, to: Language) -> dict[str, tuple[str, ...]]:
    """The phrases that call for first aid, in English and in the language."""
    own = {name: topic.first_aid for name, topic in to.answers.items()}
    return {name: (*calls, *own.get(name, ())) for name, calls in base.asking.first_aid.items()}


def _each(entries: Mapping[str, Entry], put: Callable[[Entry], Entry]) -> dict[str, Entry]:
    return {name: put(entry) for name, entry in entries.items()}


def _kind(kind: Kind, to: Language) -> Kind:
    found = to.entries.get(kind.id)
    return _worded(kind, found) if found else kind


def _stop(stop: Stop, to: Language) -> Stop:
    found = to.entries.get(stop.id)
    return _worded(stop, found) if found else stop


def _cause(cause: Cause, to: Language) -> Cause:
    found = to.entries.get(cause.id)
    if found is None:
        return cause
    remedies = tuple(
        replace(remedy, customer=found.remedies[i]) if i < len(found.remedies) else remedy
        for i, remedy in enumerate(cause.remedies)
    )
    return replace(_worded(cause, found), remedies=remedies)


def _worded(entry: Said, found: Wording) -> Said:
    instead = tuple(
        replace(one, customer=found.instead[i]) if i < len(found.instead) else one
        for i, one in enumerate(entry.instead)
    )
    return replace(entry, title=found.title, customer=found.customer, instead=instead)


def _weed(weed: Weed, to: Language, texts: Callable[[str], str]) -> Weed:
    return replace(
        weed,
        name=to.names.get(weed.id, weed.name),
        also=(*weed.also, weed.name),
        unit=texts(weed.unit),
        kept_out_by=tuple(replace(one, say=texts(one.say)) for one in weed.kept_out_by),
        lookalikes=tuple(replace(one, decide=texts(one.decide)) for one in weed.lookalikes),
    )


def _product(product: Product, texts: Callable[[str], str]) -> Product:
    return replace(
        product,
        reentry=texts(product.reentry),
        near_water=texts(product.near_water),
        storage=texts(product.storage),
        protective=tuple(texts(one) for one in product.protective),
        surfactant=replace(
            product.surfactant,
            kind=texts(product.surfactant.kind) if product.surfactant.kind else None,
        ),
    )


def _topic(topic: Topic, to: Language) -> Topic:
    """A topic with its texts translated; it can still be asked for in English."""
    found = to.answers.get(topic.id)
    if found is None:
        return topic
    return replace(
        topic,
        language=to.id,
        title=found.title,
        lead=found.lead if topic.lead else None,
        ask=(*found.ask, *topic.ask),
        keywords=(*found.keywords, *topic.keywords),
        answer=found.answer,
        short=found.short,
        add=tuple(replace(one, say=found.add.get(one.say, one.say)) for one in topic.add),
    )
