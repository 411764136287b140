"""K312: every placeholder in an answer can be filled.

Answers have placeholders of their own, such as `{rainfast}` and `{best_season}`. Anything else in
braces would be read out to the caller as it stands.

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
    answer: Rest for {rainfast}.
    short: Rest when you are tired.
    technician: Rest when you are tired.
    from: demo

FAIL:
    answer: Rest for {rainfest}.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from advisor.answers.values import VALUES
from advisor.checking.pages import Keys
from advisor.checking.placeholders import BRACED
from advisor.checking.subject import Subject
from advisor.model import Topic
from advisor.names import did_you_mean
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The texts of answers with a placeholder that nothing fills, or a brace left over."""
    for topic in subject.base.answers.values():
        path = topic.place.path
        for keys, text in _texts(topic):
            for name in dict.fromkeys(BRACED.findall(text)):
                if name not in VALUES:
                    hint = did_you_mean(name, VALUES)
                    message = f"nothing fills in {{{name}}}"
                    yield subject.pages.problem("K312", message, path, *keys, hint=hint)
            if re.search(r"[{}]", BRACED.sub("", text)):
                message = "a brace without its partner"
                yield subject.pages.problem("K312", message, path, *keys)


def _texts(topic: Topic) -> Iterator[tuple[Keys, str]]:
    """The texts of a topic that are filled in, with their places."""
    if topic.lead:
        yield ("lead",), topic.lead
    yield ("answer",), topic.answer
    yield ("short",), topic.short
    for i, addition in enumerate(topic.add):
        yield ("add", i, "say"), addition.say
    yield ("technician",), topic.technician
