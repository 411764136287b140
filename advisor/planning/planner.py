"""Makes a plan: which product on which days, how many times, and what is left alive after each.

Takes a `Request`, has `setup` make a problem of it and `schedule` solve that, and turns the best
schedule into steps with windows. The number of applications is the smallest that brings every
target under the share that counts as beaten; where none does, those that still gain something worth
having.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from advisor.expect import Expectations
from advisor.model import KnowledgeBase
from advisor.planning.blocking import blocked
from advisor.planning.climate import Climate, RegionClimate
from advisor.planning.follow_ups import Made
from advisor.planning.kill import Killing
from advisor.planning.labels import rate_for
from advisor.planning.plan import Again, Expected, Missed, Plan, PlanStep, mean_control
from advisor.planning.problem import FORBIDDEN, Schedule, Step, gain_of
from advisor.planning.request import Days, Request
from advisor.planning.schedule import Solver
from advisor.planning.seasons import Seasons
from advisor.planning.setup import Setup
from advisor.planning.targets import Target

WORTH_HAVING = 0.02
"""Mean control that a further application must win to be planned where not all can be beaten."""
NEARLY_BEATEN = 1.5
"""After the fewest applications that the trade expects of a weed it counts as beaten up to so many
times the share: the look then says whether one more is needed (common practice)."""
NEARLY_BEST = 0.95
"""A day belongs to a step's window if it gains this share of the best day's gain."""


MOST_REWEIGHTS = 6


@dataclass(frozen=True)
class Found:
    """What the solver found: the best schedules by length, and the one to take.

    `weights` are those of the targets, `beaten` says whether the one to take beats them all.
    """

    solver: Solver
    schedules: tuple[Schedule, ...]
    number: int
    weights: tuple[float, ...]
    beaten: bool


class Planner:
    """Makes plans against one knowledge base, one place and one climate."""

    def __init__(
        self,
        base: KnowledgeBase,
        region: str,
        climate: Climate | None = None,
        measured: Mapping[str, int] | None = None,
    ) -> None:
        self.base = base
        self.region = base.regions[region]
        self.climate: Climate = climate or RegionClimate(self.region)
        self.seasons = Seasons(self.region, self.climate, measured or {})
        self.killing = Killing(base, Expectations(base), self.climate)

    def setup(self, request: Request) -> Setup:
        """A request made ready for the optimiser."""
        return Setup(self.base, self.killing, self.seasons, request)

    def plan(self, request: Request) -> Plan:
        """The best plan for a request.

        What the customer has is kept where it does the job with as few applications.
        """
        best = self._plan(request)
        if request.products is not None or not request.at_hand:
            return best
        own = self._plan(replace(request, products=request.at_hand))
        if own.beaten and (not best.beaten or len(own.steps) <= len(best.steps)):
            return replace(own, request=request)
        return replace(best, own=own)

    def _plan(self, request: Request) -> Plan:
        setup = self.setup(request)
        found = self._search(setup)
        controls = [mean_control(self.survivors(setup, s.steps)) for s in found.schedules]
        return self._described(setup, found, controls)

    def _search(self, setup: Setup) -> Found:
        """The schedule to take: with the fewest applications that beat every target.

        The product of the survivors keeps gaining on a target that is long beaten. Where that
        leaves another standing, the problem is solved anew with the beaten ones weighing half; if
        that lets one of those stand, with a little more again, in ever smaller steps, a few times
        over. Each schedule is the best of its length for its weights.
        """
        weights = [1.0] * len(setup.aims)
        best: Found | None = None
        step, raised = 1.0, False
        for _ in range(1 + MOST_REWEIGHTS):
            found = self._solved(setup, weights)
            if best is None or self._rank(setup, found) < self._rank(setup, best):
                best = found
            short = found.schedules[found.number - 1 if found.beaten and found.number else -1]
            beaten = [self._target_beaten(setup, t, short.steps) for t in setup.aims]
            if all(beaten) or not any(beaten):
                break
            back = any(w < 1 and not b for w, b in zip(weights, beaten, strict=True))
            step = step / 2 if back is not raised else step
            raised = back
            change = 2**step if back else 2**-step
            weights = [
                w * change if (w < 1 and not b and back) or (b and not back) else w
                for w, b in zip(weights, beaten, strict=True)
            ]
        assert best is not None
        return best

    def _solved(self, setup: Setup, weights: Sequence[float]) -> Found:
        solver = Solver(setup.problem_of(setup.products, weights), max(0, setup.request.most))
        schedules = solver.schedules()
        for number, schedule in enumerate(schedules):
            if self._beaten(setup, schedule.steps):
                return Found(solver, tuple(schedules), number, tuple(weights), True)
        worth = [self._control_that_counts(setup, s.steps) for s in schedules]
        number = max(range(len(schedules)), key=lambda n: (worth[n] - WORTH_HAVING * n, -n))
        return Found(solver, tuple(schedules), number, tuple(weights), False)

    def _rank(self, setup: Setup, found: Found) -> tuple[bool, float]:
        """Fewer applications where all are beaten; else more control."""
        if found.beaten:
            return False, found.number
        worth = self._control_that_counts(setup, found.schedules[found.number].steps)
        return True, WORTH_HAVING * found.number - worth

    def _control_that_counts(self, setup: Setup, steps: Sequence[Step]) -> float:
        """Mean control, killing more of what is beaten counting nothing."""
        alive = self.survivors(setup, steps)
        left = [
            max(alive[t.name].expected, self.base.settings.target_survivors) for t in setup.aims
        ]
        return 1 - sum(left) / len(left) if left else 0.0

    def follow(self, request: Request, steps: Sequence[tuple[dt.date, str]]) -> Plan:
        """The plan that consists of just these applications, whatever they break."""
        setup = self.setup(request)
        made = self._steps(setup, steps)
        names = list(dict.fromkeys(name for _, name in steps))
        products = [setup.product_of(name) for name in names]
        problem = setup.problem_of(products)
        known = {c.name for c in problem.choices}
        solver = Solver(problem, len(made) if all(s.choice in known for s in made) else 0)
        schedule = Schedule(made, self._worth(setup, steps))
        found = Found(solver, (schedule,), 0, (1.0,) * len(setup.aims), False)
        controls = [mean_control(self.survivors(setup, made[:n])) for n in range(len(made) + 1)]
        return self._described(setup, found, controls)

    def worth(self, request: Request, steps: Sequence[tuple[dt.date, str]]) -> float:
        """What a schedule gains as the optimiser counts it; minus infinity if it breaks a limit."""
        return self._worth(self.setup(request), steps)

    def _worth(self, setup: Setup, steps: Sequence[tuple[dt.date, str]]) -> float:
        names = list(dict.fromkeys(name for _, name in steps))
        problem = setup.problem_of([setup.product_of(name) for name in names])
        known = {c.name for c in problem.choices}
        made = self._steps(setup, steps)
        inside = all(0 <= s.day < problem.days and s.choice in known for s in made)
        return gain_of(problem, made) if inside else FORBIDDEN

    @staticmethod
    def _steps(setup: Setup, steps: Sequence[tuple[dt.date, str]]) -> tuple[Step, ...]:
        found = [setup.step(date, name) for date, name in steps]
        return tuple(sorted(found, key=lambda step: (step.day, step.choice)))

    # ---- what it does ------------------------------------------------------------------------

    def survivors(self, setup: Setup, steps: Sequence[Step]) -> dict[str, Expected]:
        """The share of each target alive after some steps."""
        alive = {}
        for target in setup.aims:
            low, expected, high = target.survivors
            before: Made | None = None
            for step in steps:
                date, product = made = setup.made(step)
                kill = self.killing.kill(target, product, date)
                kept = 1 - setup.follow_ups.loss(before, made, target)
                before = made
                low *= 1 - kept * kill.high
                expected *= 1 - kept * kill.expected
                high *= 1 - kept * kill.low
            alive[target.name] = Expected(low, expected, high)
        return alive

    def _beaten(self, setup: Setup, steps: Sequence[Step]) -> bool:
        """Whether a look after these steps is expected to find every target beaten."""
        return bool(setup.aims) and all(self._target_beaten(setup, t, steps) for t in setup.aims)

    def _target_beaten(self, setup: Setup, target: Target, steps: Sequence[Step]) -> bool:
        alive = self.survivors(setup, steps)[target.name].expected
        return alive <= self._wanted(setup, target, steps)

    def _wanted(self, setup: Setup, target: Target, steps: Sequence[Step]) -> float:
        """The share alive at which a target counts as beaten."""
        made = sum(target in setup.hits(setup.product_of(s.choice), setup.date(s)) for s in steps)
        made += sum(setup.behind.went_for(target, done) for done in setup.request.done)
        enough = made >= target.weed.retreatments.applications[0]
        wanted = self.base.settings.target_survivors
        return wanted * NEARLY_BEATEN if enough else wanted

    def _described(self, setup: Setup, found: Found, controls: Sequence[float]) -> Plan:
        """A schedule as a plan, each step with its window and what it leaves alive."""
        solver, schedule = found.solver, found.schedules[found.number]
        steps = tuple(
            self._step(setup, solver, schedule, number) for number in range(len(schedule.steps))
        )
        return Plan(
            setup.request,
            tuple(setup.aims),
            tuple(setup.left_alone),
            steps,
            self.survivors(setup, schedule.steps),
            tuple(controls),
            tuple(setup.products),
            tuple(setup.barred),
            tuple(blocked(setup)),
            self._again(setup, solver, schedule),
            schedule.gain,
            dict(zip((t.name for t in setup.aims), found.weights, strict=True)),
            self.climate.name,
            self._beaten(setup, schedule.steps),
        )

    def _again(self, setup: Setup, solver: Solver, schedule: Schedule) -> Again | None:
        known = {c.name for c in solver.problem.choices}
        if any(step.choice not in known for step in schedule.steps):
            return None
        more = solver.next_after(schedule)
        if more is None:
            return None
        alive = self.survivors(setup, (*schedule.steps, more))
        return Again(setup.date(more), setup.product_of(more.choice), mean_control(alive))

    @staticmethod
    def _before_the_next(solver: Solver, schedule: Schedule, number: int, last: int) -> int:
        """The last day of a window that runs into the next one's: it leaves that step its day."""
        step = schedule.steps[number]
        if number + 1 == len(schedule.steps):
            return last
        after = schedule.steps[number + 1]
        if last < _window(after.day, solver.moved(schedule, number + 1))[0]:
            return last
        return max(step.day, after.day - solver.problem.gap(step.choice, after.choice))

    def _step(self, setup: Setup, solver: Solver, schedule: Schedule, number: int) -> PlanStep:
        step = schedule.steps[number]
        start, date = setup.request.start, setup.date(step)
        product = setup.product_of(step.choice)
        before = setup.made(schedule.steps[number - 1]) if number else None
        kills = {t.name: self.killing.kill(t, product, date).expected for t in setup.aims}
        hit = setup.hits(product, date) or setup.aims
        against = tuple(sorted(hit, key=lambda t: -kills[t.name]))
        window, missed = Days(date, date), None
        known = {c.name for c in solver.problem.choices}
        if all(s.choice in known for s in schedule.steps):
            moved = solver.moved(schedule, number)
            first, last = _window(step.day, moved)
            last = self._before_the_next(solver, schedule, number, last)
            window = Days(start + dt.timedelta(days=first), start + dt.timedelta(days=last))
            missed = _if_missed(start, step.day, last, moved)
        days = [window.first + dt.timedelta(days=n) for n in range(len(window))]
        return PlanStep(
            setup.request.made_since_start + number + 1,
            date,
            window,
            product,
            rate_for(product, setup.request.weeds),
            sum(self.killing.sprayable(product, d) for d in days) / len(days),
            against,
            against[0].season(date),
            self.survivors(setup, schedule.steps[: number + 1]),
            missed,
            max(setup.follow_ups.loss(before, (date, product), target) for target in against),
        )


def _window(day: int, moved: Sequence[float]) -> tuple[int, int]:
    """The days around the best one on which the rest of the plan gains nearly as much."""
    least = NEARLY_BEST * moved[day]
    first = last = day
    while first > 0 and moved[first - 1] >= least:
        first -= 1
    while last + 1 < len(moved) and moved[last + 1] >= least:
        last += 1
    return first, last


def _if_missed(start: dt.date, day: int, last: int, moved: Sequence[float]) -> Missed | None:
    """The best day after the window, and the share of the gain that is lost by waiting for it."""
    later = [(value, -n) for n, value in enumerate(moved) if n > last and value > FORBIDDEN]
    if not later:
        return None
    value, negative = max(later)
    lost = 1 - value / moved[day] if moved[day] > 0 else 0.0
    return Missed(start + dt.timedelta(days=-negative), max(0.0, lost))
