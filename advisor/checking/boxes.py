"""What rules mean together, decided exactly: their conditions as boxes over the facts.

A clause is a box: a band or a set of options for each fact it reads. `Space` says whether boxes can
hold, meet or cover each other under the relations of facts.yaml. It runs no engine, tries no
sample, and takes a fact as the one true value, not as what a caller knows of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from advisor.checking.octagon import Least, satisfiable
from advisor.model import Bound, FactDef, Implication, Relation
from advisor.terms import Clause, Condition, Options, Value


@dataclass(frozen=True, slots=True)
class Band:
    """Numbers from `low` to `high`; `high` itself belongs to it only where it is closed."""

    low: Fraction
    high: Fraction
    closed: bool

    @property
    def empty(self) -> bool:
        """Whether no number lies in it."""
        return self.low > self.high or (self.low == self.high and not self.closed)


Part: TypeAlias = Band | frozenset[str]
Box: TypeAlias = Mapping[str, Part]
"""What each fact may be; a fact that is not in it may be anything."""


class Space:
    """All that facts can be together."""

    def __init__(self, facts: Mapping[str, FactDef], relations: Iterable[Relation] = ()) -> None:
        self._facts = facts
        self._relations = tuple(relations)

    # ---- boxes -----------------------------------------------------------------------------

    def whole(self, fact: str) -> Part:
        """All that a fact can be."""
        return self._part(self._facts[fact].unknown)

    def of(self, conditions: Iterable[Condition]) -> Box | None:
        """The box in which all conditions hold; None where they exclude each other."""
        box: Box | None = {}
        for condition in conditions:
            box = self.meet(box, condition) if box is not None else None
        return box

    def given(self, values: Mapping[str, Value]) -> Box:
        """The box of values, such as those of an example."""
        return {fact: self._part(value) for fact, value in values.items()}

    def meet(self, box: Box, condition: Condition) -> Box | None:
        """The part of a box in which a condition holds; None where there is none."""
        return self._narrowed(box, condition.fact, self._holds(condition))

    def minus(self, box: Box, condition: Condition) -> Iterator[Box]:
        """The parts of a box in which a condition does not hold."""
        for part in self._fails(condition):
            narrowed = self._narrowed(box, condition.fact, part)
            if narrowed is not None:
                yield narrowed

    def _narrowed(self, box: Box, fact: str, part: Part) -> Box | None:
        both = _common(box[fact] if fact in box else self.whole(fact), part)
        return None if both is None else {**box, fact: both}

    @staticmethod
    def _part(value: Value) -> Part:
        if isinstance(value, Options):
            return value.possible
        return Band(_exact(value.low), _exact(value.high), True)

    def _holds(self, condition: Condition) -> Part:
        if condition.on_choice:
            return condition.options
        whole = self.whole(condition.fact)
        assert isinstance(whole, Band)
        low = whole.low if condition.low is None else _exact(condition.low)
        if condition.high is None:
            return Band(low, whole.high, True)
        return Band(low, _exact(condition.high), False)

    def _fails(self, condition: Condition) -> Iterator[Part]:
        whole = self.whole(condition.fact)
        if isinstance(whole, frozenset):
            yield whole - condition.options
            return
        if condition.low is not None:
            yield Band(whole.low, _exact(condition.low), False)
        if condition.high is not None:
            yield Band(_exact(condition.high), whole.high, True)

    # ---- questions -------------------------------------------------------------------------

    def possible(self, box: Box | None) -> bool:
        """Whether the facts can be so, given what always holds between them."""
        if box is None or not all(map(_some, box.values())):
            return False
        linked = self._linked(box)
        bounds = [r for r in linked if isinstance(r, Bound)]
        return self._branch(box, [r for r in linked if isinstance(r, Implication)], bounds)

    def holds(self, clause: Clause) -> bool:
        """Whether a clause can hold at all."""
        return self.possible(self.of(clause.conditions))

    def together(
        self, one: Iterable[Clause], other: Iterable[Clause]
    ) -> tuple[Clause, Clause] | None:
        """A clause of each that can hold at the same time; None where there are none."""
        others = list(other)
        for first in one:
            for second in others:
                if self.possible(self.of((*first.conditions, *second.conditions))):
                    return first, second
        return None

    def inside(self, narrow: Iterable[Clause], wide: Iterable[Clause]) -> bool:
        """Whether one of the wide clauses holds wherever one of the narrow ones does."""
        cover = list(wide)
        return not any(
            self.possible(left)
            for clause in narrow
            if (box := self.of(clause.conditions)) is not None
            for left in self._outside(box, cover)
        )

    def _outside(self, box: Box, clauses: list[Clause]) -> Iterator[Box]:
        """The parts of a box in which none of the clauses holds."""
        if not clauses:
            yield box
            return
        for condition in clauses[0].conditions:
            for left in self.minus(box, condition):
                yield from self._outside(left, clauses[1:])

    # ---- relations -------------------------------------------------------------------------

    def _linked(self, box: Box) -> list[Relation]:
        """The relations that tie the facts of a box to each other, by way of others too."""
        reached, left = set(box), list(self._relations)
        found: list[Relation] = []
        while near := [r for r in left if reached & set(r.facts)]:
            found += near
            left = [r for r in left if r not in near]
            reached |= {fact for r in near for fact in r.facts}
        return found

    def _branch(self, box: Box, implications: list[Implication], bounds: list[Bound]) -> bool:
        """Whether some way of meeting each implication leaves numbers that meet the bounds."""
        if not implications:
            return self._meet_bounds(box, bounds)
        first, *rest = implications
        ways = [*self.minus(box, first.when), self.meet(box, first.then)]
        return any(self._branch(way, rest, bounds) for way in ways if way is not None)

    def _meet_bounds(self, box: Box, bounds: list[Bound]) -> bool:
        found = [Least(tuple(zip(b.facts, b.signs, strict=True)), _exact(b.least)) for b in bounds]
        for fact in {fact for bound in bounds for fact in bound.facts}:
            band = box[fact] if fact in box else self.whole(fact)
            assert isinstance(band, Band)
            found.append(Least(((fact, 1),), band.low))
            found.append(Least(((fact, -1),), -band.high, not band.closed))
        return satisfiable(found)


def _some(part: Part) -> bool:
    return bool(part) if isinstance(part, frozenset) else not part.empty


def _common(one: Part, other: Part) -> Part | None:
    """What two parts of a fact have in common."""
    if isinstance(one, frozenset) and isinstance(other, frozenset):
        return one & other or None
    assert isinstance(one, Band)
    assert isinstance(other, Band)
    high = min(one.high, other.high)
    closed = all(band.closed or band.high > high for band in (one, other))
    both = Band(max(one.low, other.low), high, closed)
    return None if both.empty else both


def _exact(number: float) -> Fraction:
    """The number as it is written: 0.9 is nine tenths."""
    return Fraction(str(number))
