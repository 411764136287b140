"""K703: a way of asking leads to one answer only, and is listed once.

The same words under two topics teach the finder nothing but doubt. Case and punctuation do not
make a difference.

PASS:
    # phrasings.yaml
    from: demo
    topics: {}
    not_ours: [what is the weather, who won the game]

FAIL:
    not_ours: [what is the weather, What is the weather?]
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.answers.words import words
from advisor.checking.pages import Keys
from advisor.checking.subject import Subject
from advisor.problem import Problem

FILE = "phrasings.yaml"
NOT_OURS = "not_ours"


def check(subject: Subject) -> Iterator[Problem]:
    """The ways of asking that were listed before."""
    first: dict[tuple[str, ...], str] = {}
    for path, keys, text, topic in _phrasings(subject):
        said = tuple(words(text))
        if said in first:
            message = f"this way of asking is already listed, under {first[said]}"
            yield subject.pages.problem("K703", message, path, *keys)
        first.setdefault(said, topic)


def _phrasings(subject: Subject) -> Iterator[tuple[str, Keys, str, str]]:
    """Every way of asking with its file, its place and its topic."""
    base = subject.base
    for topic in base.answers.values():
        for i, text in enumerate(topic.ask):
            yield topic.place.path, ("ask", i), text, topic.id
    path = str(subject.folder / FILE)
    for name, texts in base.asking.phrasings.items():
        for i, text in enumerate(texts):
            yield path, ("topics", name, i), text, name
    for i, text in enumerate(base.asking.not_ours):
        yield path, (NOT_OURS, i), text, NOT_OURS
