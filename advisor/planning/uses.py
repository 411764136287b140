"""How often each choice was used so far, as little of it as the limits of a problem need.

The solver's states are made here. A yearly count is kept only where a limit could come to bind: a
choice whose gaps let it be used no oftener than its label allows is not counted, nor is one that
may be used only once in all. What may be used once is remembered as long as it could be used again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.planning.problem import FORBIDDEN, LOOSE, Choice, Limit, Problem, Step

Counts = tuple[int, ...]
"""Uses in the year of a day of the choices that are counted, then 0 or 1 for what is used once."""


class Uses:
    """Counts of uses within the limits of a problem."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._choices = problem.choices
        self._number = {c.name: q for q, c in enumerate(self._choices)}
        self.years = sorted(set(problem.years))
        self.bounds = {year: _bounds(problem.years, year) for year in self.years}
        self._in_year = {
            (q, year): self._most_in(choice, year)
            for q, choice in enumerate(self._choices)
            for year in self.years
        }
        self._limits = [limit for limit in problem.limits if self._binds(limit)]
        counted = [q for q in range(len(self._choices)) if self._counts_matter(q)]
        self._slot = {q: slot for slot, q in enumerate(counted)}
        onces = sorted({c.once for c in self._choices if c.once})
        self._last_year = {
            name: max((self._last(c) for c in self._choices if c.once == name), default=0)
            for name in onces
        }
        self._flag = {
            q: len(counted) + onces.index(c.once) for q, c in enumerate(self._choices) if c.once
        }
        self._onces = onces
        self._allowed: dict[tuple[int, int, Counts], bool] = {}

    # ---- what has to be counted --------------------------------------------------------------

    def _most_in(self, choice: Choice, year: int) -> int:
        """The most uses in a year that days and gaps leave, whatever the label says."""
        start, end = self.bounds[year]
        days = [day for day in range(start, end) if choice.gains[day] > FORBIDDEN]
        if not days:
            return 0
        if choice.once:
            return 1
        return (days[-1] - days[0]) // self._problem.gap(choice.name, choice.name) + 1

    def _binds(self, limit: Limit) -> bool:
        """Whether a shared limit could be exceeded in any year."""
        for year in self.years:
            taken = limit.used.get(year, 0.0)
            for name, weight in limit.weights.items():
                q = self._number[name]
                allowed = self._choices[q].per_year - self._choices[q].used.get(year, 0)
                taken += weight * max(0, min(allowed, self._in_year[q, year]))
            if taken > limit.cap + LOOSE:
                return True
        return False

    def _counts_matter(self, q: int) -> bool:
        choice = self._choices[q]
        if any(choice.name in limit.weights for limit in self._limits):
            return True
        return any(
            choice.used.get(year, 0) + self._in_year[q, year] > choice.per_year
            and choice.used.get(year, 0) < choice.per_year
            for year in self.years
        )

    def _last(self, choice: Choice) -> int:
        """The last year in which a choice has a day."""
        return max((y for q, y in self._in_year if self._in_year[q, y] and
                    self._choices[q] is choice), default=0)  # fmt: skip

    # ---- counts ------------------------------------------------------------------------------

    def fresh(self, year: int, before: Counts | None = None) -> Counts:
        """The counts as a year starts, after those of the year before."""
        yearly = (0,) * len(self._slot)
        if before is None:
            return yearly + (0,) * len(self._onces)
        kept = before[len(self._slot) :]
        return yearly + tuple(
            flag if self._last_year[name] >= year else 0
            for flag, name in zip(kept, self._onces, strict=True)
        )

    def plus(self, counts: Counts, q: int) -> Counts:
        """The counts after a choice is used once more."""
        slot, flag = self._slot.get(q), self._flag.get(q)
        if slot is None and flag is None:
            return counts
        after = list(counts)
        if slot is not None:
            after[slot] += 1
        if flag is not None:
            after[flag] = 1
        return tuple(after)

    def may(self, q: int, counts: Counts, year: int) -> bool:
        """Whether a choice may be used once more in a year."""
        key = (q, year, counts)
        if key not in self._allowed:
            self._allowed[key] = self._within(q, counts, year)
        return self._allowed[key]

    def _within(self, q: int, counts: Counts, year: int) -> bool:
        choice = self._choices[q]
        slot, flag = self._slot.get(q), self._flag.get(q)
        made = counts[slot] if slot is not None else 0
        if choice.used.get(year, 0) + made >= choice.per_year:
            return False
        if flag is not None and counts[flag]:
            return False
        for limit in self._limits:
            if choice.name in limit.weights:
                taken = limit.used.get(year, 0.0) + limit.weights[choice.name]
                taken += sum(
                    counts[self._slot[self._number[name]]] * weight
                    for name, weight in limit.weights.items()
                )
                if taken > limit.cap + LOOSE:
                    return False
        return True

    def after(self, steps: Iterable[Step], day: int) -> Counts:
        """The counts by a day, after some steps."""
        year = self._problem.years[day]
        counts = self.fresh(year)
        for step in steps:
            q = self._number[step.choice]
            if self._problem.years[step.day] == year:
                counts = self.plus(counts, q)
            elif q in self._flag and self._last_year[self._choices[q].once] >= year:
                flags = list(counts)
                flags[self._flag[q]] = 1
                counts = tuple(flags)
        return counts

    def at(self, day: int, counts: Counts, before: int) -> Counts:
        """The counts of an earlier day as they stand on a later one: a new year starts afresh."""
        years = self._problem.years
        if day >= len(years) or years[day] == years[before]:
            return counts
        return self.fresh(years[day], counts)

    def reachable(self, year: int, made: int) -> list[Counts]:
        """Counts in a year that `made` applications, in it or before it, can have led to."""
        start = self.fresh(year)
        flags = {start}
        if year != self.years[0]:
            for n, name in enumerate(self._onces, len(self._slot)):
                if self._last_year[name] >= year:
                    flags |= {(*f[:n], 1, *f[n + 1 :]) for f in flags}
            flags = {f for f in flags if sum(f) <= made}
        result = set(flags)
        for flag in flags:
            edge = {flag}
            for _ in range(made - sum(flag)):
                edge = {
                    self.plus(counts, q)
                    for counts in edge
                    for q in range(len(self._choices))
                    if self._in_year[q, year] and self.may(q, counts, year)
                }
                result |= edge
        return sorted(result)


def _bounds(years: Sequence[int], year: int) -> tuple[int, int]:
    start = years.index(year)
    end = start
    while end < len(years) and years[end] == year:
        end += 1
    return start, end
