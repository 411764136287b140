"""K604: every sentence under `add` of an answer is said to somebody.

Its tests must hold together for some product, weed, lawn grass, region and day of the base. Else it
waits for something that no file describes.

PASS:
    # answers/nap.yaml
    id: nap
    title: when to rest
    safety: no
    ask:
      - may I rest now
      - can I sit down for a while
      - is it time for a nap
      - when do I get a break
      - how long till I can lie down
      - time to put my feet up?
      - are we done for the day
      - I am tired, may I stop
    keywords: []
    answer: Rest when you are tired.
    short: Rest when you are tired.
    add:
      - {if: {formulation: granule, acts_through: soil}, say: Granules can wait.}
    technician: Rest when you are tired.
    from: demo

FAIL:
    add:
      - {if: {weed: wild-violet, life_cycle: winter-annual}, say: Violets can wait.}
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from advisor.answers.conditions import holds
from advisor.answers.context import Context
from advisor.checking.subject import Subject
from advisor.model import Addition, KnowledgeBase
from advisor.problem import Problem

READS: Final[dict[str, tuple[str, ...]]] = {
    "weed": ("weed", "habit", "life_cycle", "plant_group", "fit", "lists"),
    "product": (
        "product",
        "acts_through",
        "formulation",
        "kind",
        "hard_water",
        "surfactant",
        "homeowner",
        "lists",
        "tolerates",
    ),
    "turf": ("turf", "season", "tolerates"),
    "region": ("region",),
    "today": ("fit",),
}
"""What must be known for a test, by what it is."""
OF_THE_QUESTION = ("call", "area", "tank")
"""Tests on what only a question or a call can tell; there it can be anything."""


def check(subject: Subject) -> Iterator[Problem]:
    """The additions that no context makes true."""
    base = subject.base
    known: dict[str, Sequence[Any]] = {
        "weed": tuple(base.weeds.values()),
        "product": tuple(base.products.values()),
        "turf": tuple(base.turf.values()),
        "region": tuple(base.regions.values()),
        "today": tuple(dt.date(2027, month, 15) for month in range(1, 13)),
    }
    for topic in base.answers.values():
        for i, addition in enumerate(topic.add):
            if not _said(addition, base, known):
                message = "nothing in the knowledge base makes all of these tests true"
                keys = ("add", i, "if")
                yield subject.pages.problem("K604", message, topic.place.path, *keys)


def _said(addition: Addition, base: KnowledgeBase, known: Mapping[str, Sequence[Any]]) -> bool:
    tests = {name: words for name, words in addition.tests.items() if name not in OF_THE_QUESTION}
    needed = [what for what, read in READS.items() if any(name in tests for name in read)]
    return _some(Addition(tests, ""), Context(base, dt.date(2027, 6, 1)), needed, known)


def _some(
    addition: Addition, context: Context, needed: list[str], known: Mapping[str, Sequence[Any]]
) -> bool:
    """Whether the tests hold for some choice of what they need; each is tried once it is there."""
    if not needed:
        return holds(addition, context)
    first, *rest = needed
    alone = {
        name: words
        for name, words in addition.tests.items()
        if [what for what, read in READS.items() if name in read] == [first]
    }
    return any(
        holds(Addition(alone, ""), chosen) and _some(addition, chosen, rest, known)
        for choice in known[first]
        for chosen in [replace(context, **{first: choice})]
    )
