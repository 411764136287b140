"""What to ask next: the question whose answer would move the shares most.

Works on what a diagnosis left open. For each fact that an open rule hangs on, every answer that
could make a difference is tried with its chance, the findings are narrowed to it, and the change
of the shares is averaged (half the sum of absolute differences, the total variation distance).
It asks nothing itself and never narrows what is already certain.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from advisor.derive.label import Label
from advisor.derive.margins import following
from advisor.fact import narrowed
from advisor.kinds import weigh_kinds
from advisor.model import FactDef, KnowledgeBase
from advisor.terms import Options, Span, Truth, Value
from advisor.tiers import Finding, open_finding
from advisor.weighed import Weighing
from advisor.weighing import Scales

MOST_TRIED = 6
"""Facts whose answers are tried; the others are ranked below them by a bound."""


@dataclass(frozen=True, slots=True)
class Question:
    """Something to ask, what it would settle and how much it is worth (0 to 1)."""

    fact: str
    application: int | None
    ask: str
    value: float
    settles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Opened:
    """What the engine left open, with the values the findings hang on."""

    kinds: Sequence[Finding]
    causes: Sequence[Finding]
    values: Sequence[Mapping[str, Value]]
    firm: frozenset[tuple[str, int | None]]
    """Facts, with their application, of which the caller has told all there is to tell."""
    truths: Mapping[str, Truth]
    """What each kind of comeback is as things stand."""

    def place(self, finding: Finding) -> int:
        """The application whose values a finding hangs on.

        Kinds read those of the last one; what reads only facts of the call may look at any.
        """
        if finding.application is not None:
            return finding.application
        return len(self.values) - 1


def rank_questions(
    opened: Opened, weighing: Weighing, scales: Scales, base: KnowledgeBase
) -> tuple[Question, ...]:
    """The questions worth asking, the most valuable first; one for each wording."""
    explaining = {f.cause.id for f in weighing.causes if f.explains is not Truth.RULED_OUT}
    hanging: dict[tuple[str, int | None], list[Finding]] = {}
    for finding in (*opened.kinds, *opened.causes):
        if finding.truth is not Truth.OPEN:
            continue
        if finding.rule.owner in base.causes and finding.rule.owner not in explaining:
            continue
        for name in finding.open_facts:
            if name.startswith(("kind.", "cause.")) or not base.facts[name].ask:
                continue
            application = None if base.facts[name].scope == "call" else opened.place(finding)
            asked = _asked(name, base)
            if opened.firm.isdisjoint(((name, application), (asked, application))):
                hanging.setdefault((asked, application), []).append(finding)
    bounds = {key: _bound(found) for key, found in hanging.items()}
    order = sorted(hanging, key=lambda key: (-bounds[key], key[0], key[1] or 0))
    before = _shares(weighing)
    questions = []
    for place, key in enumerate(order):
        name, application = key
        value = 0.0
        if place < MOST_TRIED:
            value = _value(key, opened, before, scales, base)
        settles = tuple(dict.fromkeys(f.rule.owner for f in hanging[key]))
        questions.append(Question(name, application, base.facts[name].ask, value, settles))
    return tuple(sorted(questions, key=lambda q: (-q.value, q.fact, q.application or 0)))


def _asked(name: str, base: KnowledgeBase) -> str:
    """The fact that the answer is about: of those asked in the same words, the first in facts.yaml.

    The others are worked out from it: a margin over the label from the hours or degrees told.
    """
    fact = base.facts[name]
    return next(n for n, f in base.facts.items() if (f.ask, f.scope) == (fact.ask, fact.scope))


def _bound(found: Iterable[Finding]) -> float:
    """A quick measure of what hangs on a fact: doubt times what the rule can move."""
    total = 0.0
    for f in found:
        size = max([*f.rule.loss.values(), 0.0]) if f.rule.loss else 0.5
        if f.rule.weight:
            size = max(abs(w) for w in f.rule.weight.values()) / 20
        total += f.chance * (1 - f.chance) * size
    return total


def _value(
    key: tuple[str, int | None],
    opened: Opened,
    before: Mapping[str, float],
    scales: Scales,
    base: KnowledgeBase,
) -> float:
    name, application = key
    fact = base.facts[name]
    start = opened.values[application or 0][name]
    value = 0.0
    cuts = _cuts(key, opened, scales)
    for answer, chance in _told_apart(answers(fact, start, cuts), key, opened):
        after = _reweigh(name, application, answer, opened, scales, base)
        names = {*before, *after}
        moved = math.fsum(abs(before.get(n, 0.0) - after.get(n, 0.0)) for n in names) / 2
        value += chance * moved
    return value


def _cuts(key: tuple[str, int | None], opened: Opened, scales: Scales) -> list[float]:
    """Where an answer begins to make a difference: the bounds of open rules on it and on what
    follows from it.
    """
    name, application = key
    links = {f.fact: f for label in scales.labels for f in following(name, label)}
    cuts: set[float] = set()
    for finding in (*opened.kinds, *opened.causes):
        if finding.truth is not Truth.OPEN or application not in (None, opened.place(finding)):
            continue
        for condition in (c for clause in finding.open_clauses for c in clause.conditions):
            bounds = [e for e in (condition.low, condition.high) if e is not None]
            if condition.fact == name:
                cuts.update(bounds)
            elif condition.fact in links:
                cuts.update(x for bound in bounds for x in links[condition.fact].back(bound))
    return sorted(cuts)


def answers(fact: FactDef, value: Value, cuts: Sequence[float]) -> Iterator[tuple[Value, float]]:
    """The answers that make a difference, each with its chance; the chances add up to 1."""
    if isinstance(value, Options):
        weights = {o: fact.options[o].how_often for o in sorted(value.possible)}
        whole = sum(weights.values())
        for option, weight in weights.items():
            yield Options.of(option), weight / whole if whole else 1 / len(weights)
        return
    inside = [cut for cut in cuts if value.low < cut <= value.high]
    ends = [value.low, *inside, math.nextafter(value.high, math.inf)]
    cells = [Span(low, math.nextafter(high, -math.inf)) for low, high in itertools.pairwise(ends)]
    masses = [fact.mass(cell.low, cell.high) for cell in cells]
    whole = sum(masses)
    for cell, mass in zip(cells, masses, strict=True):
        yield cell, mass / whole if whole > 0 else 1 / len(cells)


def _told_apart(
    tried: Iterable[tuple[Value, float]], key: tuple[str, int | None], opened: Opened
) -> Iterator[tuple[Value, float]]:
    """Options that no open rule tells apart, as one answer."""
    name, _ = key
    tests = {
        condition.options
        for finding in (*opened.kinds, *opened.causes)
        for clause in finding.open_clauses
        for condition in clause.conditions
        if condition.fact == name
    }
    alike: dict[object, tuple[Value, float]] = {}
    for answer, chance in tried:
        if isinstance(answer, Span):
            yield answer, chance
            continue
        mark = frozenset(options for options in tests if answer.possible <= options)
        other, weight = alike.get(mark, (answer, 0.0))
        assert isinstance(other, Options)
        alike[mark] = Options(other.possible | answer.possible), weight + chance
    yield from alike.values()


def _reweigh(
    name: str,
    application: int | None,
    answer: Value,
    opened: Opened,
    scales: Scales,
    base: KnowledgeBase,
) -> dict[str, float]:
    values = [
        _answered(v, name, answer, scales.labels[n]) if application in (None, n) else v
        for n, v in enumerate(opened.values)
    ]
    moved = {name, *(f.fact for label in scales.labels for f in following(name, label))}

    def again(findings: Sequence[Finding]) -> list[Finding]:
        result = []
        for f in findings:
            if f.truth is not Truth.OPEN or not any(moved & c.facts for c in f.open_clauses):
                result.append(f)
                continue
            if application not in (None, opened.place(f)):
                result.append(f)
                continue
            found = narrow(f, values[opened.place(f)], base)
            if found is not None:
                result.append(found)
        return result

    kinds = opened.truths
    if any(moved & c.facts for f in opened.kinds for c in f.open_clauses):
        kinds = {f.kind.id: f.truth for f in weigh_kinds(again(opened.kinds), base)}
    return scales.shares(again(opened.causes), kinds, values)


def _answered(
    values: Mapping[str, Value], name: str, answer: Value, label: Label
) -> dict[str, Value]:
    """The values with an answer and with what follows from it under the label."""
    result = {**values, name: answer}
    if isinstance(answer, Span):
        for follows in following(name, label):
            both = narrowed(values[follows.fact], follows.of(answer))
            result[follows.fact] = both or values[follows.fact]
    return result


def narrow(finding: Finding, values: Mapping[str, Value], base: KnowledgeBase) -> Finding | None:
    """An open finding on narrower values: shown, still open, or None where it is ruled out."""
    left = []
    for clause in finding.open_clauses:
        truths = {c.truth(values[c.fact]) for c in clause.conditions}
        if truths == {Truth.SHOWN}:
            return replace(
                finding,
                truth=Truth.SHOWN,
                clause=clause,
                chance=1.0,
                open_facts=(),
                open_clauses=(),
            )
        if Truth.RULED_OUT not in truths:
            left.append(clause)
    if not left:
        return None
    return open_finding(finding.rule, tuple(left), values, finding.application, base.facts)


def _shares(weighing: Weighing) -> dict[str, float]:
    return {f.cause.id: weighing.share(f) for f in weighing.causes if f.lost > 0}
