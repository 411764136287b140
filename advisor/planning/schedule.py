"""The best days to spray: an exact optimum by dynamic programming over days and choices.

Takes a `Problem` and gives its best schedules, and what moving a step would cost. Gains add up; the
planner hands in the negative logarithm of the survivors, so that the sum is largest where fewest
survive.

The state is (day, choice used last, uses of each choice this year, choices used up for good,
applications left). What a choice gains may depend on the day of the one before it, which is in the
state. Gaps bind consecutive applications, which is enough where they are such that no detour over
another choice is shorter; `Problem` refuses gaps for which it is not.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable
from itertools import accumulate, repeat
from operator import add, sub

from advisor.planning.problem import FORBIDDEN, SAME, Problem, Schedule, Step, gain_after
from advisor.planning.ranges import Legs, Peaks
from advisor.planning.uses import Counts, Uses

Table = dict[tuple[Counts, int], "array[float]"]
"""Values from the first day of a year to the end, for the counts in that year."""


def best_schedules(problem: Problem, most: int) -> list[Schedule]:
    """The best schedule with at most 0, 1, ... `most` applications."""
    return Solver(problem, most).schedules()


class Solver:
    """The dynamic program, filled from few applications to many, from the last day back.

    `_next[n][q]` holds, for a year and the counts in it, by day t from the first of the year, the
    best gain of making the next of n applications with choice q on day t or later. The lists run on
    past the last day by the longest gap, so that looking ahead needs no bounds.
    """

    def __init__(self, problem: Problem, most: int) -> None:
        self.problem = problem
        self._choices = problem.choices
        self._names = [c.name for c in problem.choices]
        self._count = len(problem.choices)
        self._gap = [[problem.gap(p.name, q.name) for q in self._choices] for p in self._choices]
        self._penalty = [
            [problem.penalties.get((p.name, q.name), 0.0) for q in self._choices]
            for p in self._choices
        ]
        self._uses = Uses(problem)
        self._usable = [
            [day for day, gain in enumerate(c.gains) if gain > FORBIDDEN] for c in self._choices
        ]
        self._bounds = self._uses.bounds
        self._beyond = 1 + max((max(row) for row in self._gap), default=0)
        self._ranges = Legs(problem, self._usable)
        self._next: list[list[Table]] = []
        self._peaks: list[list[list[dict[tuple[Counts, int], Peaks]]]] = []
        for left in range(1, most + 1):
            filled = [self._fill(q, left, most) for q in range(self._count)]
            self._next.append([tables[0] for tables, _ in filled])
            self._peaks.append([peaks for _, peaks in filled])

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

    def schedule(self, number: int) -> Schedule:
        """Read the best schedule of at most `number` applications off the table."""
        steps: list[Step] = []
        total = 0.0
        best, q, since = self._best_first(number)
        if best <= SAME:
            return Schedule((), 0.0)
        penalty = self.problem.opening.get(self._names[q], 0.0)
        counts, before = self._uses.fresh(self.problem.years[since]), since
        while True:
            last = steps[-1] if steps else None
            day, counts = self._find(number, q, since, counts, before, last, best + penalty)
            steps.append(Step(day, self._names[q]))
            total += gain_after(self.problem, last, steps[-1]) - penalty
            counts, before = self._uses.plus(counts, q), day
            number -= 1
            p = q
            best, q, since = self._best_after(number, p, day, counts)
            if best <= SAME:
                return Schedule(tuple(steps), total)
            penalty = self._penalty[p][q]

    def moved(self, schedule: Schedule, number: int) -> list[float]:
        """For each day, the gain from step `number` on if it is made on that day.

        The steps before it stay; those after it are chosen anew, as many as there were. FORBIDDEN
        marks a day on which the step cannot be made.
        """
        step = schedule.steps[number]
        q = self._names.index(step.choice)
        last = schedule.steps[number - 1] if number else None
        earliest = self.problem.first_free.get(step.choice, 0)
        for before in schedule.steps[:number]:
            earliest = max(earliest, before.day + self.problem.gap(before.choice, step.choice))
        left = len(schedule.steps) - number - 1
        values = [FORBIDDEN] * self.problem.days
        for day in self._usable[q]:
            if day < earliest:
                continue
            counts = self._uses.after(schedule.steps[:number], day)
            if not self._uses.may(q, counts, self.problem.years[day]):
                continue
            rest = max(0.0, self._best_after(left, q, day, self._uses.plus(counts, q))[0])
            values[day] = gain_after(self.problem, last, Step(day, step.choice)) + rest
        return values

    def next_after(self, schedule: Schedule) -> Step | None:
        """The best single application to add after the last one of a schedule."""
        last = schedule.steps[-1] if schedule.steps else None
        best, found = SAME, None
        for q, choice in enumerate(self._choices):
            earliest = self.problem.first_free.get(choice.name, 0)
            penalty = self.problem.opening.get(choice.name, 0.0)
            if last is not None:
                p = self._names.index(last.choice)
                earliest = max(earliest, last.day + self._gap[p][q])
                penalty = self._penalty[p][q]
            for day in self._usable[q]:
                if day < earliest:
                    continue
                value = gain_after(self.problem, last, Step(day, choice.name)) - penalty
                if value <= best + SAME:
                    continue
                counts = self._uses.after(schedule.steps, day)
                if self._uses.may(q, counts, self.problem.years[day]):
                    best, found = value, Step(day, choice.name)
        return found

    # ---- filling -----------------------------------------------------------------------------

    def _fill(
        self, q: int, left: int, most: int
    ) -> tuple[list[Table], list[dict[tuple[Counts, int], Peaks]]]:
        """For each year and each count of uses in it, the values from its first day to the end.

        One table for each way in which the choice can gain, the timely one first; where it can come
        late after another, the peaks of its single days beside it.
        """
        problem = self.problem
        choice = self._choices[q]
        first = problem.first_free.get(choice.name, 0)
        ways = self._ranges.ways[q]
        result: list[Table] = [{} for _ in ways]
        peaks: list[dict[tuple[Counts, int], Peaks]] = [{} for _ in ways]
        for year in reversed(self._uses.years):
            start, end = self._bounds[year]
            days = [day for day in self._usable[q] if max(start, first) <= day < end]
            lo, hi = (days[0], days[-1] + 1) if days else (end, end)
            for counts in self._uses.reachable(year, most - left):
                rest: list[float] = []
                if days and self._uses.may(q, counts, year):
                    after = self._uses.plus(counts, q)
                    rest = list(self._rest(left - 1, q, (lo, hi), after))
                for way, gains in enumerate(ways):
                    here = list(map(add, gains[lo:hi], rest))
                    later = array("d", [FORBIDDEN]) * self._beyond
                    single = later
                    if end < problem.days:
                        there = self._uses.fresh(problem.years[end], counts), problem.years[end]
                        later = result[way][there]
                        if self._ranges.late_after[q]:
                            single = peaks[way][there].days
                    result[way][counts, year] = _onward(here, later, start, lo, end)
                    if self._ranges.late_after[q]:
                        values = array("d", [FORBIDDEN]) * (lo - start)
                        values.extend(here)
                        values.extend([FORBIDDEN] * (end - lo - len(here)))
                        values.extend(single)
                        peaks[way][counts, year] = Peaks(values, result[way][counts, year])
        return result, peaks

    def _rest(self, left: int, last: int, days: tuple[int, int], counts: Counts) -> Iterable[float]:
        """For each day of a year's part, the best that can follow `last` used on it."""
        lo, end = days
        if left == 0:
            return repeat(0.0, end - lo)
        legs = (self._leg(left, last, q, days, counts) for q in range(self._count))
        return map(max, repeat(0.0), *legs)

    def _leg(
        self, left: int, last: int, q: int, days: tuple[int, int], counts: Counts
    ) -> Iterable[float]:
        """For each day on which `last` is used, the best of going on with `q`."""
        lo, end = days
        year = self.problem.years[lo]
        start = self._bounds[year][0]
        penalty = self._penalty[last][q]
        if (last, q) not in self._ranges.stretches:
            shift = self._gap[last][q] - start
            values = self._next[left - 1][q][counts, year]
            return map(sub, values[lo + shift : end + shift], repeat(penalty))
        peaks = [table[counts, year] for table in self._peaks[left - 1][q]]
        return map(sub, self._ranges.best(last, q, days, peaks, start), repeat(penalty))

    # ---- reading -----------------------------------------------------------------------------

    def _best_first(self, left: int) -> tuple[float, int, int]:
        """The best start: its value, its choice and the first day to look from."""
        best, which, since = 0.0, 0, 0
        if left == 0 or not self.problem.days:
            return best, which, since
        for q, choice in enumerate(self._choices):
            day = max(0, self.problem.first_free.get(choice.name, 0))
            if day >= self.problem.days:
                continue
            value = self._first(left, q, day) - self.problem.opening.get(choice.name, 0.0)
            if value > best + SAME:
                best, which, since = value, q, day
        return best, which, since

    def _first(self, left: int, q: int, day: int) -> float:
        """The best of making the first application with a choice on a day or later."""
        name = self._names[q]
        year = self.problem.years[day]
        fresh = self._uses.fresh(year)
        if name not in self.problem.first_gains:
            return self._next[left - 1][q][fresh, year][day - self._bounds[year][0]]
        values = [FORBIDDEN]
        for then in self._usable[q]:
            now = self._uses.at(then, fresh, day)
            if then >= day and self._uses.may(q, now, self.problem.years[then]):
                rest = self._best_after(left - 1, q, then, self._uses.plus(now, q))[0]
                values.append(self.problem.first_gains[name][then] + max(0.0, rest))
        return max(values)

    def _best_after(self, left: int, last: int, day: int, counts: Counts) -> tuple[float, int, int]:
        """The best continuation after using `last` on a day: its value, choice and first day."""
        best, which, since = 0.0, 0, 0
        if left == 0:
            return best, which, since
        for q in range(self._count):
            (value,) = self._leg(left, last, q, (day, day + 1), counts)
            if value > best + SAME:
                best, which, since = value, q, day + self._gap[last][q]
        return best, which, since

    def _find(
        self,
        left: int,
        q: int,
        since: int,
        counts: Counts,
        before: int,
        last: Step | None,
        wanted: float,
    ) -> tuple[int, Counts]:
        """The earliest day from `since` on that reaches a value, and the counts on it.

        `counts` are those of the day `before`.
        """
        since = max(since, self.problem.first_free.get(self._names[q], 0))
        for then in self._usable[q]:
            if then < since:
                continue
            now = self._uses.at(then, counts, before)
            if not self._uses.may(q, now, self.problem.years[then]):
                continue
            here = gain_after(self.problem, last, Step(then, self._names[q]))
            here += max(0.0, self._best_after(left - 1, q, then, self._uses.plus(now, q))[0])
            if here >= wanted - SAME:
                return then, now
        raise AssertionError("the table holds a value that no day reaches")


def _onward(here: list[float], later: array[float], start: int, lo: int, end: int) -> array[float]:
    """The best from each day of a year on, worked out from the last day back."""
    best = list(accumulate(reversed(here), max, initial=later[0]))[:0:-1]
    early = best[0] if best else later[0]
    values = array("d", [early]) * (lo - start)
    values.extend(best)
    values.extend([later[0]] * (end - lo - len(best)))
    values.extend(later)
    return values
