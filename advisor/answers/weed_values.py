"""Placeholders filled from the weed at hand: sprays needed, best months, seed life, looks.

The figures are those the diagnosis judges by; months are moved to the region where it is known.
Nothing here looks at the question.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from advisor.answers.context import Context
from advisor.answers.filling import Fill, Filling, nothing, over, said, wide, worded
from advisor.fact import KNOWLEDGE, LABEL, Origin
from advisor.model import DayOfYear, Product, Region, Season, Weed
from advisor.terms import Span

BEST = "best"
MOST_PRODUCTS = 3
MOST_LOOKALIKES = 2
LEAST_DAYS_OF_MONTH = 7
"""A month counts as part of a season from this many of its days on."""
SOME_YEAR = 2023


def _of(ctx: Context) -> Origin:
    return Origin(KNOWLEDGE, ctx.weed.name if ctx.weed else "")


def _figure(name: str, unit: str, of_weed: Callable[[Weed], Span]) -> Fill:
    """A figure of the weed; the range over all weeds where none is known."""

    def fill(ctx: Context) -> Filling:
        if ctx.weed is not None:
            span, origin = of_weed(ctx.weed), _of(ctx)
        else:
            weeds = ctx.base.weeds.values()
            if not weeds:
                return said(ctx, name, f"answer-{name.replace('_', '-')}")
            span, origin = wide(of_weed(w) for w in weeds), over(len(weeds), "weeds")
        known = ctx.weed is not None
        words, by = worded(ctx, span, unit), "" if known else "weed"
        return Filling(name, words, origin, known, span, unit, by=by)

    return fill


def _text(name: str, of_weed: Callable[[Context, Weed], str]) -> Fill:
    """Words about the weed; a phrase of the knowledge base where none is known."""

    def fill(ctx: Context) -> Filling:
        if ctx.weed is None:
            return said(ctx, name, f"answer-{name.replace('_', '-')}")
        words = of_weed(ctx, ctx.weed)
        return Filling(name, words, _of(ctx), True) if words else nothing(name, _of(ctx))

    return fill


def _pair(numbers: tuple[int, int]) -> Span:
    return Span(*numbers)


def _best_season(ctx: Context, weed: Weed) -> str:
    best = [s for s in weed.seasons if s.fit == BEST]
    speech = ctx.base.speech
    return speech.one_of([speech.month_range(*_months(s, ctx.region)) for s in _joined(best)])


def _joined(seasons: list[Season]) -> list[tuple[DayOfYear, DayOfYear]]:
    """The seasons as first and last days, neighbours joined, in the order of the year."""
    parts = sorted(
        ((s.stretch.first, s.stretch.last) for s in seasons), key=lambda ends: ends[0].ordinal
    )
    joined: list[tuple[DayOfYear, DayOfYear]] = []
    for first, last in parts:
        if joined and joined[-1][1].ordinal % 365 + 1 == first.ordinal:
            joined[-1] = (joined[-1][0], last)
        else:
            joined.append((first, last))
    if len(joined) > 1 and joined[-1][1].ordinal % 365 + 1 == joined[0][0].ordinal:
        joined[0] = (joined.pop()[0], joined[0][1])
    return joined


def _months(ends: tuple[DayOfYear, DayOfYear], region: Region | None) -> tuple[int, int]:
    """The first and the last month of a stretch that hold at least a week of it."""
    first, last = (_here(day, region) for day in ends)
    if last < first:
        last = last.replace(year=last.year + 1)
    days = [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]
    months = list(dict.fromkeys((d.year, d.month) for d in days))
    full = [
        m for m in months if sum((d.year, d.month) == m for d in days) >= LEAST_DAYS_OF_MONTH
    ] or months
    return full[0][1], full[-1][1]


def _here(day: DayOfYear, region: Region | None) -> dt.date:
    """A day of the north-temperate year as it falls in the region; the way back of `weed_day`."""
    date = day.in_year(SOME_YEAR)
    if region is None:
        return date
    shift = region.shift_days - (182 if region.hemisphere == "south" else 0)
    return (date + dt.timedelta(days=shift)).replace(year=SOME_YEAR)


def _kept_out(ctx: Context, weed: Weed) -> str:
    """What helps best; nothing in another language while it is not translated."""
    best = weed.kept_out_by[0].say if weed.kept_out_by else ""
    english = ctx.base.original
    if english is not None and best in [one.say for one in english.weeds[weed.id].kept_out_by]:
        return ""
    return best


def _lookalike(ctx: Context, weed: Weed) -> str:
    decides = [
        one.decide
        for one in weed.lookalikes
        if ctx.other_weed is None or one.weed == ctx.other_weed.id
    ] or [one.decide for one in weed.lookalikes]
    return " ".join(decides[:MOST_LOOKALIKES])


def _looks(ctx: Context, weed: Weed) -> str:
    shown = []
    for trait, value in weed.traits.items():
        form = ctx.base.phrases.get(f"look-{trait.replace('_', '-')}")
        if form is not None and value != "none":
            shown.append(form.format(value=value.replace("-", " ")))
    return ", ".join(shown)


def products_for(ctx: Context, weed: Weed) -> tuple[Product, ...]:
    """The products to name for a weed: listed for it, fit for the lawn, best choice first."""

    def order(product: Product) -> tuple[bool, bool, bool, str]:
        return (
            product.kind == "non-selective",
            product.homeowner != "yes",
            product.kind == "pre-emergent",
            product.name,
        )

    for listed in ("controls", "suppresses"):
        found = [p for p in ctx.base.products.values() if p.lists(weed.id) == listed]
        if ctx.turf is not None:
            found = [p for p in found if ctx.turf.id not in p.turf_injured]
        lawn = [p for p in found if p.kind != "non-selective"]
        home = [p for p in lawn or found if p.homeowner == "yes"]
        if found:
            return tuple(sorted(home or lawn or found, key=order))
    return ()


def _products(ctx: Context) -> Filling:
    if ctx.weed is None:
        return said(ctx, "products", "answer-products")
    names = [p.name for p in products_for(ctx, ctx.weed)[:MOST_PRODUCTS]]
    if not names:
        return said(ctx, "products", "answer-products-none", known=True)
    origin = Origin(LABEL, f"labels that list {ctx.weed.name}")
    return Filling("products", ctx.base.speech.one_of(names), origin, True)


WEED_VALUES: dict[str, Fill] = {
    "weed": _text("weed", lambda _, w: w.name),
    "applications": _figure("applications", "count", lambda w: _pair(w.retreatments.applications)),
    "retreat_interval": _figure(
        "retreat_interval", "days", lambda w: _pair(w.retreatments.interval_days)
    ),
    "seasons": _figure("seasons", "count", lambda w: _pair((w.retreatments.seasons,) * 2)),
    "seed_life": _figure("seed_life", "years", lambda w: w.seed_life_years),
    "best_season": _text("best_season", _best_season),
    "unit": _text("unit", lambda _, w: w.unit),
    "kept_out": _text("kept_out", _kept_out),
    "lookalike": _text("lookalike", _lookalike),
    "looks": _text("looks", _looks),
    "products": _products,
}
