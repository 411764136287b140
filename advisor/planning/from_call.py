"""From a diagnosis to a plan request: what the caller has, what was done, how much is still alive.

Stands between `diagnosis` and `planner`. Where the weed is not named, or the lawn's region is not
told, it says so instead of making a request.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from advisor.account import Call
from advisor.diagnosis import Diagnosis, StopFinding
from advisor.model import KnowledgeBase, Product
from advisor.planning.labels import NON_SELECTIVE
from advisor.planning.request import Alive, Done, Request
from advisor.terms import Truth

IDENTIFY = "identify-first"
FRESH_KINDS = ("new-seedlings", "crept-in", "missed", "different-plant")
"""Kinds of comeback in which what stands there now never had the spray."""
SEEDED = "seeded"
RESISTANT = "resistant-biotype"
RECENT_DAYS = 400
"""Seed sown longer ago is lawn by now."""


@dataclass(frozen=True)
class Refused:
    """Why no plan can be made of a call: `identify-first`, `no-weed` or `no-region`."""

    why: str
    stop: StopFinding | None = None


def request_from(
    found: Diagnosis, base: KnowledgeBase, region: str | None = None
) -> Request | Refused:
    """The request that a diagnosed call makes; a region given stands in for the call's own."""
    call = found.call
    weed, place = call.weed or call.weed_treated, region or call.region
    unsure = next(
        (s for s in found.stops if s.stop.id == IDENTIFY and s.truth is Truth.SHOWN), None
    )
    if unsure is not None:
        return Refused(IDENTIFY, unsure)
    if weed is None:
        return Refused("no-weed")
    if place is None:
        return Refused("no-region")
    products = tuple(dict.fromkeys(p for p in _products(call) if p is not None))
    return Request(
        weeds=(weed,),
        region=place,
        start=call.reported,
        turf=call.turf,
        not_before=_not_before(found),
        seeding=_seeding(call),
        done=tuple(_done(call)),
        alive={weed: alive_of(found)},
        features=call.features,
        labels=_labels(call, base),
        spot_kill=any(base.products[p].kind == NON_SELECTIVE for p in products),
        at_hand=products,
        resisted={weed: _resisted(found, base, weed)},
        reference=call.reference,
    )


def alive_of(found: Diagnosis) -> Alive:
    """The share of the weed alive now: as seen, else what the sprayings are expected to have left.

    What is seen while the last spraying is still at work says nothing of what it will leave.
    Seedlings, plants that crept in and spots that were missed never had the spray: all of those
    that stand there are alive.
    """
    seen = alive_seen(found)
    if seen is not None:
        return seen
    if not found.call.applications or found.kind.kind.id in FRESH_KINDS:
        return 1.0, 1.0, 1.0
    done = found.weighing.done
    return 1 - done.high, 1 - done.expected, 1 - done.low


def alive_seen(found: Diagnosis) -> Alive | None:
    """The share seen alive, where somebody looked and the last spraying has done its work."""
    seen = found.seen_alive
    if seen is None or found.look.waits:
        return None
    return seen.low, seen.expected, seen.high


def _resisted(found: Diagnosis, base: KnowledgeBase, weed: str) -> frozenset[str]:
    """The actives that this stand of the weed is shown to stand: all that go with one used."""
    if all(cause.cause.id != RESISTANT for cause in found.shown):
        return frozenset()
    used = {
        active.name
        for name in _products(found.call)
        if name is not None
        for active in base.products[name].actives
    } | set(found.call.actives)
    known = base.weeds[weed].resistance
    return frozenset(a for entry in known if used & set(entry.actives) for a in entry.actives)


def _not_before(found: Diagnosis) -> dt.date | None:
    """The day on which the last spraying can be judged, where it is still at work."""
    return found.look.last if found.look.waits else None


def _products(call: Call) -> list[str | None]:
    return [*(a.product or call.product for a in call.applications), call.product]


def _done(call: Call) -> list[Done]:
    """The applications, each on the last day it can have been made; the call's day if not told."""
    result = []
    for application in call.applications:
        sprayed = application.sprayed
        day = call.reported if sprayed is None else min(sprayed.last_day, call.reported)
        product = application.product or call.product
        result.append(Done(day, product, counted=True, interval_days=call.label.interval_days))
    return result


def _seeding(call: Call) -> tuple[dt.date, ...]:
    days = {
        event.when.last_day
        for event in call.events
        if event.what == SEEDED and event.when is not None
    }
    earliest = call.reported - dt.timedelta(days=RECENT_DAYS)
    return tuple(sorted(day for day in days if day >= earliest))


def _labels(call: Call, base: KnowledgeBase) -> Mapping[str, Product]:
    """The call's product with its label as it was read out."""
    product = base.products.get(call.product or "")
    told = call.label
    if product is None:
        return {}
    read = replace(
        product,
        interval_days=product.interval_days if told.interval_days is None else told.interval_days,
        per_year=product.per_year if told.per_year is None else told.per_year,
        rainfast_h=product.rainfast_h if told.rainfast_h is None else told.rainfast_h,
        temperature=told.temperature or product.temperature,
        controls=told.controls if told.controls is not None else product.controls,
        suppresses=told.suppresses if told.suppresses is not None else product.suppresses,
    )
    return {} if read == product else {product.id: read}
