"""Best values over stretches of days, for choices that gain less the later they come after another.

The solver's helper for `Late`: it cuts what may follow an application into stretches in which the
gain is the same, and finds the peak of each. Plain numbers only.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate, chain, pairwise, repeat
from typing import NamedTuple

from advisor.planning.problem import FORBIDDEN, Problem

Stretch = tuple[int, int]
"""A first day and the day after the last one; empty where the one is not before the other."""
SLIDES, STANDS, SHRINKS = (1, 1), (0, 0), (1, 0)
"""How far both ends of a stretch move with each day of the earlier application."""


class Run(NamedTuple):
    """Days of the earlier application, bounded by `first` and `after`, whose stretches move alike.

    `stretch` is the one of the first day.
    """

    first: int
    after: int
    moves: tuple[int, int]
    stretch: Stretch


class Peaks:
    """Values by day, and what is the highest of them over stretches of days."""

    def __init__(self, days: array[float], onward: array[float]) -> None:
        self.days = days
        self._onward = onward
        self._levels = [days]

    def of(self, run: Run, lo: int, hi: int, start: int, end: int) -> Iterable[float]:
        """The highest value for each day of a run from `lo` up to but not `hi`.

        Args:
            run: the run.
            lo: the first day.
            hi: the day after the last.
            start: the day of the first value.
            end: the day after the last one that counts.
        """
        moved, count = lo - run.first, hi - lo
        first = run.stretch[0] + moved * run.moves[0] - start
        after = run.stretch[1] + moved * run.moves[1] - start
        if run.moves == STANDS:
            value = max(self.days[first:after], default=FORBIDDEN)
            return repeat(value, count)
        if run.moves == SHRINKS:
            if run.stretch[1] >= end:
                return self._onward[first : first + count]
            highest = list(accumulate(reversed(self.days[first:after]), max))
            highest.reverse()
            return chain(highest[:count], repeat(FORBIDDEN, count - len(highest)))
        width = after - first
        if width <= 0:
            return repeat(FORBIDDEN, count)
        number = width.bit_length() - 1
        here = self._level(number)
        one = here[first : first + count]
        second = after - (1 << number)
        return one if second == first else map(max, one, here[second : second + count])

    def _level(self, number: int) -> array[float]:
        """The highest over two to the power of `number` days from each day on."""
        while len(self._levels) <= number:
            last = self._levels[-1]
            width = 1 << (len(self._levels) - 1)
            self._levels.append(array("d", map(max, last, last[width:])))
        return self._levels[number]


class Legs:
    """The stretches in which one choice can follow another.

    Attributes:
        ways: by choice, the gains it can have: timely ones first.
        late_after: by choice, whether it can come late after any.
        stretches: by the numbers of two choices, for each way its stretch.
    """

    def __init__(self, problem: Problem, usable: Sequence[Sequence[int]]) -> None:
        number = {c.name: q for q, c in enumerate(problem.choices)}
        self.ways: list[list[Sequence[float]]] = [[c.gains] for c in problem.choices]
        self._end = problem.days
        self.late_after = [False] * len(problem.choices)
        self.stretches: dict[tuple[int, int], list[tuple[int, list[Run]]]] = {}
        for (before, after), bands in problem.late.items():
            p, q = number[before], number[after]
            if not bands or not usable[p] or not usable[q]:
                continue
            self.late_after[q] = True
            ways = [0, *(self._way(q, band.gains) for band in bands)]
            gap = problem.gap(before, after)
            edges = [[day + gap for day in range(problem.days)]]
            for band in bands:
                edges.append([max(a, b) for a, b in zip(edges[-1], band.since, strict=True)])
            edges.append([problem.days] * problem.days)
            self.stretches[p, q] = [
                (way, _runs(_clipped(pair, problem.days)))
                for way, pair in zip(ways, pairwise(edges), strict=True)
            ]

    def _way(self, q: int, gains: Sequence[float]) -> int:
        for number, known in enumerate(self.ways[q]):
            if known is gains or list(known) == list(gains):
                return number
        self.ways[q].append(gains)
        return len(self.ways[q]) - 1

    def best(
        self, p: int, q: int, days: tuple[int, int], peaks: Sequence[Peaks], start: int
    ) -> Iterable[float]:
        """For each day on which `p` is used, the peak over all days on which `q` may follow.

        Args:
            p: the choice used.
            q: the one that follows.
            days: the first day on which `p` is used, and the day after the last.
            peaks: the values of `q` for each of its ways, from a first day on.
            start: that first day.
        """
        found = [
            chain.from_iterable(self._parts(runs, peaks[way], days, start))
            for way, runs in self.stretches[p, q]
        ]
        return map(max, *found)

    def _parts(
        self, runs: Iterable[Run], peaks: Peaks, days: tuple[int, int], start: int
    ) -> Iterator[Iterable[float]]:
        lo, hi = days
        for run in runs:
            if run.first < hi and lo < run.after:
                yield peaks.of(run, max(run.first, lo), min(run.after, hi), start, self._end)


def _clipped(edges: tuple[list[int], list[int]], end: int) -> list[Stretch]:
    return [(min(a, end), min(b, end)) for a, b in zip(*edges, strict=True)]


def _runs(stretches: Sequence[Stretch]) -> list[Run]:
    """The days in runs, as long as they can be."""
    found: list[Run] = []
    day = 0
    while day < len(stretches):
        moves, after = max(
            ((m, _run_end(stretches, day, m)) for m in (SHRINKS, SLIDES, STANDS)),
            key=lambda run: run[1],
        )
        found.append(Run(day, after, moves, stretches[day]))
        day = after
    return found


def _run_end(stretches: Sequence[Stretch], day: int, moves: tuple[int, int]) -> int:
    first, after = stretches[day]
    number = 1
    while day + number < len(stretches) and stretches[day + number] == (
        first + number * moves[0],
        after + number * moves[1],
    ):
        number += 1
    return day + number
