"""Whether a sentence of an answer is to be said: the tests under `add`.

`compose` asks for every addition of a topic. A test on something that is not known does not hold,
so that nothing is ever said on a guess.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from advisor.answers.context import Context
from advisor.model import Addition, DayOfYear

KNOWN = "known"

Found = str | None
Read = Callable[[Context], Found]


def holds(addition: Addition, ctx: Context) -> bool:
    """Whether every test of an addition holds."""
    return all(_holds(name, words, ctx) for name, words in addition.tests.items())


def _holds(name: str, words: tuple[str, ...], ctx: Context) -> bool:
    found = TESTS[name](ctx)
    return found is not None and (found in words or KNOWN in words)


def _fit(ctx: Context) -> Found:
    """How well today suits treating the weed where the lawn is."""
    if ctx.weed is None:
        return None
    today = ctx.region.weed_day(ctx.today) if ctx.region else DayOfYear.of(ctx.today)
    return ctx.weed.season_on(today).fit


def _surfactant(ctx: Context) -> Found:
    """Whether the label calls for a surfactant: yes or no."""
    if ctx.product is None:
        return None
    return "yes" if ctx.product.surfactant.called_for else "no"


def _lists(ctx: Context) -> Found:
    """What the label says of the weed: controls, suppresses, not-listed."""
    return ctx.product.lists(ctx.weed.id) if ctx.product and ctx.weed else None


def _tolerates(ctx: Context) -> Found:
    """Whether the label names the lawn as tolerant (yes) or as injured (no)."""
    if ctx.product is None or ctx.turf is None:
        return None
    grasses = set(ctx.turf.members) or {ctx.turf.id}
    if grasses & set(ctx.product.turf_injured):
        return "no"
    return "yes" if grasses <= set(ctx.product.turf_tolerant) else None


TESTS: Mapping[str, Read] = {
    "product": lambda ctx: ctx.product.id if ctx.product else None,
    "weed": lambda ctx: ctx.weed.id if ctx.weed else None,
    "turf": lambda ctx: ctx.turf.id if ctx.turf else None,
    "region": lambda ctx: ctx.region.id if ctx.region else None,
    "call": lambda ctx: KNOWN if ctx.diagnosis else None,
    "tank": lambda ctx: KNOWN if ctx.tank else None,
    "area": lambda ctx: KNOWN if ctx.area else None,
    "habit": lambda ctx: ctx.weed.habit if ctx.weed else None,
    "life_cycle": lambda ctx: ctx.weed.life_cycle if ctx.weed else None,
    "plant_group": lambda ctx: ctx.weed.plant_group if ctx.weed else None,
    "acts_through": lambda ctx: ctx.product.acts_through if ctx.product else None,
    "formulation": lambda ctx: ctx.product.formulation if ctx.product else None,
    "kind": lambda ctx: ctx.product.kind if ctx.product else None,
    "hard_water": lambda ctx: ctx.product.hard_water_sensitive if ctx.product else None,
    "surfactant": _surfactant,
    "homeowner": lambda ctx: ctx.product.homeowner if ctx.product else None,
    "season": lambda ctx: ctx.turf.season if ctx.turf else None,
    "fit": _fit,
    "lists": _lists,
    "tolerates": _tolerates,
}
"""Test to what it reads; None where nothing is known."""
