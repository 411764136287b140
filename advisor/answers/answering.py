"""A question answered: found, filled in, or honestly not answered.

The door to this package for the command line and the desk. It keeps nothing and prints nothing;
who asks records what could not be answered (see `unanswered`).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from advisor.answers.compose import Composed, compose
from advisor.answers.context import Context
from advisor.answers.entities import context_of
from advisor.answers.finding import Finder, Found, Verdict
from advisor.model import KnowledgeBase


@dataclass(frozen=True, slots=True)
class Reply:
    """What is said to a question, and what it was understood to be about.

    `also` is what else was asked where first aid had to come first. `found` is None where the
    question holds no word at all.
    """

    question: str
    context: Context
    found: Found | None
    composed: Composed | None = None
    also: Composed | None = None

    @property
    def verdict(self) -> Verdict:
        """Answered, asked back, or not answered."""
        return self.found.verdict if self.found is not None else Verdict.NONE


class Answerer:
    """Answers questions from one knowledge base; what it learns is kept in the cache folder."""

    def __init__(self, base: KnowledgeBase, cache: Path | None = None) -> None:
        self.base = base
        self.finder = Finder(base, cache)

    def answer(self, question: str, options: Context, call: Context | None = None) -> Reply:
        """The reply to a question. `options` is what was told beside it."""
        found = self.finder.find(question)
        if found is None:
            return Reply(question, options, None)
        ctx = context_of(question, found.reading, self.base, options, call)
        if found.verdict is not Verdict.ANSWER:
            return Reply(question, ctx, found)
        also = compose(found.also, ctx) if found.also is not None else None
        return Reply(question, ctx, found, compose(found.best.topic, ctx), also)
