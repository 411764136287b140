"""What durable-rules 2.0.28 cannot take, found before it is given the rules.

`check` reports these of the knowledge base and the adapter refuses to build past them, for beyond
most of them the library hangs, crashes or answers wrongly rather than say so. Nothing here imports
an engine: the counts follow from how the compiled rules are laid out in its network.

Its network is a tree of tests: `k == fact` at the root, then a node for each test of the pattern
in turn, shared by all patterns that begin alike. A node keeps its next tests in a table of 512
places that is searched until a free one is met, so 511 may be taken. Rules hang off the last test
of their pattern in a list of 256 places that is read until an empty one is met, so 255 may be
taken; a 256th is accepted and then reads the memory behind the list. The tests a fact passes wait
on a stack of 64.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.engine.base import EngineError
from advisor.engine.compile import Comparison, Pattern, compile_clauses
from advisor.terms import Clause

CONDITIONS = 16
"""Conditions in a clause: a match holds at most 16 facts."""
RULES = 4096
"""Engine rules in all: two for each clause, and the one that opens a session."""
NEXT_TESTS = 511
"""Different tests that may follow one test."""
SHARING = 255
"""Conditions that may end in the same test."""
PASSED = 64
"""Tests that one fact may pass at a time."""


@dataclass(frozen=True, slots=True)
class Limit:
    """One thing durable-rules cannot take, and the rule or fact to blame."""

    says: str
    rule: str | None = None
    fact: str | None = None


def limits(clauses: Iterable[Clause]) -> list[Limit]:
    """Everything about these clauses, as one set, that durable-rules cannot take."""
    clauses = tuple(clauses)
    try:
        compiled = compile_clauses(clauses)
    except EngineError as error:
        return [Limit(str(error))]
    found = [
        Limit(
            f"clause {clause.number} of rule {clause.rule} has {len(clause.conditions)} conditions;"
            f" at most {CONDITIONS} fit",
            rule=clause.rule,
        )
        for clause in clauses
        if len(clause.conditions) > CONDITIONS
    ]
    if len(compiled.rules) + 1 > RULES:
        most = (RULES - 1) // 2
        found.append(Limit(f"there are {len(clauses)} clauses; at most {most} fit"))
    patterns = [pattern for rule in compiled.rules for pattern in rule.patterns]
    following = _following(patterns)
    facts = {fact for fact, _ in following}
    if len(facts) + 1 > NEXT_TESTS:
        found.append(Limit(f"{len(facts)} facts are read; at most {NEXT_TESTS - 1} fit"))
    for (fact, before), tests in following.items():
        if len(tests) > NEXT_TESTS:
            after = f" after {_words(before)}" if before else ""
            says = f"{fact} has {len(tests)} different tests{after}; at most {NEXT_TESTS} fit"
            found.append(Limit(says, fact=fact))
    for pattern, count in Counter(patterns).items():
        if count > SHARING:
            says = f"{count} clauses ask {pattern.fact} {_words(pattern.tests)};"
            found.append(Limit(f"{says} at most {SHARING} may ask the same", fact=pattern.fact))
    for fact in sorted(compiled.numbers):
        passed = _most_passed(fact, following)
        if passed > PASSED:
            says = f"one value of {fact} could pass {passed} tests at once; at most {PASSED} fit"
            found.append(Limit(says, fact=fact))
    return found


_Following = dict[tuple[str, tuple[Comparison, ...]], set[Comparison]]


def _following(patterns: Iterable[Pattern]) -> _Following:
    following: defaultdict[tuple[str, tuple[Comparison, ...]], set[Comparison]] = defaultdict(set)
    for pattern in patterns:
        for place, test in enumerate(pattern.tests):
            following[pattern.fact, pattern.tests[:place]].add(test)
    return dict(following)


def _most_passed(fact: str, following: _Following) -> int:
    """The most tests of a number fact that can wait at once.

    All the first tests it passes wait together; then one leaves and those that follow it join.
    Each clause gives the ends `lo` and `hi` the same first tests, so a fact passes the most of
    them when both ends are at one point.
    """
    firsts = following[fact, ()]
    bounds = {float(test.value) for test in firsts}
    points = [math.nextafter(min(bounds), -math.inf), *bounds]
    most = max(sum(_passes(test, point) for test in firsts) for point in points)
    joining = max(len(following.get((fact, (test,)), ())) for test in firsts)
    return max(most, most - 1 + joining)


def _passes(test: Comparison, point: float) -> bool:
    bound = float(test.value)
    return point >= bound if test.op == ">=" else point < bound


def _words(tests: tuple[Comparison, ...]) -> str:
    return " and ".join(f"{test.field} {test.op} {test.value}" for test in tests)
