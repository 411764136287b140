"""What the optimiser of application days works on: choices, their gains by day, and every limit.

`planner` makes a `Problem` of weeds and labels, `schedule` solves it, and `gain_of` judges any
schedule against it step by step, with nothing of the solver's own. It holds plain numbers and
knows nothing of weeds, labels or weather.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

FORBIDDEN = float("-inf")
SAME = 1e-12
LOOSE = 1e-9
"""Amounts are sums of floats; so much over a limit is still within it."""


@dataclass(frozen=True)
class Choice:
    """Something that can be applied.

    Attributes:
        name: its name, unique in a problem.
        gains: what it gains on each day; FORBIDDEN where it may not be used.
        per_year: how often it may be used in a calendar year.
        used: times it was already used, by year.
        once: choices of one such name may be used only once in all, together; empty: as often as
            the year allows.
    """

    name: str
    gains: Sequence[float]
    per_year: int
    used: Mapping[int, int] = field(default_factory=dict)
    once: str = ""

    @cached_property
    def usable(self) -> tuple[int, int] | None:
        """The first and the last day on which it may be used at all."""
        days = [n for n, gain in enumerate(self.gains) if gain > FORBIDDEN]
        return (days[0], days[-1]) if days else None


@dataclass(frozen=True)
class Limit:
    """A yearly limit that several choices share, such as an active that all of them hold.

    Attributes:
        weights: what one application of each choice takes of it.
        cap: the most in a calendar year.
        used: what was already taken, by year.
    """

    name: str
    weights: Mapping[str, float]
    cap: float
    used: Mapping[int, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Late:
    """What a choice gains where it comes late after another.

    Attributes:
        since: for each day of the earlier application, the first day that counts as late; it never
            falls from one day to the next.
        gains: what the later choice gains then, by its own day; forbidden on the same days.
    """

    since: Sequence[int]
    gains: Sequence[float]


@dataclass(frozen=True)
class Problem:
    """What to choose from and what limits it.

    Attributes:
        choices: the choices; all have the same number of days.
        years: the calendar year of each day.
        gaps: days from one application to any later one, by the names of both.
        first_free: the first day on which each choice may be used, where one was used before.
        penalties: what is taken off when a choice follows another, by the names of both.
        limits: yearly limits that choices share.
        opening: what is taken off a choice made first, for what was used before the plan.
        late: what a choice gains late after the one before it, by the names of both; each entry
            starts no sooner than the one before it, and the last that has started counts.
        first_gains: what a choice gains if it is made first, where that differs.
    """

    choices: tuple[Choice, ...]
    years: Sequence[int]
    gaps: Mapping[tuple[str, str], int]
    first_free: Mapping[str, int] = field(default_factory=dict)
    penalties: Mapping[tuple[str, str], float] = field(default_factory=dict)
    limits: tuple[Limit, ...] = ()
    opening: Mapping[str, float] = field(default_factory=dict)
    late: Mapping[tuple[str, str], tuple[Late, ...]] = field(default_factory=dict)
    first_gains: Mapping[str, Sequence[float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse what the dynamic program would not solve exactly."""
        for choice in self.choices:
            if len(choice.gains) != len(self.years):
                raise ValueError(f"{choice.name} has gains for {len(choice.gains)} days")
        for p, q in itertools.product(self.choices, repeat=2):
            if self.gap(p.name, q.name) < 1:
                raise ValueError("two applications must be at least a day apart")
        for before, over, after in undercut(self.choices, self.gaps):
            message = f"a detour from {before} over {over} to {after} is shorter than their own gap"
            raise ValueError(message)

    def gap(self, before: str, after: str) -> int:
        """Days that must lie from one application to a later one."""
        return self.gaps[before, after]

    @cached_property
    def days(self) -> int:
        """The number of days."""
        return len(self.years)


@dataclass(frozen=True)
class Step:
    """One application of a schedule."""

    day: int
    choice: str


@dataclass(frozen=True)
class Schedule:
    """A sequence of applications and what it gains in all."""

    steps: tuple[Step, ...]
    gain: float


def gain_after(problem: Problem, before: Step | None, step: Step) -> float:
    """What a step gains after the one before it, or as the first one."""
    choice = next(c for c in problem.choices if c.name == step.choice)
    if before is None:
        return problem.first_gains.get(step.choice, choice.gains)[step.day]
    found = choice.gains
    for late in problem.late.get((before.choice, step.choice), ()):
        if late.since[before.day] <= step.day:
            found = late.gains
    return found[step.day]


def undercut(
    choices: Sequence[Choice], gaps: Mapping[tuple[str, str], int]
) -> list[tuple[str, str, str]]:
    """Triples where going over a second choice would come back sooner than the gap allows.

    A triple whose days lie so that it cannot happen is no such triple.
    """
    found = []
    for p, q, r in itertools.product(choices, repeat=3):
        own = gaps[p.name, r.name]
        if gaps[p.name, q.name] + gaps[q.name, r.name] >= own:
            continue
        if q.name in {p.name, r.name} or (p.once and p.once == r.once):
            continue
        if p.usable is None or q.usable is None or r.usable is None:
            continue
        earliest = max(r.usable[0], p.usable[0] + gaps[p.name, q.name] + gaps[q.name, r.name])
        if earliest <= r.usable[1] and earliest - p.usable[1] < own:
            found.append((p.name, q.name, r.name))
    return found


def closed(
    choices: Sequence[Choice], gaps: Mapping[tuple[str, str], int]
) -> dict[tuple[str, str], int]:
    """The gaps, raised as far as no detour undercuts one: each leg to half of the gap it spans."""
    result = dict(gaps)
    while found := undercut(choices, result):
        for p, q, r in found:
            half = math.ceil(result[p, r] / 2)
            result[p, q] = max(result[p, q], half)
            result[q, r] = max(result[q, r], half)
    return result


def gain_of(problem: Problem, steps: Sequence[Step]) -> float:
    """What a schedule gains, or FORBIDDEN where it breaks a limit."""
    by_name = {c.name: c for c in problem.choices}
    total = 0.0
    for number, step in enumerate(steps):
        choice = by_name[step.choice]
        earlier = steps[:number]
        if broken(problem, earlier, step) or choice.gains[step.day] == FORBIDDEN:
            return FORBIDDEN
        total += gain_after(problem, earlier[-1] if earlier else None, step)
        if earlier:
            total -= problem.penalties.get((earlier[-1].choice, step.choice), 0.0)
        else:
            total -= problem.opening.get(step.choice, 0.0)
    return total


def broken(problem: Problem, earlier: Sequence[Step], step: Step) -> str | None:
    """The limit that a step breaks after earlier ones; None if it breaks none."""
    choice = next(c for c in problem.choices if c.name == step.choice)
    year = problem.years[step.day]
    here = [s for s in (*earlier, step) if problem.years[s.day] == year]
    own = sum(s.choice == choice.name for s in here)
    if own + choice.used.get(year, 0) > choice.per_year:
        return "per-year"
    once = {c.name for c in problem.choices if c.once and c.once == choice.once}
    if any(s.choice in once for s in earlier):
        return "once"
    if step.day < problem.first_free.get(choice.name, 0):
        return "interval"
    if any(step.day - s.day < problem.gap(s.choice, choice.name) for s in earlier):
        return "interval"
    for limit in problem.limits:
        taken = sum(limit.weights.get(s.choice, 0.0) for s in here)
        if choice.name in limit.weights and taken + limit.used.get(year, 0.0) > limit.cap + LOOSE:
            return limit.name
    return None
