"""One placeholder filled in: the words, the figure behind them, where it comes from.

Made by the functions of `product_values`, `weed_values` and `case_values`, put into texts by
`compose`. It formats what the knowledge base says and works nothing out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from advisor.answers.context import Context
from advisor.fact import KNOWLEDGE, Origin
from advisor.terms import Span


@dataclass(frozen=True, slots=True)
class Filling:
    """What a placeholder says in this context.

    `known` tells a figure of the thing at hand from the range over the whole knowledge base.
    `dropped` means that nothing is to be said: the label has no such rule, and the sentence that
    holds the placeholder is left out. `by` says what a range differs by: product, weed or turf.
    """

    name: str
    words: str
    origin: Origin
    known: bool
    span: Span | None = None
    unit: str = ""
    dropped: bool = False
    by: str = ""


Fill = Callable[[Context], Filling]


def wide(spans: Iterable[Span]) -> Span:
    """The range over several ranges."""
    found = list(spans)
    return Span(min(s.low for s in found), max(s.high for s in found))


def worded(ctx: Context, span: Span, unit: str) -> str:
    """A figure in words; a range from nothing on reads `up to`."""
    if span.low == 0 < span.high:
        most = ctx.base.speech.amount(Span(span.high, span.high), unit)
        return ctx.base.phrases["answer-up-to"].format(figure=most)
    return ctx.base.speech.amount(span, unit)


def over(count: int, what: str) -> Origin:
    """The origin of a range over the knowledge base."""
    return Origin(KNOWLEDGE, f"the range over {count} {what}")


def said(ctx: Context, name: str, phrase: str, *, known: bool = False) -> Filling:
    """A phrase of the knowledge base in place of a figure."""
    return Filling(name, ctx.base.phrases[phrase], Origin(KNOWLEDGE, f"phrase {phrase}"), known)


def nothing(name: str, origin: Origin) -> Filling:
    """The thing at hand has no such rule."""
    return Filling(name, "", origin, known=True, dropped=True)
