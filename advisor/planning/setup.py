"""From a request to the optimiser's problem: targets, products, gains by day, and every limit.

Stands between the labels and the solver: `planner` makes one `Setup` for a request, solves its
problem and describes the result. What a day gains is the negative logarithm of the share left
alive, summed over the targets, so that a plan is best where the product of the survivors is least;
waiting takes a share off that gain, and a target that is beaten anyway may weigh less.
"""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import mul

from advisor.model import KnowledgeBase, Product, Weed
from advisor.planning.behind import LEAST_KILL, Behind
from advisor.planning.choosing import MOST_PRODUCTS, few
from advisor.planning.follow_ups import FollowUps, Made
from advisor.planning.kill import Killing
from advisor.planning.labels import (
    Barred,
    active_years,
    day_open,
    gap_days,
    groups,
    label_of,
    per_year,
    through_leaf,
    usable_products,
)
from advisor.planning.lateness import Lateness
from advisor.planning.problem import FORBIDDEN, Choice, Late, Limit, Problem, Step, closed
from advisor.planning.request import Request
from advisor.planning.seasons import Seasons
from advisor.planning.targets import Target, targets

WORTH_A_TRIP = 0.15
"""An annual of which nothing kills more than this share any more is left to die by itself."""
SAME_GROUP_PENALTY = 0.05
"""What following a group by the same one takes off a plan, as a share of survivors."""
CROP_MARK = "#"
"""Stands between a preventer and the number of the crops that a choice is for."""


@dataclass(frozen=True)
class Setup:
    """One request made ready: see the module."""

    base: KnowledgeBase
    killing: Killing
    seasons: Seasons
    request: Request

    @cached_property
    def aims(self) -> list[Target]:
        """What the request aims at, with what was done already taken off."""
        return [self.behind.left_of(t) for t in self._found if t not in self.left_alone]

    @cached_property
    def _found(self) -> list[Target]:
        return [
            target
            for weed in self.request.weeds
            for target in targets(self.request, self.base.weeds[weed], self.seasons)
        ]

    @cached_property
    def left_alone(self) -> list[Target]:
        """Crops that die by themselves and that it is too late to spray with anything."""
        return [
            t
            for t in self._found
            if t.crop is not None
            and t.crop.first <= self.request.start
            and not any(
                self.killing.kill(t, product, date).expected >= WORTH_A_TRIP
                for product in self._usable[0]
                for date in self.dates
            )
        ]

    @cached_property
    def behind(self) -> Behind:
        """What was done already."""
        return Behind(self.request, self.base, self.killing, self.lateness)

    @cached_property
    def lateness(self) -> Lateness:
        """How late follow-ups are, and what that costs."""
        return Lateness(self.base, self.seasons, self.request)

    @cached_property
    def follow_ups(self) -> FollowUps:
        """What applications gain where they come late after another."""
        return FollowUps(self.lateness, self.aims, self.dates, self._gained, self.gains)

    @cached_property
    def dates(self) -> list[dt.date]:
        """Every day of the horizon."""
        return self.request.dates

    @cached_property
    def _usable(self) -> tuple[list[Product], list[Barred]]:
        return usable_products(self.request, self.base)

    @property
    def barred(self) -> list[Barred]:
        """The products that may not be used, and why."""
        return self._usable[1]

    @cached_property
    def products(self) -> list[Product]:
        """The products to plan with; those asked for are all taken, if they are few."""
        usable = self._usable[0]
        if self.request.products is not None and len(usable) <= MOST_PRODUCTS:
            return usable
        return few(usable, self.aims, self.killing, self.dates, rotate=self.request.rotate)

    # ---- choices -----------------------------------------------------------------------------

    @cached_property
    def crops(self) -> list[list[Target]]:
        """The crops in groups that come up at one time, which one preventer is put down for."""
        crops = sorted((t for t in self.aims if t.crop), key=lambda t: (_crop(t), t.name))
        found: list[list[Target]] = []
        for target in crops:
            if found and _crop(target)[0] <= max(_crop(t)[1] for t in found[-1]):
                found[-1].append(target)
            else:
                found.append([target])
        return found

    def choice_of(self, product: Product, date: dt.date) -> str:
        """The name of the choice that a product on a day is: a preventer's names its crops."""
        if not _by_soil(product):
            return product.id
        gains = [self._killed(crops, product, date) for crops in self.crops]
        best = max(gains, default=0.0)
        return f"{product.id}{CROP_MARK}{gains.index(best) if best > 0 else 0}"

    def product_of(self, choice: str) -> Product:
        """The product of a choice."""
        name = choice.partition(CROP_MARK)[0]
        return label_of(self.request, self.base, name)

    def worth(self, target: Target, date: dt.date) -> float:
        """What waiting until a day leaves of a kill: it counts from when the target is there."""
        there = self.request.start
        if target.crop is not None:
            there = max(there, target.crop.first)
        return float((1 - self.request.sooner) ** (max(0, (date - there).days) / 365))

    def _killed(self, aims: Iterable[Target], product: Product, date: dt.date) -> float:
        """The gain of an application on targets."""
        return sum(self._gained(target, product, date) for target in aims)

    def _gained(self, target: Target, product: Product, date: dt.date, lost: float = 0.0) -> float:
        """The log of what an application leaves alive of a target, less for waiting."""
        kill = self.killing.kill(target, product, date).expected * (1 - lost)
        return -math.log(max(1 - kill, 1e-9)) * self.worth(target, date) if kill > 0 else 0.0

    def gains(self, product: Product) -> list[tuple[float, ...] | None]:
        """For each day what a product gains on each target; None where it may not be used."""
        if product.id not in self._kept:
            self._kept[product.id] = [
                tuple(self._killed([t], product, date) for t in self.aims)
                if self._allowed(product, date)
                else None
                for date in self.dates
            ]
        return self._kept[product.id]

    @cached_property
    def _kept(self) -> dict[str, list[tuple[float, ...] | None]]:
        return {}

    def _allowed(self, product: Product, date: dt.date) -> bool:
        return (
            self.killing.legal(product, date)
            and day_open(self.request, product, date) is None
            and bool(self.hits(product, date))
        )

    def hits(self, product: Product, date: dt.date) -> list[Target]:
        """The targets of which an application kills a share worth having."""
        return [t for t in self.aims if self.killing.kill(t, product, date).expected >= LEAST_KILL]

    def has_preventer(self, product: Product, date: dt.date) -> bool:
        """Whether a preventer on a day would be the second one for its crops."""
        if not _by_soil(product) or not self.crops:
            return False
        return int(self.choice_of(product, date).partition(CROP_MARK)[2]) in self._covered

    def _choices(self, products: Sequence[Product], weights: Sequence[float]) -> list[Choice]:
        result = []
        for product in products:
            gains = [
                FORBIDDEN if day is None else sum(map(mul, weights, day))
                for day in self.gains(product)
            ]
            yearly = per_year(product, self.request.weeds)
            if not _by_soil(product):
                result.append(Choice(product.id, gains, yearly, self.behind.used(product)))
                continue
            names = [self.choice_of(product, date) for date in self.dates]
            for n in range(len(self.crops)):
                name = f"{product.id}{CROP_MARK}{n}"
                mine = [g if here == name else FORBIDDEN
                        for g, here in zip(gains, names, strict=True)]  # fmt: skip
                if n in self._covered:
                    mine = [FORBIDDEN] * len(mine)
                result.append(Choice(name, mine, yearly, once=f"{CROP_MARK}{n}"))
        return [c for c in result if c.usable is not None]

    @cached_property
    def _covered(self) -> frozenset[int]:
        """The groups of crops that a preventer was already put down for."""
        found = set()
        for done in self.request.done:
            if done.product is None:
                continue
            product = label_of(self.request, self.base, done.product)
            listed = any(product.lists(t.weed.id) != "not-listed" for t in self.aims)
            if _by_soil(product) and listed and self.crops:
                name = self.choice_of(product, done.date)
                crops = self.crops[int(name.partition(CROP_MARK)[2])]
                if self._killed(crops, product, done.date) > 0:
                    found.add(int(name.partition(CROP_MARK)[2]))
        return frozenset(found)

    # ---- the problem -------------------------------------------------------------------------

    def problem_of(
        self, products: Sequence[Product], weights: Sequence[float] | None = None
    ) -> Problem:
        """The problem with just these products, the targets weighing as given, or alike."""
        choices = self._choices(products, weights or [1.0] * len(self.aims))
        by_name = {c.name: self.product_of(c.name) for c in choices}
        gaps = {
            (p, q): gap_days(by_name[p], by_name[q], self._shared(by_name[p], by_name[q]))
            for p, q in itertools.product(by_name, repeat=2)
        }
        first = {name: self.behind.first_free(product) for name, product in by_name.items()}
        penalties: dict[tuple[str, str], float] = {}
        opening: dict[str, float] = {}
        if self.request.rotate:
            same = {(p, q) for p, q in gaps if groups(by_name[p]) == groups(by_name[q])}
            penalties = dict.fromkeys(same, SAME_GROUP_PENALTY)
            before = self.behind.last_groups
            opening = {
                name: SAME_GROUP_PENALTY for name in by_name if groups(by_name[name]) == before
            }
        weighing = weights or [1.0] * len(self.aims)
        return Problem(
            tuple(choices),
            [d.year for d in self.dates],
            closed(choices, gaps),
            first,
            penalties,
            tuple(self._limits(products, choices)),
            opening,
            {pair: late for pair in gaps if (late := self._late(pair, by_name, weighing))},
            self.follow_ups.first_gains(by_name, weighing),
        )

    def _late(
        self, pair: tuple[str, str], by_name: Mapping[str, Product], weights: Sequence[float]
    ) -> tuple[Late, ...]:
        before, after = (by_name[name] for name in pair)
        return tuple(self.follow_ups.late(before, after, weights))

    def _shared(self, one: Product, other: Product) -> list[Weed]:
        return [
            t.weed
            for t in self.aims
            if one.lists(t.weed.id) != "not-listed" and other.lists(t.weed.id) != "not-listed"
        ]

    def _limits(self, products: Sequence[Product], choices: Sequence[Choice]) -> list[Limit]:
        """What several choices share: a preventer's count, an active that several products hold."""
        result = []
        of_product = {p.id: [c.name for c in choices if self.product_of(c.name) is p]
                      for p in products}  # fmt: skip
        for product in products:
            if _by_soil(product) and of_product[product.id]:
                weights = dict.fromkeys(of_product[product.id], 1.0)
                yearly = per_year(product, self.request.weeds)
                used = {year: float(n) for year, n in self.behind.used(product).items()}
                result.append(Limit("per-year", weights, yearly, used))
        made = {d.product for d in self.request.done if d.product is not None}
        others = [label_of(self.request, self.base, n) for n in sorted(made - of_product.keys())]
        for year in active_years([*products, *others], self.request.weeds):
            weights = {
                name: amount
                for product, amount in year.per_application.items()
                for name in of_product.get(product, ())
            }
            taken: dict[int, float] = {}
            for done in self.request.done:
                amount = year.per_application.get(done.product or "", 0.0)
                taken[done.date.year] = taken.get(done.date.year, 0.0) + amount
            result.append(Limit(f"active {year.name}", weights, year.cap, taken))
        return result

    def date(self, step: Step) -> dt.date:
        """The date of a step of the problem."""
        return self.request.start + dt.timedelta(days=step.day)

    def made(self, step: Step) -> Made:
        """The day and the product of a step of the problem."""
        return self.date(step), self.product_of(step.choice)

    def step(self, date: dt.date, product: str) -> Step:
        """A day and a product as a step of the problem."""
        choice = self.choice_of(label_of(self.request, self.base, product), date)
        return Step((date - self.request.start).days, choice)


def _by_soil(product: Product) -> bool:
    return not through_leaf(product)


def _crop(target: Target) -> tuple[dt.date, dt.date]:
    assert target.crop is not None
    return target.crop.first, target.crop.last
