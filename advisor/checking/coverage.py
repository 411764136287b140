"""What the example calls of a folder exercise, and how many calls at random get no verdict.

Asked for by `cameback check --coverage`; `coverage_page` lays it out. It counts and judges nothing:
a rule that no example shows may be right all the same.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from advisor.answers.conditions import holds
from advisor.answers.context import of_call
from advisor.checking.corpus import run_calls
from advisor.checking.drawn import Drawing
from advisor.diagnosis import Advisor, Diagnosis
from advisor.model import KnowledgeBase
from advisor.terms import Truth
from advisor.tiers import Finding

SEED, CALLS = 1, 200
TOLD: Final[tuple[float, ...]] = (0.25, 0.5, 0.75, 1.0)
"""How much callers tell of what they could be asked."""


@dataclass(frozen=True, slots=True)
class Covered:
    """Things of one sort: those that some example shows, those only left open, and the others."""

    what: str
    shown: tuple[str, ...]
    open: tuple[str, ...]
    never: tuple[str, ...]

    @property
    def of(self) -> int:
        """How many there are."""
        return len(self.shown) + len(self.open) + len(self.never)


@dataclass(frozen=True, slots=True)
class Verdicts:
    """Calls drawn at random, and those that get neither a kind of comeback nor a cause."""

    told: float
    calls: int
    without: tuple[str, ...]

    @property
    def share(self) -> float:
        """The share of calls without a verdict."""
        return len(self.without) / self.calls if self.calls else 0.0


@dataclass(frozen=True, slots=True)
class Coverage:
    """What the examples of a folder exercise."""

    calls: int
    covered: tuple[Covered, ...]
    verdicts: tuple[Verdicts, ...]
    seed: int


def coverage(
    base: KnowledgeBase, folder: Path, engine: str, *, seed: int = SEED, calls: int = CALLS
) -> Coverage:
    """What the example calls of a folder exercise; calls that do not load are left out."""
    found = [case.diagnosis for case in run_calls(base, folder, engine) if case.diagnosis]
    drawing, advisor = Drawing(base, seed), Advisor(base, engine)
    return Coverage(
        len(found),
        tuple(_covered(base, found)),
        tuple(_verdicts(drawing, advisor, told, calls) for told in TOLD),
        seed,
    )


def has_verdict(found: Diagnosis) -> bool:
    """Whether a kind of comeback is shown, or a mistake that can explain it.

    What is so of every plant of the weed, or of the site, is no verdict on what went wrong.
    """
    return any(k.truth is Truth.SHOWN for k in found.kinds) or bool(found.shown)


def _verdicts(drawing: Drawing, advisor: Advisor, told: float, calls: int) -> Verdicts:
    drawn = (drawing.call(number, told) for number in range(calls))
    without = tuple(c.reference for c in drawn if not has_verdict(advisor.diagnose(c)))
    return Verdicts(told, calls, without)


def _covered(base: KnowledgeBase, found: list[Diagnosis]) -> Iterator[Covered]:
    kinds = [(k.kind.id, k.truth) for d in found for k in d.kinds]
    causes = [(c.cause.id, c.truth) for d in found for c in d.weighing.causes]
    stops = [(s.stop.id, s.truth) for d in found for s in d.stops]
    rules = [(f.rule.id, f.truth) for d in found for f in _findings(d)]
    yield _sorted("kinds", base.kinds, kinds)
    yield _sorted("causes", base.causes, causes)
    yield _sorted("stops", base.stops, stops)
    yield _sorted("rules", [rule.id for rule in base.rules()], rules)
    asked = [(q.fact, Truth.SHOWN) for d in found for q in d.questions]
    yield _sorted("questions", _questions(base), asked)
    yield _sorted("additions to answers", _additions(base), _said(base, found))


def _sorted(what: str, names: Collection[str], found: Iterable[tuple[str, Truth]]) -> Covered:
    """Names by the best that was found of each."""
    met = set(found)
    shown = tuple(n for n in names if (n, Truth.SHOWN) in met)
    left = [n for n in names if n not in shown]
    hanging = tuple(n for n in left if (n, Truth.OPEN) in met)
    return Covered(what, shown, hanging, tuple(n for n in left if n not in hanging))


def _findings(found: Diagnosis) -> Iterator[Finding]:
    for kind in found.kinds:
        yield from (*kind.speaking, *kind.open)
    for cause in found.weighing.causes:
        yield from cause.findings
    for stop in found.stops:
        yield from stop.findings


def _questions(base: KnowledgeBase) -> tuple[str, ...]:
    """The questions that kinds and causes give rise to, by the first fact that is asked for so."""
    first: dict[tuple[str, str], str] = {}
    for name, fact in base.facts.items():
        if fact.ask:
            first.setdefault((fact.ask, fact.scope), name)
    rules = [rule for rule in base.rules() if rule.owner not in base.stops]
    read = [base.facts[name] for rule in rules for name in rule.facts]
    wanted = {first[fact.ask, fact.scope] for fact in read if fact.ask}
    return tuple(name for name in base.facts if name in wanted)


def _additions(base: KnowledgeBase) -> tuple[str, ...]:
    return tuple(f"{t.id} {i + 1}" for t in base.answers.values() for i in range(len(t.add)))


def _said(base: KnowledgeBase, found: Iterable[Diagnosis]) -> Iterator[tuple[str, Truth]]:
    """The additions to answers that somebody hears who asks about one of the calls."""
    contexts = [of_call(one, base) for one in found]
    for topic in base.answers.values():
        for i, addition in enumerate(topic.add):
            if any(holds(addition, context) for context in contexts):
                yield f"{topic.id} {i + 1}", Truth.SHOWN
