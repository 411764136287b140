"""What a plan is: dated steps, what each leaves alive, what may not be used, why nothing fits.

Made by `planner`, extended by `around` and `beyond`, put into words by `render`. Plain values only.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from advisor.model import Product, Rate, Season
from advisor.planning.labels import Barred, through_leaf
from advisor.planning.request import Days, Request
from advisor.planning.targets import Target


@dataclass(frozen=True)
class Expected:
    """Share of a target alive: lowest, expected, highest."""

    low: float
    expected: float
    high: float


@dataclass(frozen=True)
class Missed:
    """What to do if a step's window goes by: the next best day, and the share of gain it loses."""

    day: dt.date
    lost: float


@dataclass(frozen=True)
class PlanStep:
    """One application of a plan.

    Attributes:
        number: its number; applications made since the first day of the plan count along.
        day: the best day.
        window: days around it that are nearly as good.
        product: the product.
        rate: the label's rate for the weed that needs most.
        suits: how likely a day of the window suits for spraying.
        against: the targets that it goes for, the one it hits hardest first.
        season: the season of the first of them on that day.
        alive: share of each target alive after it, by name of the target.
        if_missed: the next best day, None if none is left.
        late: the share of its kill that it loses for coming late after the one before it.
    """

    number: int
    day: dt.date
    window: Days
    product: Product
    rate: Rate | None
    suits: float
    against: tuple[Target, ...]
    season: Season
    alive: Mapping[str, Expected]
    if_missed: Missed | None
    late: float = 0.0

    @property
    def by_soil(self) -> bool:
        """Whether it is put down for the soil, before the weed comes up."""
        return not through_leaf(self.product)


@dataclass(frozen=True)
class Again:
    """One application more, in case a look shows that too much is left alive."""

    day: dt.date
    product: Product
    control: float


@dataclass(frozen=True)
class Blocked:
    """Why a product has no day: what was looked at, in order, and the days each left open.

    `limit` is the one that left none; a phrase `plan-blocked-<limit>` says it.
    """

    product: Product
    limit: str
    left: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Plan:
    """A plan and what it is expected to do.

    Attributes:
        targets: what it aims at, as they stand before the first step.
        left_alone: crops that die by themselves before anything could be done.
        alive: share of each target alive at the end.
        by_count: mean control with at most 0, 1, 2 ... applications, each as good as it can be.
        products: the products it chose from.
        barred: products that may not be used.
        blocked: products that have no day at all.
        again: one application more, if a look shows that it is needed.
        gain: what the steps gain, as the optimiser counts it.
        weights: how the targets weigh in it; less than 1 for one that is beaten anyway.
        climate: where the usual weather comes from.
        own: the plan with what the customer has, where another was taken.
        beaten: whether all targets are expected to end up below the share that counts as beaten.
    """

    request: Request
    targets: tuple[Target, ...]
    left_alone: tuple[Target, ...]
    steps: tuple[PlanStep, ...]
    alive: Mapping[str, Expected]
    by_count: tuple[float, ...]
    products: tuple[Product, ...]
    barred: tuple[Barred, ...]
    blocked: tuple[Blocked, ...]
    again: Again | None
    gain: float
    weights: Mapping[str, float]
    climate: str
    beaten: bool
    own: Plan | None = None

    @property
    def control(self) -> float:
        """Mean expected control over the targets at the end."""
        return mean_control(self.alive)


def mean_control(alive: Mapping[str, Expected]) -> float:
    """Mean expected control over the targets."""
    if not alive:
        return 0.0
    return 1 - sum(e.expected for e in alive.values()) / len(alive)
