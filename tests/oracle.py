"""The rules decided straight from the definition of a condition, to hold the engines against.

The engine tests and the benchmark compare with it. It must not share code with the compiler or the
adapters: all it knows is `Condition.truth`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.terms import Clause, Firing, Truth, Value


def direct(clauses: Iterable[Clause], facts: Mapping[str, Value]) -> frozenset[Firing]:
    """The clauses that fire on these facts."""
    found: set[Firing] = set()
    for clause in clauses:
        known = [c.truth(facts[c.fact]) for c in clause.conditions if c.fact in facts]
        if len(known) < len(clause.conditions) or Truth.RULED_OUT in known:
            continue
        matched = tuple(c.fact for c in clause.conditions)
        found.add(Firing(clause.rule, clause.number, Truth.OPEN, matched))
        if Truth.OPEN not in known:
            found.add(Firing(clause.rule, clause.number, Truth.SHOWN, matched))
    return frozenset(found)
