"""K702: a topic knows at least eight ways of asking for it.

The finder learns from them; with fewer it would know one person's words only.

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
    ask: [may I rest now]
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.problem import Problem

FEWEST = 8


def check(subject: Subject) -> Iterator[Problem]:
    """The topics with too few ways of asking."""
    for topic in subject.base.answers.values():
        if len(topic.ask) < FEWEST:
            message = f"{len(topic.ask)} ways of asking are too few; {FEWEST} are needed"
            path = topic.place.path
            yield subject.pages.problem("K702", message, path, "ask", at_key=True)
