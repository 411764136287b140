"""Makes a plan: which product on which days, how many times, and what is left alive after each.

Takes a `Request`, hands the days and their gains to `schedule`, and turns the best schedule into
steps with windows. The number of applications is the smallest that brings every target under the
share that counts as beaten; where none does, those that still gain something worth having.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.control import Base, retreatments
from advisor.expect import Expectations
from advisor.model import KnowledgeBase, Product, Rate, Season
from advisor.planning.climate import Climate, RegionClimate
from advisor.planning.kill import Killing, usable_products
from advisor.planning.request import Days, Request
from advisor.planning.schedule import (
    FORBIDDEN,
    Choice,
    Problem,
    Schedule,
    Solver,
    Step,
)
from advisor.planning.targets import Target, targets

LEAST_GAP_DAYS = 14
"""Days between applications of different groups on one lawn (common practice)."""
MOST_PRODUCTS = 4
WORTH_HAVING = 0.02
"""Mean control that a further application must win to be planned."""
LEAST_KILL = 0.02
LEAST_WORTH = 0.3
"""What waiting leaves of a day's worth at the least."""
NEARLY_BEST = 0.95
"""A day belongs to a step's window if it gains this share of the best day's gain."""
SAME_GROUP_PENALTY = 0.05


@dataclass(frozen=True)
class Expected:
    """Share of a target alive: lowest, expected, highest."""

    low: float
    expected: float
    high: float


@dataclass(frozen=True)
class PlanStep:
    """One application of a plan.

    Attributes:
        day: the best day.
        window: days around it that are nearly as good.
        product: the product.
        rate: the label's rate for the first of the weeds.
        suits: how likely a day of the window suits for spraying.
        season: the season of the first target on that day.
        alive: share of each target alive after it, by name of the target.
        if_missed: the next best day and the share of the gain it loses, None if none is left.
    """

    day: dt.date
    window: Days
    product: Product
    rate: Rate | None
    suits: float
    season: Season
    alive: dict[str, Expected]
    if_missed: tuple[dt.date, float] | None


@dataclass(frozen=True)
class Plan:
    """A plan and what it is expected to do.

    Attributes:
        by_count: mean control with at most 0, 1, 2 ... applications, each as good as it can be.
    """

    request: Request
    targets: tuple[Target, ...]
    steps: tuple[PlanStep, ...]
    alive: dict[str, Expected]
    by_count: tuple[float, ...]
    products: tuple[Product, ...]
    climate: str
    beaten: bool

    @property
    def control(self) -> float:
        """Mean expected control over the targets at the end."""
        return _mean_control(self.alive)


class Planner:
    """Makes plans against one knowledge base and one climate."""

    def __init__(self, base: KnowledgeBase, region: str, climate: Climate | None = None) -> None:
        self.base = base
        self.region = base.regions[region]
        self.climate: Climate = climate or RegionClimate(self.region)
        self.expectations = Expectations(base)
        self.killing = Killing(base, self.expectations, self.region, self.climate)

    def plan(self, request: Request) -> Plan:
        """The best plan for a request."""
        aims = self.aims(request)
        products = self.chosen(request, aims)
        problem = self.problem(request, aims, products)
        solver = Solver(problem, request.most)
        schedules = solver.schedules()
        controls = [self._control(request, aims, s.steps) for s in schedules]
        number = self._enough(request, aims, schedules, controls)
        return self._described(request, aims, products, solver, schedules[number], controls)

    def follow(self, request: Request, steps: Sequence[tuple[dt.date, str]]) -> Plan:
        """The plan that consists of just these applications, whatever they break."""
        aims = self.aims(request)
        names = tuple(dict.fromkeys(name for _, name in steps))
        products = [self.base.products[name] for name in names]
        problem = self.problem(request, aims, products)
        made = tuple(Step((date - request.start).days, name) for date, name in steps)
        schedule = Schedule(tuple(sorted(made, key=lambda s: s.day)), 0.0)
        controls = [self._control(request, aims, ()), self._control(request, aims, made)]
        solver = Solver(problem, len(made))
        return self._described(request, aims, products, solver, schedule, controls)

    def chosen(self, request: Request, aims: Sequence[Target]) -> list[Product]:
        """The products to plan with: few, and one preventer at most.

        For each target the product that kills most on its best day and, to change groups, the best
        one of another group; a second preventer for the same crop would only pile up on the first.
        """
        usable = usable_products(request, self.base)
        dates = request.dates[:: max(1, len(request.dates) // 60)]
        picked: dict[str, Product] = {}
        for soil in (False, True):
            for target in aims:
                ranked = sorted(
                    (
                        (-max(self.killing.kill(target, p, d).expected for d in dates), p.id)
                        for p in usable
                        if (p.acts_through != "leaf") is soil and _listed(p, target)
                    ),
                )
                best = [self.base.products[name] for worth, name in ranked if -worth >= LEAST_KILL]
                if soil and any(p.acts_through != "leaf" for p in picked.values()):
                    continue
                for product in best[:1]:
                    picked[product.id] = product
                others = [p for p in best[1:] if not soil and groups(p) != groups(best[0])]
                if request.rotate and others and len(picked) < MOST_PRODUCTS:
                    picked[others[0].id] = others[0]
        return list(picked.values())[:MOST_PRODUCTS]

    def aims(self, request: Request) -> list[Target]:
        """What the request aims at."""
        return [
            target
            for weed in request.weeds
            for target in targets(request, self.base.weeds[weed], self.region)
        ]

    # ---- the problem -------------------------------------------------------------------------

    def problem(
        self, request: Request, aims: Sequence[Target], products: Sequence[Product]
    ) -> Problem:
        """The days, gains and limits as the optimiser takes them."""
        dates = request.dates
        choices = tuple(
            Choice(
                product.id,
                [self._gain(request, aims, product, date) for date in dates],
                1 if product.acts_through == "soil" else product.per_year,
                _used(request, product),
            )
            for product in products
        )
        gaps = {(p.id, q.id): gap_days(p, q) for p in products for q in products}
        first = {p.id: self._first_free(request, p) for p in products}
        penalties = {}
        if request.rotate:
            penalties = {
                (p.id, q.id): SAME_GROUP_PENALTY
                for p in products
                for q in products
                if groups(p) == groups(q)
            }
        return Problem(choices, [d.year for d in dates], gaps, first, penalties)

    def _gain(
        self, request: Request, aims: Sequence[Target], product: Product, date: dt.date
    ) -> float:
        if not self.killing.legal(product, date) or not day_allowed(request, product, date):
            return FORBIDDEN
        kills = [self.killing.kill(t, product, date).expected for t in aims if _listed(product, t)]
        if all(kill < LEAST_KILL for kill in kills):
            return FORBIDDEN
        gain = sum(-math.log(max(1 - kill, 1e-9)) for kill in kills)
        waiting = (date - request.start).days / 365
        return gain * max(LEAST_WORTH, 1 - request.sooner * waiting)

    def _first_free(self, request: Request, product: Product) -> int:
        """The first day the label allows after what was done already."""
        first = 0
        for done in request.done:
            gap = gap_days(self.base.products[done.product], product)
            first = max(first, (done.date - request.start).days + gap)
        return first

    # ---- what it does ------------------------------------------------------------------------

    def _survivors(
        self, request: Request, aims: Sequence[Target], steps: Sequence[Step]
    ) -> dict[str, Expected]:
        alive = {}
        for target in aims:
            low, expected, high = target.survivors
            for step in steps:
                product = self.base.products[step.choice]
                if not _listed(product, target):
                    continue
                date = request.start + dt.timedelta(days=step.day)
                kill = self.killing.kill(target, product, date)
                low *= 1 - kill.high
                expected *= 1 - kill.expected
                high *= 1 - kill.low
            alive[target.name] = Expected(low, expected, high)
        return alive

    def _control(self, request: Request, aims: Sequence[Target], steps: Sequence[Step]) -> float:
        return _mean_control(self._survivors(request, aims, steps))

    def _enough(
        self,
        request: Request,
        aims: Sequence[Target],
        schedules: Sequence[Schedule],
        controls: Sequence[float],
    ) -> int:
        """How many applications to make."""
        wanted = self.base.settings.target_survivors
        for number, schedule in enumerate(schedules):
            alive = self._survivors(request, aims, schedule.steps)
            if all(e.expected <= wanted for e in alive.values()):
                return number
        number = 0
        for n in range(1, len(schedules)):
            if controls[n] - controls[number] >= WORTH_HAVING * (n - number):
                number = n
        return number

    def _described(
        self,
        request: Request,
        aims: Sequence[Target],
        products: Sequence[Product],
        solver: Solver,
        schedule: Schedule,
        controls: Sequence[float],
    ) -> Plan:
        """A schedule as a plan, each step with its window and what it leaves alive."""
        steps = []
        for number, step in enumerate(schedule.steps):
            made = schedule.steps[: number + 1]
            moved = solver.moved(schedule, number)
            steps.append(self._step(request, aims, step, made, moved))
        alive = self._survivors(request, aims, schedule.steps)
        wanted = self.base.settings.target_survivors
        return Plan(
            request,
            tuple(aims),
            tuple(steps),
            alive,
            tuple(controls),
            tuple(products),
            self.climate.name,
            bool(alive) and all(e.expected <= wanted for e in alive.values()),
        )

    def _step(
        self,
        request: Request,
        aims: Sequence[Target],
        step: Step,
        made: Sequence[Step],
        moved: Sequence[float],
    ) -> PlanStep:
        product = self.base.products[step.choice]
        first, last = _window(step.day, moved)
        start = request.start
        window = Days(start + dt.timedelta(days=first), start + dt.timedelta(days=last))
        days = [window.first + dt.timedelta(days=n) for n in range(last - first + 1)]
        suits = [self.killing.sprayable(product, d) for d in days]
        date = start + dt.timedelta(days=step.day)
        weed = self.base.weeds[request.weeds[0]]
        return PlanStep(
            date,
            window,
            product,
            product.rate_for(request.weeds[0]),
            sum(suits) / len(suits),
            weed.season_on(self.region.weed_day(date)),
            self._survivors(request, aims, made),
            _if_missed(start, step.day, last, moved),
        )

    def repeats(self, base: Base) -> int | None:
        """How many well-made applications the weed takes."""
        return retreatments(base.share, self.base.settings.target_survivors)


def groups(product: Product) -> frozenset[int]:
    """The groups of a product's actives."""
    return frozenset(a.group for a in product.actives)


def gap_days(before: Product, after: Product) -> int:
    """Days between two applications on one lawn.

    Products that share a group keep the longer of their intervals; others at least two weeks, and
    half of the longer interval, so that no detour undercuts a label's own interval.
    """
    longer = math.ceil(max(before.interval_days, after.interval_days))
    if before.id == after.id or groups(before) & groups(after):
        return max(1, longer)
    return max(LEAST_GAP_DAYS, math.ceil(longer / 2))


def day_allowed(request: Request, product: Product, date: dt.date) -> bool:
    """Whether the caller's days, mowing and seeding leave a day open."""
    if any(days.holds(date) for days in request.avoid):
        return False
    for sown in request.seeding:
        after = (date - sown).days
        if -product.seed_after_days < after < product.new_grass_days:
            return False
    if request.keep_mowing and request.mow_weekdays:
        before = math.ceil(product.mow_before_h / 24)
        after = math.ceil(product.mow_after_h / 24)
        for shift in range(-before + 1, after):
            if (date + dt.timedelta(days=shift)).weekday() in request.mow_weekdays:
                return False
    return True


def _listed(product: Product, target: Target) -> bool:
    return product.lists(target.weed.id) != "not-listed"


def _used(request: Request, product: Product) -> dict[int, int]:
    used: dict[int, int] = {}
    for done in request.done:
        if done.product == product.id:
            used[done.date.year] = used.get(done.date.year, 0) + 1
    return used


def _mean_control(alive: dict[str, Expected]) -> float:
    if not alive:
        return 0.0
    return 1 - sum(e.expected for e in alive.values()) / len(alive)


def _window(day: int, moved: Sequence[float]) -> tuple[int, int]:
    """The days around the best one on which the rest of the plan gains nearly as much."""
    least = NEARLY_BEST * moved[day]
    first = last = day
    while first > 0 and moved[first - 1] >= least:
        first -= 1
    while last + 1 < len(moved) and moved[last + 1] >= least:
        last += 1
    return first, last


def _if_missed(
    start: dt.date, day: int, last: int, moved: Sequence[float]
) -> tuple[dt.date, float] | None:
    """The best day after the window, and the share of the gain that is lost by waiting for it."""
    later = [(value, -n) for n, value in enumerate(moved) if n > last and value > FORBIDDEN]
    if not later:
        return None
    value, negative = max(later)
    lost = 1 - value / moved[day] if moved[day] > 0 else 0.0
    return start + dt.timedelta(days=-negative), max(0.0, lost)
