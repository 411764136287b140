"""Which of an entry's wordings fit a case: the remedies meant for it, and what is said instead.

`diagnosis` and the pages ask it once the facts are known. A wording is left out only where it
surely does not fit, and put in another's place only where it surely does; nothing is filled here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.model import Cause, Instead, Kind, Remedy, Stop
from advisor.terms import Clause, Truth, Value

ORDER = {Truth.SHOWN: 0, Truth.OPEN: 1, Truth.RULED_OUT: 2}


def clause_truth(clause: Clause, values: Mapping[str, Value]) -> Truth:
    """Whether all conditions of a clause hold."""
    truths = {c.truth(values[c.fact]) for c in clause.conditions}
    for truth in (Truth.RULED_OUT, Truth.OPEN):
        if truth in truths:
            return truth
    return Truth.SHOWN


def any_truth(clauses: Iterable[Clause], values: Mapping[str, Value]) -> Truth:
    """Whether one of several clauses holds."""
    truths = (clause_truth(clause, values) for clause in clauses)
    return min(truths, key=ORDER.__getitem__, default=Truth.RULED_OUT)


def fitting(cause: Cause, values: Mapping[str, Value]) -> tuple[Remedy, ...]:
    """The remedies of a cause that can be meant for the case, in their order; all where none is."""
    found = tuple(
        remedy
        for remedy in cause.remedies
        if not remedy.clauses or any_truth(remedy.clauses, values) is not Truth.RULED_OUT
    )
    return found or cause.remedies


def told_customer(entry: Cause | Kind | Stop, values: Mapping[str, Value]) -> str:
    """What the homeowner is told of an entry in the case."""
    return (_instead(entry, values) or entry).customer


def told_what(entry: Cause | Kind | Stop, values: Mapping[str, Value]) -> str:
    """What an entry is in the case, for the technician."""
    return (_instead(entry, values) or entry).what


def _instead(entry: Cause | Kind | Stop, values: Mapping[str, Value]) -> Instead | None:
    for one in entry.instead:
        if any_truth(one.clauses, values) is Truth.SHOWN:
            return one
    return None
