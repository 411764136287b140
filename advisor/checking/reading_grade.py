"""K701: a text reads easily enough for whoever gets it.

What a homeowner hears or reads is to be understood by somebody who left school at fourteen, what
the technician reads by somebody who finished it: Flesch-Kincaid grades 8 and 11 at most.

PASS:
    # stops/windy.yaml
    customer: It is too windy to spray now.

FAIL:
    customer: Meteorological conditions necessitate postponement of the herbicide application.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from readability.langdata import LANGDATA

from advisor.checking.pages import Keys
from advisor.checking.subject import Owner, Subject
from advisor.checking.translations import FOR_TECHNICIANS
from advisor.model import Cause, KnowledgeBase, Product, Topic, Weed
from advisor.problem import Problem

CUSTOMER, TECHNICIAN = 8, 11
FOR_CUSTOMERS = ("customer-", "answer-", "plan-customer-")
"""How the ids of phrases start that customers hear or read."""
FEWEST_WORDS = 5
"""A text of fewer words has no grade to speak of: one long word would make it hard."""
NO_GRADE = 0.0
_SENTENCE = re.compile(r"(?<=[.!?])\s+")
_WORD = re.compile(r"[A-Za-z]+(?:['’-][A-Za-z]+)*|\d[\d,./]*")
_FILLED = re.compile(r"\{[^{}]*\}")


@lru_cache(maxsize=4096)
def grade(text: str) -> float:
    """The Flesch-Kincaid grade of a text; a placeholder counts as one short word.

    References:
        Derivation of new readability formulas for Navy enlisted personnel, 1975 (from memory).
    """
    sentences = [
        words for part in _SENTENCE.split(_FILLED.sub("it", text)) if (words := _WORD.findall(part))
    ]
    said = [word for words in sentences for word in words]
    if len(said) < FEWEST_WORDS:
        return NO_GRADE
    # the library counts none in `the`; every word has one
    syllables = sum(max(1, int(LANGDATA["en"]["syllables"](word))) for word in said)
    return 0.39 * len(said) / len(sentences) + 11.8 * syllables / len(said) - 15.59


@dataclass(frozen=True, slots=True)
class Grades:
    """How easily the texts for one sort of reader read; short ones do not count."""

    texts: int
    average: float
    most: float


def grades(subject: Subject) -> dict[str, Grades]:
    """The grades of what customers and what technicians get."""
    found: dict[int, list[float]] = {CUSTOMER: [], TECHNICIAN: []}
    for _, _, text, most in _texts(subject):
        if (reads := grade(text)) != NO_GRADE:
            found[most].append(reads)
    return {
        who: Grades(len(all_), sum(all_) / len(all_) if all_ else 0.0, max(all_, default=0.0))
        for who, all_ in (("customer", found[CUSTOMER]), ("technician", found[TECHNICIAN]))
    }


def check(subject: Subject) -> Iterator[Problem]:
    """The texts above the grade of their readers."""
    for path, keys, text, most in _texts(subject):
        found = grade(text)
        if found > most:
            message = f"this reads at grade {found:.1f}; {most} is the most here"
            hint = "use shorter sentences and plainer words"
            yield subject.pages.problem("K701", message, path, *keys, hint=hint)


def _texts(subject: Subject) -> Iterator[tuple[str, Keys, str, int]]:
    """Every text with its file, its place in it and the grade it may have."""
    for path, owner in subject.owners:
        for keys, text, most in _of_owner(owner):
            yield path, keys, text, most
    for topic in subject.base.answers.values():
        for keys, text, most in _of_topic(topic):
            yield topic.place.path, keys, text, most
    base = subject.base
    read_out: list[Weed | Product] = [*base.weeds.values(), *base.products.values()]
    for entry in read_out:
        for keys, text in _read_out(entry):
            yield entry.place.path, keys, text, CUSTOMER
    for path, keys, text in _of_whole(base):
        yield str(subject.folder / path), keys, text, CUSTOMER


def _read_out(entry: Weed | Product) -> Iterator[tuple[Keys, str]]:
    """What answers and plans read out of a weed's or a product's file."""
    if isinstance(entry, Weed):
        for i, one in enumerate(entry.kept_out_by):
            yield ("kept_out_by", i, "do"), one.say
    else:
        yield ("reentry",), entry.reentry
        yield ("near_water",), entry.near_water
        yield ("storage",), entry.storage


def _of_whole(base: KnowledgeBase) -> Iterator[tuple[str, Keys, str]]:
    """The phrases that customers get, and the questions they are asked."""
    for name, text in base.phrases.items():
        if name.startswith(FOR_CUSTOMERS) and not name.startswith(FOR_TECHNICIANS):
            yield "phrases.yaml", ("phrases", name), text
    for name, fact in base.facts.items():
        if fact.ask:
            yield "facts.yaml", ("facts", name, "ask"), fact.ask


def _of_owner(owner: Owner) -> Iterator[tuple[Keys, str, int]]:
    yield ("what",), owner.what, TECHNICIAN
    yield ("customer",), owner.customer, CUSTOMER
    for i, one in enumerate(owner.instead):
        yield ("instead", i, "what"), one.what, TECHNICIAN
        yield ("instead", i, "customer"), one.customer, CUSTOMER
    if isinstance(owner, Cause):
        for i, remedy in enumerate(owner.remedies):
            yield ("remedies", i, "do"), remedy.do, TECHNICIAN
            yield ("remedies", i, "customer"), remedy.customer, CUSTOMER
    for i, rule in enumerate(owner.rules):
        yield ("rules", i, "because"), rule.because, TECHNICIAN
        if rule.trial is not None:
            yield ("rules", i, "trial", "found"), rule.trial.found, TECHNICIAN


def _of_topic(topic: Topic) -> Iterator[tuple[Keys, str, int]]:
    if topic.lead:
        yield ("lead",), topic.lead, CUSTOMER
    yield ("answer",), topic.answer, CUSTOMER
    yield ("short",), topic.short, CUSTOMER
    for i, addition in enumerate(topic.add):
        yield ("add", i, "say"), addition.say, CUSTOMER
    yield ("technician",), topic.technician, TECHNICIAN
