"""What a product is expected to kill of a target on a day, and how likely a day suits for it.

The forward use of the kill model: the same base, the same season shares and the same losses as in
diagnosis, with the chances of the weather that the day usually brings.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from advisor.control import Base
from advisor.derive.label import actives_of
from advisor.derive.plant import base_of
from advisor.expect import Expectations
from advisor.model import KnowledgeBase, Product
from advisor.planning.climate import Climate, rain_within
from advisor.planning.labels import must_stick, through_leaf
from advisor.planning.seasons import SEEDLING_DAYS
from advisor.planning.targets import Target
from advisor.terms import Clause

HEEDED = 0.75
"""Share of the rain after a spraying that a forecast lets one avoid (an estimate of ours)."""
DAYS_TO_CHOOSE_FROM = 7
"""Days around the planned one among which the first suitable one is taken."""
LEAST_LEGAL = 0.3
"""A day on which the label's temperatures are met less often than this is no candidate."""
WINDY_MPH = 10.0
POOR = "poor"
FROZEN_GROUND_F = 40.0
"""Where most days do not get so warm the ground is taken to be frozen (common practice)."""


@dataclass(frozen=True)
class Kill:
    """Share of a target killed by one application on a day: expected, and its spread."""

    low: float
    expected: float
    high: float


NOTHING = Kill(0.0, 0.0, 0.0)


class Killing:
    """Expected kills, worked out once for each target, product and day."""

    def __init__(
        self,
        base: KnowledgeBase,
        expectations: Expectations,
        climate: Climate,
    ) -> None:
        self._base = base
        self._expect = expectations
        self._climate = climate
        self._losses: dict[tuple[str, str, str, str], float] = {}
        self._kept: dict[tuple[str, str, dt.date], float] = {}
        self._covers: dict[tuple[str, int, int], float] = {}

    def kill(
        self, target: Target, product: Product, date: dt.date, causes: Iterable[str] = ()
    ) -> Kill:
        """What one application is expected to kill of a target.

        Args:
            target: what is sprayed.
            product: with what.
            date: the day.
            causes: what is known to have gone wrong, by id.
        """
        if product.lists(target.weed.id) == "not-listed":
            return NOTHING
        if through_leaf(product):
            share = self._leaf(target, product, date)
        else:
            share = self._soil(target, product, date)
        for cause in causes:
            share *= 1 - self._loss(cause, target, product)
        base = self._base_of(target, product)
        return _scaled(base, min(1.0, share)) if share > 0 else NOTHING

    def _base_of(self, target: Target, product: Product) -> Base:
        """What a well-made application does, without the actives that the plants here stand."""
        left = tuple(a for a in actives_of(product) if a[0] not in target.resisted)
        if len(left) == len(product.actives):
            return self._expect.of(target.weed.id, product.id, ())
        return base_of(target.weed, left) if left else Base(0.0, 0.0, 0.0)

    def _loss(self, cause: str, target: Target, product: Product) -> float:
        return self._worst(cause, self._base.habit_class(target.weed.habit), product)

    def _worst(self, cause: str, habit_class: str, product: Product) -> float:
        """The most that a cause takes of a kill, of its rules that speak of such a product."""
        key = (cause, habit_class, product.acts_through, product.formulation)
        if key not in self._losses:
            self._losses[key] = _worst_loss(self._base, cause, habit_class, product)
        return self._losses[key]

    def sprayable(self, product: Product, date: dt.date) -> float:
        """How likely a day suits: dry on both sides, within the label's temperatures, calm.

        Granules that must stick want wet leaves, and are kept dry only afterwards.
        """
        chance = 1 - self._climate.windy(date, WINDY_MPH)
        if product.temperature is not None:
            chance *= self._legal(product, date)
        if through_leaf(product):
            chance *= (1 - self._climate.wet_day(date)) ** (1 if must_stick(product) else 2)
        return chance

    def legal(self, product: Product, date: dt.date) -> bool:
        """Whether the label's temperatures are met often enough to plan the day at all.

        Where the label names none, nothing goes down while the ground is usually frozen.
        """
        if product.temperature is None:
            return self._climate.high_below(date, FROZEN_GROUND_F) <= 1 / 2
        return self._legal(product, date) >= LEAST_LEGAL

    def _legal(self, product: Product, date: dt.date) -> float:
        assert product.temperature is not None
        too_cold = self._climate.high_below(date, product.temperature.low)
        too_hot = self._climate.high_above(date, product.temperature.high)
        return max(0.0, 1 - too_cold - too_hot)

    def _leaf(self, target: Target, product: Product, date: dt.date) -> float:
        if date not in target.leaf:
            return 0.0
        if product.stage_limit and not target.stages(date) & set(product.stage_limit):
            return 0.0
        season = target.season(date)
        if target.crop is not None and season.fit == POOR:
            return 0.0  # its plants die by themselves, and little is won before they do
        return season.share * self._through_weather(target, product, date)

    def _through_weather(self, target: Target, product: Product, date: dt.date) -> float:
        """What the usual weather of a day leaves of a leaf spray's kill.

        Whoever sprays waits, within some days, for one that is dry, calm and within the label's
        temperatures; what then still costs is rain that no forecast told. Where no such day comes
        the spray meets the weather as it is.
        """
        name = self._base.habit_class(target.weed.habit)
        key = (name, product.id, date)
        if key not in self._kept:
            found = 1 - (1 - self.sprayable(product, date)) ** DAYS_TO_CHOOSE_FROM
            chances = self._chances(product, date)
            rain = {c: chances[c] * (1 - HEEDED) for c in ("washed-off", "wet-after")}
            good, bad = (self._left(c, name, product) for c in (rain, chances))
            self._kept[key] = found * good + (1 - found) * bad
        return self._kept[key]

    def _left(self, chances: Mapping[str, float], habit_class: str, product: Product) -> float:
        left = 1.0
        for cause, chance in chances.items():
            left *= 1 - chance * self._worst(cause, habit_class, product)
        return left

    def _chances(self, product: Product, date: dt.date) -> Mapping[str, float]:
        climate = self._climate
        rainfast = product.rainfast_h or 0.0
        washed = rain_within(climate, date, rainfast)
        chances = {
            "washed-off": washed,
            "wet-after": max(0.0, rain_within(climate, date, 24) - washed),
            "wet-before": climate.wet_day(date - dt.timedelta(days=1)),
            "spray-drifted": climate.windy(date, WINDY_MPH),
        }
        if product.temperature is not None:
            chances["too-cold"] = climate.high_below(date, product.temperature.low)
            chances["too-hot"] = climate.high_above(date, product.temperature.high)
        return chances

    def _soil(self, target: Target, product: Product, date: dt.date) -> float:
        """Share of a crop's germination that a preventer put down on a day lies in front of."""
        crop = target.crop
        if product.residual_days is None or crop is None or date > crop.last:
            return 0.0
        key = (product.id, len(crop), (date - crop.first).days)
        if key not in self._covers:
            self._covers[key] = _covered(product, len(crop), (date - crop.first).days)
        return self._covers[key]


def _covered(product: Product, days: int, put_down: int) -> float:
    """Share of the days of a germination on which a preventer stands.

    It stands from when it is watered in, at the latest the label allows, and has worn out by the
    ends of what the label says it lasts, any length between them being as likely. One that also
    takes small plants reaches back to those that are up, the less the older they are.

    Args:
        product: the preventer.
        days: the days of germination.
        put_down: the day it is put down, counted from the first of them.
    """
    assert product.residual_days is not None
    low, high = product.residual_days.low, product.residual_days.high
    works = put_down + math.ceil(product.water_in_days or 0)
    reaches_back = product.acts_through == "both"
    stands = 0.0
    for day in range(days):
        if day < works:
            age = max(0, put_down - day)
            stands += max(0.0, 1 - age / SEEDLING_DAYS) if reaches_back else 0.0
        else:
            stands += min(1.0, max(0.0, (high - (day - put_down)) / max(1.0, high - low)))
    return stands / days


def _scaled(base: Base, share: float) -> Kill:
    return Kill(base.low * share, base.share * share, base.high * share)


def _worst_loss(base: KnowledgeBase, cause: str, habit_class: str, product: Product) -> float:
    """The worst loss among the rules of a cause that can hold of such a product."""
    found = base.causes.get(cause)
    if found is None:
        return 0.0
    fits = (rule for rule in found.rules if any(_speaks_of(c, product) for c in rule.clauses))
    return max((rule.loss.get(habit_class, 0.0) for rule in fits), default=0.0)


def _speaks_of(clause: Clause, product: Product) -> bool:
    """Whether a way for a rule to hold leaves room for how a product works and what it is."""
    known = {"acts_through": product.acts_through, "formulation": product.formulation}
    return all(c.fact not in known or known[c.fact] in c.options for c in clause.conditions)
