"""A topic put into words for a context: texts filled in, additions chosen, a version stamped.

Takes the topic that `finding` found and the context; `render` lays the result out. It adds no word
that the knowledge base does not hold, and leaves out a sentence whose rule the label does not have.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from advisor.answers.conditions import holds
from advisor.answers.context import Context
from advisor.answers.filling import Filling
from advisor.answers.told import comparisons
from advisor.answers.values import VALUES
from advisor.model import Topic

PLACEHOLDER = re.compile(r"\{([a-z][a-z0-9_]*)\}")
SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[\"'(]?[A-Z0-9{¿¡])")
VERSION_LENGTH = 8
MARK_LENGTH = VERSION_LENGTH + len(" []")
"""What the version takes up in a text message."""


@dataclass(frozen=True, slots=True)
class Composed:
    """The answer in words. `told` are sentences about amounts in the question itself."""

    topic: Topic
    lead: str
    answer: str
    short: str
    added: tuple[str, ...]
    told: tuple[str, ...]
    technician: str
    fillings: Mapping[str, Filling]
    version: str


def compose(topic: Topic, ctx: Context) -> Composed:
    """The texts of a topic, filled in."""
    used: dict[str, Filling] = {}
    lead = fill(topic.lead or "", ctx, used)
    answer = fill(topic.answer, ctx, used)
    told = tuple(comparisons(used.values(), ctx))
    short = fill(topic.short, ctx, used)
    added = tuple(fill(one.say, ctx, used) for one in topic.add if holds(one, ctx))
    technician = fill(topic.technician, ctx, used)
    no_rule = fill(ctx.base.phrases["answer-no-rule"], ctx, {}) if not (answer and short) else ""
    answer, short = answer or no_rule, short or no_rule
    added = tuple(text for text in dict.fromkeys(added) if text)
    texts = (topic.id, lead, answer, short, *added, technician)
    version = _version(texts, used)
    return Composed(topic, lead, answer, short, added, told, technician, used, version)


def fill(text: str, ctx: Context, used: dict[str, Filling]) -> str:
    """A text with its placeholders filled in; what they say is noted in `used`.

    A sentence is left out where the thing at hand has no rule for one of its placeholders. A
    placeholder that nothing fills stays as it is, for `checking` to find.
    """
    said = []
    for sentence in SENTENCE.split(" ".join(text.split())):
        named = [name for name in PLACEHOLDER.findall(sentence) if name in VALUES]
        fillings = {name: VALUES[name](ctx) for name in named}
        used.update(fillings)
        if not any(filling.dropped for filling in fillings.values()):
            said.append(_put(sentence, fillings))
    return " ".join(said)


def _put(sentence: str, fillings: Mapping[str, Filling]) -> str:
    filled = PLACEHOLDER.sub(
        lambda found: fillings[found[1]].words if found[1] in fillings else found[0], sentence
    )
    filled = re.sub(r"([.!?])\.(?!\.)", r"\1", filled)
    return filled[:1].upper() + filled[1:]


def _version(texts: tuple[str, ...], used: Mapping[str, Filling]) -> str:
    """A short digest of everything said and every figure used, alike for all channels."""
    figures = [f"{name}={used[name].words}" for name in sorted(used)]
    digest = hashlib.sha256("\x1f".join((*texts, *figures)).encode())
    return digest.hexdigest()[:VERSION_LENGTH]
