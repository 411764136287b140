"""The best days to spray: an exact optimum by dynamic programming over days and choices.

Works on plain numbers: what each choice (a product at a rate) gains on each day, how far apart two
applications must be, how often a choice may be used in a calendar year. Gains add up; the planner
hands in the negative logarithm of the survivors, so that the sum is largest where fewest survive.
It knows nothing of weeds, labels or weather.

The state is (day, choice used last, times each choice was used this year, applications left). Gaps
bind consecutive applications, which is enough where they are such that no detour over another
choice is shorter than the gap of a choice to itself; `Problem` refuses gaps for which it is not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

FORBIDDEN = float("-inf")
SAME = 1e-12


@dataclass(frozen=True)
class Choice:
    """Something that can be applied.

    Attributes:
        name: its name, unique in a problem.
        gains: what it gains on each day; FORBIDDEN where it may not be used.
        per_year: how often the label allows it in a calendar year.
        used: times it was already used, by year.
    """

    name: str
    gains: Sequence[float]
    per_year: int
    used: Mapping[int, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Problem:
    """What to choose from and what limits it.

    Attributes:
        choices: the choices; all have the same number of days.
        years: the calendar year of each day.
        gaps: days from one application to the next, by the names of both.
        first_free: the first day on which each choice may be used, where one was used before.
        penalties: what is taken off when a choice follows another, by the names of both.
    """

    choices: tuple[Choice, ...]
    years: Sequence[int]
    gaps: Mapping[tuple[str, str], int]
    first_free: Mapping[str, int] = field(default_factory=dict)
    penalties: Mapping[tuple[str, str], float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse what the dynamic program would not solve exactly."""
        for choice in self.choices:
            if len(choice.gains) != len(self.years):
                raise ValueError(f"{choice.name} has gains for {len(choice.gains)} days")
        names = [c.name for c in self.choices]
        for p in names:
            for q in names:
                if self.gap(p, q) < 1:
                    raise ValueError("two applications must be at least a day apart")
                if p != q and self.gap(p, q) + self.gap(q, p) < self.gap(p, p):
                    raise ValueError(f"a detour from {p} over {q} is shorter than its own gap")

    def gap(self, before: str, after: str) -> int:
        """Days that must lie from one application to the next."""
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


def best_schedules(problem: Problem, most: int) -> list[Schedule]:
    """The best schedule with at most 0, 1, ... `most` applications."""
    return Solver(problem, most).schedules()


def gain_of(problem: Problem, steps: Sequence[Step]) -> float:
    """What a schedule gains, or FORBIDDEN where it breaks a limit."""
    by_name = {c.name: c for c in problem.choices}
    used: dict[tuple[str, int], int] = {}
    total, last = 0.0, None
    for step in steps:
        choice = by_name[step.choice]
        year = problem.years[step.day]
        key = (choice.name, year)
        used[key] = used.get(key, choice.used.get(year, 0)) + 1
        if used[key] > choice.per_year or step.day < problem.first_free.get(choice.name, 0):
            return FORBIDDEN
        for earlier in steps[: steps.index(step)]:
            if earlier.choice == choice.name and step.day - earlier.day < problem.gap(
                choice.name, choice.name
            ):
                return FORBIDDEN
        if last is not None:
            if step.day - last.day < problem.gap(last.choice, choice.name):
                return FORBIDDEN
            total -= problem.penalties.get((last.choice, choice.name), 0.0)
        total += choice.gains[step.day]
        last = step
    return total


class Solver:
    """The dynamic program, filled from few applications to many, from the last day back.

    `_next[n][q]` holds, for the counts of this year and a day t, the best gain of making the next
    of n applications with choice q on day t or later.
    """

    def __init__(self, problem: Problem, most: int) -> None:
        self._problem = problem
        self._choices = problem.choices
        self._names = [c.name for c in problem.choices]
        self._count = len(problem.choices)
        self._gap = [[problem.gap(p.name, q.name) for q in self._choices] for p in self._choices]
        self._penalty = [
            [problem.penalties.get((p.name, q.name), 0.0) for q in self._choices]
            for p in self._choices
        ]
        self._fresh = {
            year: tuple(min(c.per_year, c.used.get(year, 0)) for c in self._choices)
            for year in set(problem.years)
        }
        # the first day of the year after the one of each day, or the end
        self._turns = _year_turns(problem.years)
        self._next: list[list[dict[tuple[tuple[int, ...], int], list[float]]]] = []
        for left in range(1, most + 1):
            self._next.append([self._fill(q, left, most) for q in range(self._count)])

    def schedules(self) -> list[Schedule]:
        """The best schedule with at most 0, 1, ... applications.

        Among schedules of equal gain the one with fewer applications is taken, then the one whose
        first step, second step and so on come earlier.
        """
        found: list[Schedule] = []
        for number in range(len(self._next) + 1):
            here = self.schedule(number)
            if found and here.gain <= found[-1].gain + SAME:
                here = found[-1]
            found.append(here)
        return found

    def moved(self, schedule: Schedule, number: int) -> list[float]:
        """For each day, the gain from step `number` on if it is made on that day.

        The steps before it stay; those after it are chosen anew, as many as there were. FORBIDDEN
        marks a day on which the step cannot be made.
        """
        step = schedule.steps[number]
        q = self._names.index(step.choice)
        choice = self._choices[q]
        earliest = self._problem.first_free.get(step.choice, 0)
        for before in schedule.steps[:number]:
            earliest = max(earliest, before.day + self._problem.gap(before.choice, step.choice))
        left = len(schedule.steps) - number - 1
        values = [FORBIDDEN] * self._problem.days
        for day in range(earliest, self._problem.days):
            counts = self._counts(schedule.steps[:number], day)
            if choice.gains[day] == FORBIDDEN or counts[q] >= choice.per_year:
                continue
            rest = max(0.0, self._best_after(left, q, day, _plus(counts, q))[0])
            values[day] = choice.gains[day] + rest
        return values

    def _counts(self, steps: Sequence[Step], day: int) -> tuple[int, ...]:
        """Uses of each choice in the year of a day, after some steps."""
        year = self._problem.years[day]
        counts = self._fresh[year]
        for step in steps:
            if self._problem.years[step.day] == year:
                counts = _plus(counts, self._names.index(step.choice))
        return counts

    def schedule(self, number: int) -> Schedule:
        """Read the best schedule of at most `number` applications off the table."""
        steps: list[Step] = []
        total = 0.0
        best, q = self._best_first(number)
        if best <= SAME:
            return Schedule((), 0.0)
        day = self._problem.first_free.get(self._choices[q].name, 0)
        counts = self._at(day, self._fresh[self._problem.years[0]], 0)
        while True:
            day, counts = self._find(number, q, day, counts)
            last = q
            steps.append(Step(day, self._choices[q].name))
            total += self._choices[q].gains[day]
            counts = _plus(counts, q)
            number -= 1
            best, q, ahead = self._best_after(number, last, day, counts)
            if best <= SAME:
                return Schedule(tuple(steps), total)
            total -= self._penalty[last][q]
            counts = self._at(ahead, counts, day)
            day = ahead

    # ---- filling ---------------------------------------------------------------------------

    def _fill(self, q: int, left: int, most: int) -> dict[tuple[tuple[int, ...], int], list[float]]:
        """For each year and each count of uses in it, the values by day within that year."""
        problem = self._problem
        choice = self._choices[q]
        first = problem.first_free.get(choice.name, 0)
        result: dict[tuple[tuple[int, ...], int], list[float]] = {}
        for year in sorted(self._fresh, reverse=True):
            start, end = _bounds(problem.years, year)
            beyond = FORBIDDEN
            if end < problem.days:
                later = problem.years[end]
                beyond = result[self._fresh[later], later][0]
            for counts in self._reachable(year, most - left):
                values = [beyond] * (end - start)
                best = beyond
                usable = counts[q] < choice.per_year
                after = _plus(counts, q)
                for day in range(end - 1, start - 1, -1):
                    gain = choice.gains[day]
                    if usable and gain > FORBIDDEN and day >= first:
                        here = gain
                        if left > 1:
                            here += max(0.0, self._best_after(left - 1, q, day, after)[0])
                        if here >= best - SAME:
                            best = max(best, here)
                    values[day - start] = best
                result[counts, year] = values
        return result

    def _reachable(self, year: int, made: int) -> list[tuple[int, ...]]:
        """Counts of uses in a year that `made` applications can have led to."""
        found = {self._fresh[year]}
        edge = found
        for _ in range(made):
            edge = {
                _plus(counts, q)
                for counts in edge
                for q in range(self._count)
                if counts[q] < self._choices[q].per_year
            }
            found = found | edge
        return sorted(found)

    # ---- reading ---------------------------------------------------------------------------

    def _value(self, left: int, q: int, counts: tuple[int, ...], day: int) -> float:
        if day >= self._problem.days:
            return FORBIDDEN
        year = self._problem.years[day]
        start = self._turns[year][0]
        return self._next[left - 1][q][counts, year][day - start]

    def _at(self, day: int, counts: tuple[int, ...], before: int) -> tuple[int, ...]:
        """The counts as they stand on a later day: a new year starts afresh."""
        years = self._problem.years
        if day >= len(years) or years[day] == years[before]:
            return counts
        return self._fresh[years[day]]

    def _best_first(self, left: int) -> tuple[float, int]:
        best, which = 0.0, 0
        if left == 0 or not self._problem.days:
            return best, which
        for q, choice in enumerate(self._choices):
            day = self._problem.first_free.get(choice.name, 0)
            if day >= self._problem.days:
                continue
            counts = self._fresh[self._problem.years[day]]
            value = self._value(left, q, counts, day)
            if value > best + SAME:
                best, which = value, q
        return best, which

    def _best_after(
        self, left: int, last: int, day: int, counts: tuple[int, ...]
    ) -> tuple[float, int, int]:
        """The best continuation after using `last` on a day: its value, choice and first day."""
        best, which, ahead = 0.0, 0, 0
        if left == 0:
            return best, which, ahead
        for q in range(self._count):
            then = day + self._gap[last][q]
            if then >= self._problem.days:
                continue
            value = self._value(left, q, self._at(then, counts, day), then)
            value -= self._penalty[last][q]
            if value > best + SAME:
                best, which, ahead = value, q, then
        return best, which, ahead

    def _find(
        self, left: int, q: int, day: int, counts: tuple[int, ...]
    ) -> tuple[int, tuple[int, ...]]:
        """The earliest day on which the value from `day` on is reached, and the counts then."""
        wanted = self._value(left, q, counts, day)
        choice = self._choices[q]
        for then in range(day, self._problem.days):
            now = self._at(then, counts, day)
            if choice.gains[then] == FORBIDDEN or now[q] >= choice.per_year:
                continue
            here = choice.gains[then]
            here += max(0.0, self._best_after(left - 1, q, then, _plus(now, q))[0])
            if here >= wanted - SAME:
                return then, now
        raise AssertionError("the table holds a value that no day reaches")


def _plus(counts: tuple[int, ...], q: int) -> tuple[int, ...]:
    return (*counts[:q], counts[q] + 1, *counts[q + 1 :])


def _bounds(years: Sequence[int], year: int) -> tuple[int, int]:
    start = years.index(year)
    end = start
    while end < len(years) and years[end] == year:
        end += 1
    return start, end


def _year_turns(years: Sequence[int]) -> dict[int, tuple[int, int]]:
    return {year: _bounds(years, year) for year in set(years)}
