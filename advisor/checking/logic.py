"""What conditions mean together: whether they exclude or cover each other, and in words.

The checks on the shape of rules come here. Everything follows from the conditions alone; no facts
of a call and no engine have a part in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from advisor.model import FactDef
from advisor.terms import Clause, Condition, Options, Span, Truth, Value
from advisor.units import show


def contradiction(clause: Clause) -> tuple[int, tuple[int, ...]] | None:
    """The first condition that cannot hold beside earlier ones on its fact, and those."""
    for place, condition in enumerate(clause.conditions):
        earlier = tuple(
            i for i, c in enumerate(clause.conditions[:place]) if c.fact == condition.fact
        )
        if earlier and _empty([*(clause.conditions[i] for i in earlier), condition]):
            return place, earlier
    return None


def never_holds(clause: Clause) -> bool:
    """Whether conditions of a clause exclude each other."""
    return contradiction(clause) is not None


def covers(wide: Clause, narrow: Clause, facts: Mapping[str, FactDef]) -> bool:
    """Whether the wide clause holds wherever the narrow one does."""
    return all(
        any(other.fact == one.fact for other in narrow.conditions)
        and _inside(_on(one.fact, narrow), one, facts[one.fact].range)
        for one in wide.conditions
    )


def covering(clauses: tuple[Clause, ...], facts: Mapping[str, FactDef]) -> dict[int, Clause]:
    """The clauses, by number, that another one covers, and that one; of two alike, the later."""
    found: dict[int, Clause] = {}
    for narrow in clauses:
        for wide in clauses:
            if wide is narrow or never_holds(narrow) or not covers(wide, narrow, facts):
                continue
            if wide.number < narrow.number or not covers(narrow, wide, facts):
                found.setdefault(narrow.number, wide)
    return found


def _on(fact: str, clause: Clause) -> list[Condition]:
    return [condition for condition in clause.conditions if condition.fact == fact]


def _empty(same: list[Condition]) -> bool:
    if same[0].on_choice:
        return not frozenset.intersection(*(condition.options for condition in same))
    return _low(*same) >= _high(*same)


def _inside(narrow: list[Condition], wide: Condition, whole: Span | None) -> bool:
    if wide.on_choice:
        return frozenset.intersection(*(one.options for one in narrow)) <= wide.options
    least = whole.low if whole is not None else -math.inf
    return max(_low(*narrow), least) >= _low(wide) and _high(*narrow) <= _high(wide)


def _low(*conditions: Condition) -> float:
    return max(-math.inf if c.low is None else c.low for c in conditions)


def _high(*conditions: Condition) -> float:
    return min(math.inf if c.high is None else c.high for c in conditions)


# ---- words ---------------------------------------------------------------------------------------


def asked(condition: Condition) -> str:
    """A condition in the words of the rule files: `dry_hours_before below 24`."""
    if condition.on_choice:
        names = sorted(condition.options)
        test = f"is {names[0]}" if len(names) == 1 else f"in {', '.join(names)}"
    elif condition.low is None:
        test = f"below {condition.high:g}"
    elif condition.high is None:
        test = f"at-least {condition.low:g}"
    else:
        test = f"between {condition.low:g} and {condition.high:g}"
    return f"{condition.fact} {test}"


def known(value: Value, fact: FactDef) -> str:
    """A value in the words of the rule files; `unknown` where nothing was given."""
    if value == fact.unknown:
        return "unknown"
    if isinstance(value, Options):
        return " or ".join(sorted(value.possible))
    return show(value, fact.unit)


def missing(
    clauses: Iterable[Clause], values: Mapping[str, Value], facts: Mapping[str, FactDef]
) -> str:
    """What keeps the nearest of the clauses from being shown, in words."""
    lacking = (
        [c for c in clause.conditions if c.truth(values[c.fact]) is not Truth.SHOWN]
        for clause in clauses
    )
    nearest = min(lacking, key=len)
    return "; ".join(
        f"the rule needs {asked(c)}, and it is {known(values[c.fact], facts[c.fact])}"
        for c in nearest
    )
