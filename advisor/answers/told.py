"""Amounts in the question held against the figures of the answer.

A homeowner who says `it rained after two hours` hears how that compares with the figure the
answer gives. It compares and judges nothing: what the figure means is for the answer to say.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.answers.context import Context
from advisor.answers.filling import Filling
from advisor.terms import Span
from advisor.units import Amount, dimension_of, show_amount

COMPARED = (
    *("rainfast", "interval", "mow_before", "mow_after", "seed_after", "new_grass", "residual"),
    *("first_days", "full_days", "keeps", "temperature", "temperature_low", "temperature_high"),
)
"""Figures that an amount in a question can fall short of."""


def comparisons(fillings: Iterable[Filling], ctx: Context) -> Iterator[str]:
    """A sentence for the first amount of each kind, on the first figure of that kind."""
    figures = [f for f in fillings if f.name in COMPARED and f.span is not None]
    held = set()
    for amount in ctx.told:
        alike = [f for f in figures if dimension_of(f.unit) == amount.dimension]
        if alike and amount.dimension not in held:
            held.add(amount.dimension)
            yield _sentence(amount, alike[0], ctx)


def _sentence(amount: Amount, figure: Filling, ctx: Context) -> str:
    assert figure.span is not None
    span, told = figure.span, amount.to(figure.unit)
    if told.high < span.low:
        name, figures = "under", Span(span.low, span.low)
    elif told.low > span.high:
        name, figures = "over", Span(span.high, span.high)
    elif not figure.known:
        name, figures = "depends", span
    elif span.low <= told.low and told.high <= span.high and span.low < span.high:
        name, figures = "inside", span
    else:
        name, figures = "beside", span
    words = ctx.base.speech.figure(show_amount(amount))
    said = ctx.base.speech.amount(figures, figure.unit)
    return ctx.base.phrases[f"answer-told-{name}"].format(told=words, figure=said)
