"""The best days to spray: an exact optimum by dynamic programming over days and choices.

Takes a `Problem` and gives its best schedules, and what moving a step would cost. Gains add up; the
planner hands in the negative logarithm of the survivors, so that the sum is largest where fewest
survive.

The state is (day, choice used last, uses of each choice this year, choices used up for good,
applications left). Gaps bind consecutive applications, which is enough where they are such that no
detour over another choice is shorter; `Problem` refuses gaps for which it is not.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable
from itertools import accumulate, repeat
from operator import add, sub

from advisor.planning.problem import FORBIDDEN, SAME, Problem, Schedule, Step
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
        self._next: list[list[Table]] = []
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

    def schedule(self, number: int) -> Schedule:
        """Read the best schedule of at most `number` applications off the table."""
        steps: list[Step] = []
        total = 0.0
        best, q, day = self._best_first(number)
        if best <= SAME:
            return Schedule((), 0.0)
        total -= self.problem.opening.get(self._names[q], 0.0)
        counts = self._uses.fresh(self.problem.years[day])
        while True:
            day, counts = self._find(number, q, day, counts)
            last = q
            steps.append(Step(day, self._names[q]))
            total += self._choices[q].gains[day]
            counts = self._uses.plus(counts, q)
            number -= 1
            best, q, ahead = self._best_after(number, last, day, counts)
            if best <= SAME:
                return Schedule(tuple(steps), total)
            total -= self._penalty[last][q]
            counts = self._uses.at(ahead, counts, day)
            day = ahead

    def moved(self, schedule: Schedule, number: int) -> list[float]:
        """For each day, the gain from step `number` on if it is made on that day.

        The steps before it stay; those after it are chosen anew, as many as there were. FORBIDDEN
        marks a day on which the step cannot be made.
        """
        step = schedule.steps[number]
        q = self._names.index(step.choice)
        choice = self._choices[q]
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
            values[day] = choice.gains[day] + rest
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
                value = choice.gains[day] - penalty
                if day < earliest or value <= best + SAME:
                    continue
                counts = self._uses.after(schedule.steps, day)
                if self._uses.may(q, counts, self.problem.years[day]):
                    best, found = value, Step(day, choice.name)
        return found

    # ---- filling -----------------------------------------------------------------------------

    def _fill(self, q: int, left: int, most: int) -> Table:
        """For each year and each count of uses in it, the values from its first day to the end."""
        problem = self.problem
        choice = self._choices[q]
        first = problem.first_free.get(choice.name, 0)
        result: Table = {}
        for year in reversed(self._uses.years):
            start, end = self._bounds[year]
            days = [day for day in self._usable[q] if max(start, first) <= day < end]
            lo, hi = (days[0], days[-1] + 1) if days else (end, end)
            for counts in self._uses.reachable(year, most - left):
                later = array("d", [FORBIDDEN]) * self._beyond
                if end < problem.days:
                    there = problem.years[end]
                    later = result[self._uses.fresh(there, counts), there]
                best: list[float] = []
                if days and self._uses.may(q, counts, year):
                    rest = self._rest(left - 1, q, (lo, hi), self._uses.plus(counts, q))
                    here = list(map(add, choice.gains[lo:hi], rest))
                    # the best from each day on, worked out from the last day back
                    best = list(accumulate(reversed(here), max, initial=later[0]))[:0:-1]
                early = best[0] if best else later[0]
                late = [later[0]] * (end - lo - len(best))
                values = array("d", [early]) * (lo - start)
                values.extend(best)
                values.extend(late)
                values.extend(later)
                result[counts, year] = values
        return result

    def _rest(self, left: int, last: int, days: tuple[int, int], counts: Counts) -> Iterable[float]:
        """For each day of a year's part, the best that can follow `last` used on it."""
        lo, end = days
        if left == 0:
            return repeat(0.0, end - lo)
        return map(
            max,
            repeat(0.0),
            *(
                map(sub, values[lo + shift : end + shift], repeat(penalty))
                for values, shift, penalty in self._legs(left, last, self.problem.years[lo], counts)
            ),
        )

    def _legs(
        self, left: int, last: int, year: int, counts: Counts
    ) -> list[tuple[array[float], int, float]]:
        """The ways on after using `last` in a year: values, shift into them, and penalty."""
        if left == 0:
            return []
        start = self._bounds[year][0]
        return [
            (table[counts, year], gap - start, penalty)
            for table, gap, penalty in zip(
                self._next[left - 1], self._gap[last], self._penalty[last], strict=True
            )
        ]

    # ---- reading -----------------------------------------------------------------------------

    def _value(self, left: int, q: int, counts: Counts, day: int) -> float:
        year = self.problem.years[day]
        return self._next[left - 1][q][counts, year][day - self._bounds[year][0]]

    def _best_first(self, left: int) -> tuple[float, int, int]:
        """The best start: its value, its choice and the first day to look from."""
        best, which, ahead = 0.0, 0, 0
        if left == 0 or not self.problem.days:
            return best, which, ahead
        for q, choice in enumerate(self._choices):
            day = max(0, self.problem.first_free.get(choice.name, 0))
            if day >= self.problem.days:
                continue
            value = self._value(left, q, self._uses.fresh(self.problem.years[day]), day)
            value -= self.problem.opening.get(choice.name, 0.0)
            if value > best + SAME:
                best, which, ahead = value, q, day
        return best, which, ahead

    def _best_after(self, left: int, last: int, day: int, counts: Counts) -> tuple[float, int, int]:
        """The best continuation after using `last` on a day: its value, choice and first day."""
        best, which, ahead = 0.0, 0, 0
        for q, leg in enumerate(self._legs(left, last, self.problem.years[day], counts)):
            values, shift, penalty = leg
            if values[day + shift] - penalty > best + SAME:
                best, which, ahead = values[day + shift] - penalty, q, day + self._gap[last][q]
        return best, which, ahead

    def _find(self, left: int, q: int, day: int, counts: Counts) -> tuple[int, Counts]:
        """The earliest day on which the value from `day` on is reached, and the counts then."""
        wanted = self._value(left, q, counts, day)
        choice = self._choices[q]
        for then in self._usable[q]:
            if then < day:
                continue
            now = self._uses.at(then, counts, day)
            if not self._uses.may(q, now, self.problem.years[then]):
                continue
            here = choice.gains[then]
            here += max(0.0, self._best_after(left - 1, q, then, self._uses.plus(now, q))[0])
            if here >= wanted - SAME:
                return then, now
        raise AssertionError("the table holds a value that no day reaches")
