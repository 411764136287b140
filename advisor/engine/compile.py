"""Clauses compiled to plain conjunctions of tests, the form that both engines are fed.

Each clause becomes two engine rules: the shown form tests the near end of every interval, the open
form the far end, so neither needs negation. Nothing here imports an engine or decides what holds:
numbers are compared, and facts joined, by the engine alone.
"""

from __future__ import annotations

import math
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from advisor.engine.base import EngineError
from advisor.terms import Clause, Condition, Firing, Options, Span, Truth, Value


@dataclass(frozen=True, slots=True)
class Comparison:
    """One test of a field of a fact: `lo` or `hi` of a number, `v` or `c` of a choice."""

    field: str
    op: str
    """`>=`, `<` or `==`."""
    value: float | str


@dataclass(frozen=True, slots=True)
class Pattern:
    """A condition as the engine sees it: there is a fact of this name that passes every test."""

    fact: str
    tests: tuple[Comparison, ...]


@dataclass(frozen=True, slots=True)
class EngineRule:
    """One form of one clause: when every pattern is matched, it has fired."""

    name: str
    patterns: tuple[Pattern, ...]
    firing: Firing


@dataclass(frozen=True, slots=True)
class Token:
    """One fact as the engine is told it: `lo` and `hi`, or `v` and `c`."""

    fact: str
    fields: tuple[tuple[str, float | str], ...]


@dataclass(frozen=True, slots=True)
class Compiled:
    """The rules for an engine, and what must be known to tell it the facts of a call."""

    rules: tuple[EngineRule, ...]
    numbers: frozenset[str]
    groups: Mapping[str, tuple[frozenset[str], ...]]
    """For each choice fact, the sets of options that some clause tests it against."""

    def tokens(self, facts: Mapping[str, Value]) -> Iterator[Token]:
        """The facts as the engine is told them; facts that no clause reads are left out."""
        for fact, value in facts.items():
            if fact in self.numbers:
                if not isinstance(value, Span):
                    raise EngineError(f"{fact} is tested as a number but given as a choice")
                yield Token(fact, (("lo", value.low), ("hi", value.high)))
            elif fact in self.groups:
                if not isinstance(value, Options):
                    raise EngineError(f"{fact} is tested as a choice but given as a number")
                for group in self.groups[fact]:
                    if value.possible & group:
                        certain = "yes" if value.possible <= group else "no"
                        yield Token(fact, (("v", group_name(group)), ("c", certain)))


def compile_clauses(clauses: Iterable[Clause]) -> Compiled:
    """The shown and the open form of every clause.

    Raises:
        EngineError: for a clause without conditions, a condition without a test, a bound that is
            not finite, or a fact tested both as a number and as a choice.
    """
    rules: list[EngineRule] = []
    numbers: set[str] = set()
    groups: defaultdict[str, set[frozenset[str]]] = defaultdict(set)
    for index, clause in enumerate(clauses):
        if not clause.conditions:
            raise EngineError(f"clause {clause.number} of rule {clause.rule} has no condition")
        for condition in clause.conditions:
            _check(condition, clause)
            if condition.on_choice:
                groups[condition.fact].add(condition.options)
            else:
                numbers.add(condition.fact)
        matched = tuple(condition.fact for condition in clause.conditions)
        for letter, form in (("s", Truth.SHOWN), ("o", Truth.OPEN)):
            patterns = tuple(_pattern(condition, form) for condition in clause.conditions)
            firing = Firing(clause.rule, clause.number, form, matched)
            rules.append(EngineRule(f"{letter}{index}", patterns, firing))
    if both := numbers & groups.keys():
        raise EngineError(f"tested both as a number and as a choice: {', '.join(sorted(both))}")
    ordered = {fact: tuple(sorted(sets, key=group_name)) for fact, sets in groups.items()}
    return Compiled(tuple(rules), frozenset(numbers), ordered)


def group_name(options: frozenset[str]) -> str:
    """How a set of options is written in a test and in a token."""
    return "|".join(sorted(options))


def plain(number: float) -> str:
    """A number as digits with a point: never an exponent, never infinite.

    durable-rules reads neither. The nearest finite number stands in for an infinite one, which
    changes no comparison, as bounds are finite. Every other number is written exactly.
    """
    largest = sys.float_info.max
    text = repr(min(max(float(number), -largest), largest))
    if "e" not in text:
        return text
    text = format(Decimal(text), "f")
    return text if "." in text else text + ".0"


def _check(condition: Condition, clause: Clause) -> None:
    bounds = [bound for bound in (condition.low, condition.high) if bound is not None]
    where = f"{condition.fact} in clause {clause.number} of rule {clause.rule}"
    if condition.on_choice == bool(bounds):
        raise EngineError(f"a condition needs either options or bounds: {where}")
    if not all(math.isfinite(bound) and abs(bound) < sys.float_info.max for bound in bounds):
        raise EngineError(f"a bound must be a finite number: {where}")


def _pattern(condition: Condition, form: Truth) -> Pattern:
    shown = form is Truth.SHOWN
    tests: list[Comparison] = []
    if condition.on_choice:
        tests.append(Comparison("v", "==", group_name(condition.options)))
        if shown:
            tests.append(Comparison("c", "==", "yes"))
    if condition.low is not None:
        tests.append(Comparison("lo" if shown else "hi", ">=", float(condition.low)))
    if condition.high is not None:
        tests.append(Comparison("hi" if shown else "lo", "<", float(condition.high)))
    return Pattern(condition.fact, tuple(tests))
