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

from readability.langdata import LANGDATA

from advisor.checking.pages import Keys
from advisor.checking.subject import Owner, Subject
from advisor.model import Cause, Topic
from advisor.problem import Problem

CUSTOMER, TECHNICIAN = 8, 11
FEWEST_WORDS = 5
"""A text of fewer words has no grade to speak of: one long word would make it hard."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+")
_WORD = re.compile(r"[A-Za-z]+(?:['’-][A-Za-z]+)*|\d[\d,./]*")
_FILLED = re.compile(r"\{[^{}]*\}")


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
        return 0.0
    # the library counts none in `the`; every word has one
    syllables = sum(max(1, int(LANGDATA["en"]["syllables"](word))) for word in said)
    return 0.39 * len(said) / len(sentences) + 11.8 * syllables / len(said) - 15.59


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
