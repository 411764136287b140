"""Placeholders filled from a label: rates, waits, temperatures, what to wear.

Where the call's label was read out over the phone its figures come first, as they do in a
diagnosis; where no product is known the range over all labels is given. Nothing here looks at the
question.
"""

from __future__ import annotations

from collections.abc import Callable

from advisor.answers.context import Context
from advisor.answers.filling import Fill, Filling, nothing, over, said, wide, worded
from advisor.derive.label import Label
from advisor.fact import LABEL, Origin
from advisor.model import Product
from advisor.terms import Span
from advisor.units import Amount, show_amount

PER_YEAR = "count"
MOST_NAMES = 4
MEASURED, SPOON = "fl oz", "tbsp"
MOST_SPOONS = 8
"""Beyond so many tablespoons one takes a cup."""
OUNCES_OF_GALLON = 128
SIGNAL_WORDS = ("CAUTION", "WARNING", "DANGER")

SpanOf = Callable[[Product], Span | None]


def told_label(ctx: Context) -> Label | None:
    """The label as the call has it, where it is the label of the product at hand."""
    label = ctx.diagnosis.label if ctx.diagnosis else None
    if label is None or (ctx.product is not None and label.product is not ctx.product):
        return None
    return label


def _origin(ctx: Context) -> Origin:
    label = told_label(ctx)
    if label is not None:
        return label.origin
    return Origin(LABEL, ctx.product.name if ctx.product else "")


def _figure(name: str, unit: str, of_product: SpanOf, told: str | None = None) -> Fill:
    """A figure of a label; `told` names what a label read out over the phone may give instead."""

    def fill(ctx: Context) -> Filling:
        label = told_label(ctx)
        read = getattr(label, told) if label is not None and told else None
        span = _as_span(read)
        origin, known = _origin(ctx), True
        if span is None and ctx.product is not None:
            span = of_product(ctx.product)
            if span is None:
                return nothing(name, origin)
        if span is None:
            spans = [s for p in ctx.base.products.values() if (s := of_product(p)) is not None]
            if not spans:
                return said(ctx, name, f"answer-{name.replace('_', '-')}")
            span, origin, known = wide(spans), over(len(spans), "labels"), False
        words, by = worded(ctx, span, unit), "" if known else "product"
        return Filling(name, words, origin, known, span, unit, by=by)

    return fill


def _as_span(read: object) -> Span | None:
    if isinstance(read, Span):
        return read
    return Span(read, read) if isinstance(read, (int, float)) else None


def _sprayed(value: Callable[[Product], float]) -> SpanOf:
    """A wait that only a label with a wait has: none is set for granules spread dry."""

    def of(product: Product) -> Span | None:
        found = value(product)
        return Span(found, found) if found > 0 else None

    return of


def _maybe(value: Callable[[Product], float | None]) -> SpanOf:
    """A figure that not every label has."""

    def of(product: Product) -> Span | None:
        found = value(product)
        return None if found is None else Span(found, found)

    return of


def _shows(value: Callable[[Product], Span]) -> SpanOf:
    """How long until it shows; a label that stops seeds alone has nothing to show."""

    def of(product: Product) -> Span | None:
        found = value(product)
        return found if found.high > 0 else None

    return of


def _text(name: str, of_product: Callable[[Context, Product], str | None]) -> Fill:
    """Words of a label; a phrase of the knowledge base where no product is known."""

    def fill(ctx: Context) -> Filling:
        if ctx.product is None:
            return said(ctx, name, f"answer-{name.replace('_', '-')}")
        words = of_product(ctx, ctx.product)
        origin = Origin(LABEL, ctx.product.name)
        return Filling(name, words, origin, True) if words else nothing(name, origin)

    return fill


def _amount(name: str, of_product: Callable[[Context, Product], Amount | None]) -> Fill:
    """An amount of a label. Amounts of different products are no range: one says the label's."""

    def fill(ctx: Context) -> Filling:
        label = told_label(ctx)
        read = label.rate if label is not None and name == "rate" else None
        if ctx.product is None and read is None:
            return said(ctx, name, f"answer-{name.replace('_', '-')}")
        amount = read or (of_product(ctx, ctx.product) if ctx.product else None)
        if amount is None:
            return nothing(name, _origin(ctx))
        words = in_spoons(ctx, ctx.base.speech.figure(show_amount(amount)), amount)
        return Filling(name, words, _origin(ctx), True, amount.to(amount.unit), amount.unit)

    return fill


def in_spoons(ctx: Context, words: str, amount: Amount) -> str:
    """An amount in words, with the tablespoons it makes where that is a measure at hand."""
    measure, _, per = amount.unit.partition("/")
    if measure != MEASURED:
        return words
    least, most = amount.exact(f"{SPOON}/{per}" if per else SPOON)
    if least != most or most * 2 % 1 or most > MOST_SPOONS:
        return words
    spoons = ctx.base.speech.amount(_one(float(most)), SPOON)
    return ctx.base.phrases["answer-spoons"].format(amount=words, spoons=spoons)


def rate_of(ctx: Context, product: Product) -> Amount | None:
    """The label's rate for the weed at hand."""
    rate = product.rate_for(ctx.weed.id if ctx.weed else None)
    return rate.amount if rate else None


def _controls(ctx: Context, product: Product) -> str:
    listed = [*product.controls, *product.suppresses]
    if ctx.weed is not None and ctx.weed.id in listed:
        listed = [ctx.weed.id, *(w for w in listed if w != ctx.weed.id)]
    return ctx.base.speech.all_of([ctx.base.weeds[w].name for w in listed[:MOST_NAMES]])


def _surfactant(ctx: Context, product: Product) -> str:
    called = product.surfactant
    if not called.called_for:
        return ctx.base.phrases["answer-surfactant-none"]
    if called.amount is None:
        return str(called.kind)
    speech, share = ctx.base.speech, called.amount.to("%")
    ounces = Span(share.low * OUNCES_OF_GALLON / 100, share.high * OUNCES_OF_GALLON / 100)
    return ctx.base.phrases["answer-surfactant-share"].format(
        kind=called.kind,
        share=speech.figure(show_amount(called.amount)),
        ounces=speech.amount(ounces, MEASURED),
    )


def _water_in(ctx: Context) -> Filling:
    name = "water_in"
    whole = ctx.base.products.values()
    granules = [p for p in ([ctx.product] if ctx.product else whole) if p.water_in_amount]
    if not granules:
        return nothing(name, _origin(ctx)) if ctx.product else said(ctx, name, "answer-water-in")
    inches = wide(p.water_in_amount.to("in") for p in granules if p.water_in_amount)
    days = wide(Span(p.water_in_days or 0, p.water_in_days or 0) for p in granules)
    speech = ctx.base.speech
    words = ctx.base.phrases["answer-water-in-words"].format(
        amount=speech.amount(inches, "in"), time=speech.amount(days, "days")
    )
    origin = _origin(ctx) if ctx.product else over(len(granules), "labels")
    by = "" if ctx.product else "product"
    return Filling(name, words, origin, not by, inches, "in", by=by)


def _signal_word(ctx: Context) -> Filling:
    if ctx.product is not None:
        origin = Origin(LABEL, ctx.product.name)
        return Filling("signal_word", ctx.product.signal_word, origin, True)
    used = {p.signal_word for p in ctx.base.products.values()}
    words = ctx.base.speech.one_of([w for w in SIGNAL_WORDS if w in used])
    return Filling("signal_word", words, over(len(ctx.base.products), "labels"), False)


def _product(ctx: Context) -> Filling:
    if ctx.product is None:
        return said(ctx, "product", "answer-product")
    return Filling("product", ctx.product.name, Origin(LABEL, ctx.product.name), True)


def _one(value: float) -> Span:
    return Span(value, value)


PRODUCT_VALUES: dict[str, Fill] = {
    "product": _product,
    "rate": _amount("rate", rate_of),
    "per_gallon": _amount("per_gallon", lambda _, p: p.spot),
    "water": _figure(
        "water", "gal/1000 ft2", lambda p: p.water.to("gal/1000 ft2") if p.water else None
    ),
    "rainfast": _figure(
        "rainfast",
        "h",
        lambda p: None if p.rainfast_h is None else _one(p.rainfast_h),
        "rainfast_h",
    ),
    "interval": _figure("interval", "days", lambda p: _one(p.interval_days), "interval_days"),
    "per_year": _figure("per_year", PER_YEAR, lambda p: _one(p.per_year), "per_year"),
    "temperature": _figure("temperature", "F", lambda p: p.temperature, "temperature"),
    "mow_before": _figure("mow_before", "h", _sprayed(lambda p: p.mow_before_h)),
    "mow_after": _figure("mow_after", "h", _sprayed(lambda p: p.mow_after_h)),
    "seed_after": _figure("seed_after", "days", lambda p: _one(p.seed_after_days)),
    "new_grass": _figure("new_grass", "days", lambda p: _one(p.new_grass_days), "new_grass_days"),
    "first_days": _figure("first_days", "days", _shows(lambda p: p.first_days)),
    "full_days": _figure("full_days", "days", _shows(lambda p: p.full_days)),
    "residual": _figure("residual", "days", lambda p: p.residual_days),
    "keeps": _figure("keeps", "years", lambda p: _one(p.keeps_years)),
    "reentry": _text("reentry", lambda _, p: p.reentry),
    "near_water": _text("near_water", lambda _, p: p.near_water),
    "storage": _text("storage", lambda _, p: p.storage),
    "protective": _text("protective", lambda ctx, p: ctx.base.speech.all_of(p.protective)),
    "surfactant": _text("surfactant", _surfactant),
    "controls": _text("controls", _controls),
    "water_in": _water_in,
    "signal_word": _signal_word,
}


def _end(name: str, pick: Callable[[Span], float]) -> Fill:
    """One end of the label's temperatures; over all labels the range of that end."""

    def of(product: Product) -> Span | None:
        return _one(pick(product.temperature)) if product.temperature else None

    plain = _figure(name, "F", of)

    def fill(ctx: Context) -> Filling:
        label = told_label(ctx)
        if label is None or label.temperature is None:
            return plain(ctx)
        span = _one(pick(label.temperature))
        words = ctx.base.speech.amount(span, "F")
        return Filling(name, words, _origin(ctx), True, span, "F")

    return fill


PRODUCT_VALUES["temperature_low"] = _end("temperature_low", lambda span: span.low)
PRODUCT_VALUES["temperature_high"] = _end("temperature_high", lambda span: span.high)
