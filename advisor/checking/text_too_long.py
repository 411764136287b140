"""K704: an answer fits a text message, whatever it is filled with.

`lead` and `short` go out together, with every product or weed filled in; what does not fit would
have to be cut.

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
    short: >-
      Rest when you are tired. Rest when you are tired. Rest when you are tired. Rest when you are
      tired. Rest when you are tired. Rest when you are tired. Rest when you are tired. Rest when
      you are tired. Rest when you are tired. Rest when you are tired. Rest when you are tired.
      Rest when you are tired. Rest when you are tired. Rest when you are tired.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

from advisor.answers.compose import MARK_LENGTH, fill
from advisor.answers.context import Context
from advisor.checking.subject import Subject
from advisor.model import KnowledgeBase, Topic
from advisor.problem import Problem

LONGEST_TEXT = 320
ANY_DAY = dt.date(2000, 1, 1)


def check(subject: Subject) -> Iterator[Problem]:
    """The topics whose short answer gets too long, with the product or weed that makes it so."""
    contexts = list(_contexts(subject.base))
    for topic in subject.base.answers.values():
        longest, name = max((_length(topic, ctx), name) for name, ctx in contexts)
        if longest > LONGEST_TEXT:
            filled = f", filled in for {name}" if name else ""
            message = f"lead and short come to {longest} characters{filled}"
            hint = f"at most {LONGEST_TEXT} with the version fit a text message"
            path = topic.place.path
            yield subject.pages.problem("K704", message, path, "short", hint=hint)


def _length(topic: Topic, ctx: Context) -> int:
    texts = [fill(text, ctx, {}) for text in (topic.lead or "", topic.short)]
    return len(" ".join(text for text in texts if text)) + MARK_LENGTH


def _contexts(base: KnowledgeBase) -> Iterator[tuple[str, Context]]:
    """Nothing known, each product, and each weed."""
    nothing = Context(base, ANY_DAY)
    yield "", nothing
    for product in base.products.values():
        yield product.id, replace(nothing, product=product)
    for weed in base.weeds.values():
        yield weed.id, replace(nothing, weed=weed)
