"""A topic put into words for a context: texts filled in, additions chosen, a version stamped.

Takes the topic that `finding` found and the context; `render` lays the result out. It adds no word
that the knowledge base does not hold, and leaves out a sentence whose rule the label does not have.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from advisor.answers.conditions import holds
from advisor.answers.context import Context, in_words_of
from advisor.answers.filling import Filling
from advisor.answers.told import comparisons
from advisor.answers.values import VALUES
from advisor.model import Topic
from advisor.model.topics import AFTER, FIRST, INSTEAD

PLACEHOLDER = re.compile(r"\{([a-z][a-z0-9_]*)\}")
SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[\"'(]?[A-Z0-9{¿¡])")
VERSION_LENGTH = 8
MARK_LENGTH = VERSION_LENGTH + len(" []")
"""What the version takes up in a text message."""


@dataclass(frozen=True, slots=True)
class Composed:
    """The answer in words.

    `first` is said before the answer, `added` after it; `told` are sentences about amounts in the
    question itself; `exact` says what to tell us so that a range becomes a figure.
    """

    topic: Topic
    lead: str
    first: tuple[str, ...]
    answer: str
    short: str
    added: tuple[str, ...]
    told: tuple[str, ...]
    exact: str
    technician: str
    fillings: Mapping[str, Filling]
    version: str


def compose(topic: Topic, ctx: Context) -> Composed:
    """The texts of a topic, filled in."""
    ctx = in_words_of(topic, ctx)
    used: dict[str, Filling] = {}
    lead = fill(topic.lead or "", ctx, used)
    instead = " ".join(_additions(topic, INSTEAD, ctx, used))
    answer = instead or fill(topic.answer, ctx, used)
    told = tuple(comparisons(used.values(), ctx))
    short = instead or fill(topic.short, ctx, used)
    first = _additions(topic, FIRST, ctx, used)
    added = tuple(text for text in _additions(topic, AFTER, ctx, used) if text not in first)
    exact = _exact(used.values(), ctx)
    technician = fill(topic.technician, ctx, used)
    no_rule = fill(ctx.base.phrases["answer-no-rule"], ctx, {}) if not (answer and short) else ""
    answer, short = answer or no_rule, short or no_rule
    texts = (topic.id, lead, *first, answer, short, *added, technician)
    version = _version(texts, used)
    return Composed(
        topic, lead, first, answer, short, added, told, exact, technician, used, version
    )


def _additions(topic: Topic, place: str, ctx: Context, used: dict[str, Filling]) -> tuple[str, ...]:
    """The additions of a place whose tests hold, each once."""
    said = (fill(a.say, ctx, used) for a in topic.add if a.place == place and holds(a, ctx))
    return tuple(text for text in dict.fromkeys(said) if text)


def _exact(used: Iterable[Filling], ctx: Context) -> str:
    """What to ask for where a figure could only be given as a range."""
    by = next((filling.by for filling in used if filling.by), "")
    return ctx.base.phrases[f"answer-exact-{by}"] if by else ""


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
