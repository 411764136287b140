"""K603: every answer has something to say of every product, weed, lawn grass and region.

Sentences whose placeholder has no figure for the thing at hand are left out. Where that leaves none
the caller would hear only that the label sets no rule.

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
    technician: Rest when you are tired.
    from: demo

FAIL:
    answer: Water it in with {water_in} and rest.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from advisor.answers.compose import PLACEHOLDER, fill
from advisor.answers.context import Context
from advisor.answers.values import VALUES
from advisor.checking.subject import Subject
from advisor.model import KnowledgeBase
from advisor.problem import Problem

SOME_DAY = dt.date(2027, 6, 1)
MOST_NAMES = 3


def check(subject: Subject) -> Iterator[Problem]:
    """The topics that leave somebody without an answer."""
    contexts = dict(_contexts(subject.base))
    for topic in subject.base.answers.values():
        if not {*PLACEHOLDER.findall(topic.answer + topic.short)} <= VALUES.keys():
            continue  # another check says so
        without = [
            name
            for name, context in contexts.items()
            if not all(fill(text, context, {}) for text in (topic.answer, topic.short))
        ]
        if without:
            names = ", ".join(without[:MOST_NAMES])
            more = f" and {len(without) - MOST_NAMES} more" if len(without) > MOST_NAMES else ""
            message = f"nothing is left of this answer for {names}{more}"
            hint = "add a sentence without a placeholder that they have no figure for"
            yield subject.pages.problem("K603", message, topic.place.path, "answer", hint=hint)


def _contexts(base: KnowledgeBase) -> Iterator[tuple[str, Context]]:
    """Nothing known, and each product, weed, lawn grass and region known alone."""
    yield "nobody in particular", Context(base, SOME_DAY)
    for product in base.products.values():
        yield product.id, Context(base, SOME_DAY, product=product)
    for weed in base.weeds.values():
        yield weed.id, Context(base, SOME_DAY, weed=weed)
    for turf in base.turf.values():
        yield turf.id, Context(base, SOME_DAY, turf=turf)
    for region in base.regions.values():
        yield region.id, Context(base, SOME_DAY, region=region)
