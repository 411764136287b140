"""Placeholders filled from the lawn, the region, the call and the amounts in the question.

What a call gives is what its diagnosis page says: the same dates, kind, cause and change. Nothing
here is worked out but the product for an area, which is the label's rate times that area.
"""

from __future__ import annotations

import datetime as dt
import re

from advisor.answers.context import Context
from advisor.answers.filling import Fill, Filling, nothing, over, said, wide
from advisor.answers.product_values import rate_of
from advisor.diagnosis import Diagnosis
from advisor.fact import KNOWLEDGE, LABEL, TOLD, WORKED_OUT, Origin
from advisor.model import DayOfYear, Region
from advisor.terms import Span
from advisor.units import show, show_amount
from advisor.windows import words

PLACEHOLDER = re.compile(r"\{([a-z][a-z0-9_.-]*)\}")
RATE_AREA = "1000 ft2"


def _turf(ctx: Context) -> Filling:
    if ctx.turf is None:
        return said(ctx, "turf", "answer-turf")
    return Filling("turf", ctx.turf.name, Origin(KNOWLEDGE, ctx.turf.name), True)


def _turf_height(ctx: Context) -> Filling:
    if ctx.turf is not None:
        span, origin = ctx.turf.mowing_height_in, Origin(KNOWLEDGE, ctx.turf.name)
    else:
        groups = [t for t in ctx.base.turf.values() if t.members]
        if not groups:
            return said(ctx, "turf_height", "answer-turf-height")
        span, origin = wide(t.mowing_height_in for t in groups), over(len(groups), "kinds of lawn")
    words, by = ctx.base.speech.amount(span, "in"), "" if ctx.turf else "turf"
    return Filling("turf_height", words, origin, not by, span, "in", by=by)


def _frost(name: str, last: bool) -> Fill:
    def day(region: Region) -> DayOfYear:
        return region.last_spring_frost if last else region.first_fall_frost

    def fill(ctx: Context) -> Filling:
        if ctx.region is None:
            return said(ctx, name, f"answer-{name.replace('_', '-')}")
        found = day(ctx.region)
        words = ctx.base.speech.day(found.month, found.day)
        return Filling(name, words, Origin(KNOWLEDGE, ctx.region.name), True)

    return fill


def _date(ctx: Context, name: str, date: dt.date | None) -> Filling:
    if date is None or ctx.diagnosis is None:
        return said(ctx, name, f"answer-{name.replace('_', '-')}")
    words = ctx.base.speech.day(date.month, date.day)
    return Filling(name, words, _worked_out(ctx.diagnosis), True)


def _worked_out(found: Diagnosis) -> Origin:
    return Origin(WORKED_OUT, f"the diagnosis of {found.call.reference}")


def _next_spray(ctx: Context) -> Filling:
    date = None
    if ctx.diagnosis is not None and ctx.diagnosis.look.not_before is not None:
        date = max(ctx.diagnosis.look.not_before, ctx.diagnosis.call.reported)
    return _date(ctx, "next_spray", date)


def _look_from(ctx: Context) -> Filling:
    return _date(ctx, "look_from", ctx.diagnosis.look.first if ctx.diagnosis else None)


def _look_to(ctx: Context) -> Filling:
    return _date(ctx, "look_to", ctx.diagnosis.look.last if ctx.diagnosis else None)


def _look(ctx: Context) -> Filling:
    """When to look again, as the customer page of the diagnosis says it."""
    found = ctx.diagnosis
    if found is None:
        return said(ctx, "look", "answer-look")
    look, speech = found.look, ctx.base.speech
    late = look.not_before is not None and look.not_before > found.call.reported
    name = "waits" if look.waits else "after" if late else "plain"
    dates = {"first": look.first, "last": look.last, "not_before": look.not_before or look.first}
    text = ctx.base.phrases[f"customer-look-{name}"].format(
        **{key: speech.day(date.month, date.day) for key, date in dates.items()}
    )
    return Filling("look", text, _worked_out(found), True)


def _kind(ctx: Context) -> Filling:
    if ctx.diagnosis is None:
        return said(ctx, "kind", "answer-kind")
    title = ctx.diagnosis.kind.kind.title
    return Filling("kind", title, _worked_out(ctx.diagnosis), True)


def _main_cause(ctx: Context) -> Filling:
    found = ctx.diagnosis
    causes = (*found.shown, *found.beside) if found else ()
    if found is None or not causes:
        return said(ctx, "main_cause", "answer-main-cause")
    return Filling("main_cause", causes[0].cause.title, _worked_out(found), True)


def _main_change(ctx: Context) -> Filling:
    found = ctx.diagnosis
    if found is None or not found.changes:
        return said(ctx, "main_change", "answer-main-change")
    text = found.changes[0].remedies[0].customer
    filled = _filled(text, found, ctx)
    return Filling("main_change", filled, _worked_out(found), True)


def _filled(text: str, found: Diagnosis, ctx: Context) -> str:
    """A text of the diagnosis with its weed, its product and its facts, as its pages fill them."""

    days = words(ctx.base, found.case(ctx.base))

    def put(place: re.Match[str]) -> str:
        name = place[1]
        if name in days:
            return days[name]
        if name == "weed":
            return ctx.weed.name if ctx.weed else ctx.base.phrases["answer-weed"]
        if name == "product":
            return ctx.product.name if ctx.product else ctx.base.phrases["answer-product"]
        value, fact = found.values[-1].get(name), ctx.base.facts.get(name)
        if value is None or fact is None:
            return place[0]
        if isinstance(value, Span):
            return ctx.base.speech.amount(value, fact.unit)
        options = [fact.options[o].says for o in fact.options if o in value.possible]
        return ctx.base.speech.one_of(options)

    return PLACEHOLDER.sub(put, text)


def _area(ctx: Context) -> Filling:
    if ctx.area is None:
        return said(ctx, "area", "answer-area")
    words = ctx.base.speech.figure(show_amount(ctx.area))
    span = ctx.area.to(ctx.area.unit)
    return Filling("area", words, Origin(TOLD, ctx.area.text), True, span, ctx.area.unit)


def _product_for_area(ctx: Context) -> Filling:
    name = "product_for_area"
    rate = rate_of(ctx, ctx.product) if ctx.product else None
    if ctx.product is None or ctx.area is None or rate is None:
        return said(ctx, name, "answer-product-for-area")
    measure = rate.unit.split("/")[0]
    areas = [end / 1000 for end in ctx.area.exact("ft2")]
    rates = rate.exact(f"{measure}/{RATE_AREA}")
    span = Span(float(areas[0] * rates[0]), float(areas[1] * rates[1]))
    words = ctx.base.speech.figure(show(span, measure))
    origin = Origin(LABEL, f"{ctx.product.name}, {show_amount(rate)}")
    return Filling(name, words, origin, True, span, measure)


def _tank(ctx: Context) -> Filling:
    if ctx.tank is None:
        return said(ctx, "tank", "answer-tank")
    words = ctx.base.speech.figure(show_amount(ctx.tank))
    span = ctx.tank.to(ctx.tank.unit)
    return Filling("tank", words, Origin(TOLD, ctx.tank.text), True, span, ctx.tank.unit)


def _product_for_tank(ctx: Context) -> Filling:
    """The label's spot mix, times the water in the tank."""
    name, spot = "product_for_tank", ctx.product.spot if ctx.product else None
    if ctx.product is None or ctx.tank is None:
        return said(ctx, name, "answer-product-for-tank")
    origin = Origin(LABEL, ctx.product.name)
    if spot is None:
        return nothing(name, origin)
    measure = spot.unit.split("/")[0]
    mixes, gallons = spot.exact(f"{measure}/gal"), ctx.tank.exact("gal")
    span = Span(float(mixes[0] * gallons[0]), float(mixes[1] * gallons[1]))
    words = ctx.base.speech.figure(show(span, measure))
    origin = Origin(LABEL, f"{ctx.product.name}, {show_amount(spot)}")
    return Filling(name, words, origin, True, span, measure)


CASE_VALUES: dict[str, Fill] = {
    "turf": _turf,
    "turf_height": _turf_height,
    "last_frost": _frost("last_frost", True),
    "first_frost": _frost("first_frost", False),
    "next_spray": _next_spray,
    "look": _look,
    "look_from": _look_from,
    "look_to": _look_to,
    "kind": _kind,
    "main_cause": _main_cause,
    "main_change": _main_change,
    "area": _area,
    "product_for_area": _product_for_area,
    "tank": _tank,
    "product_for_tank": _product_for_tank,
}
