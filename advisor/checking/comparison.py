"""What two knowledge bases answer differently: calls, plans and answers replayed on both.

Asked for by `cameback check --against`, so that what an edit does can be seen before it is made;
`comparison_page` lays it out. It says what differs and not which of the two is right.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from advisor.answers.compose import Composed, compose
from advisor.answers.context import Context
from advisor.checking.corpus import Case, run_calls
from advisor.diagnosis import Diagnosis
from advisor.model import KnowledgeBase
from advisor.planning.plan import Plan
from advisor.planning.planner import Planner
from advisor.planning.request import Request
from advisor.terms import Truth

START: Final = dt.date(2027, 1, 1)
"""The first day of the plans that are replayed."""
ASKED: Final = dt.date(2027, 6, 1)
"""The day on which the answers are asked for."""
POINT = 0.01
"""Shares count as moved from one point on."""
NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that differs: what, and what it is on either base."""

    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Differing:
    """A call, plan or answer that differs, and everything in it that does."""

    name: str
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Replayed:
    """Everything of one sort that was replayed."""

    what: str
    count: int
    differing: tuple[Differing, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """What two knowledge bases answer differently."""

    before: str
    after: str
    replayed: tuple[Replayed, ...]


def compare(before: KnowledgeBase, after: KnowledgeBase, folder: Path, engine: str) -> Comparison:
    """Replay the example calls of a folder, plans for every weed and every answer on two bases."""
    return Comparison(
        before.folder,
        after.folder,
        (
            _replayed("calls", _calls(before, folder, engine), _calls(after, folder, engine)),
            _replayed("plans", _plans(before), _plans(after)),
            _replayed("answers", _answers(before), _answers(after)),
        ),
    )


Told = Mapping[str, Mapping[str, str | float]]
"""By name of a call, plan or answer: what is to be compared of it, in words or as a share."""


def _replayed(what: str, before: Told, after: Told) -> Replayed:
    names = list(dict.fromkeys((*before, *after)))
    changes = {name: tuple(_changes(before.get(name), after.get(name))) for name in names}
    differing = tuple(Differing(name, found) for name, found in changes.items() if found)
    return Replayed(what, len(names), differing)


def _changes(
    before: Mapping[str, str | float] | None, after: Mapping[str, str | float] | None
) -> Iterator[Change]:
    if before is None or after is None:
        yield Change("", *("there" if told else "not there" for told in (before, after)))
        return
    for what in dict.fromkeys((*before, *after)):
        one, other = before.get(what, 0.0), after.get(what, 0.0)
        if isinstance(one, float) and isinstance(other, float):
            if abs(one - other) >= POINT - 1e-9:
                yield Change(what, _points(one), _points(other))
        elif one != other:
            yield Change(what, _words(one), _words(other))


def _points(share: float) -> str:
    return f"{share * 100:.1f} %"


def _words(told: str | float) -> str:
    return told if isinstance(told, str) else NOTHING


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names) or NOTHING


# ---- calls ---------------------------------------------------------------------------------------


def _calls(base: KnowledgeBase, folder: Path, engine: str) -> Told:
    found: Sequence[Case] = run_calls(base, folder, engine)
    return {
        str(Path(case.path).relative_to(folder)): _call(case.diagnosis)
        if case.diagnosis
        else {"problems": "; ".join(f"{p.code} {p.message}" for p in case.problems)}
        for case in found
    }


def _call(found: Diagnosis) -> dict[str, str | float]:
    weighing = found.weighing
    told: dict[str, str | float] = {
        "likeliest kind": found.kind.kind.id,
        "kinds shown": _listed(sorted(k.kind.id for k in found.kinds if k.truth is Truth.SHOWN)),
        "causes shown": _listed(sorted(c.cause.id for c in (*found.shown, *found.beside))),
        "causes open": _listed(sorted(c.cause.id for c in found.open)),
        "stops": _listed([s.stop.id for s in found.stops if s.truth is Truth.SHOWN]),
        "what to change": _listed([c.cause.id for c in found.remedies]),
        "first question": _listed([q.fact for q in found.questions[:1]]),
        "outlook": found.outlook.level,
        "control as done": weighing.done.expected,
        "control made well": weighing.possible.expected,
    }
    told |= {f"chance of {k.kind.id}": k.chance for k in found.kinds}
    return told | {f"share of {c.cause.id}": weighing.share(c) for c in weighing.causes}


# ---- plans ---------------------------------------------------------------------------------------


def _plans(base: KnowledgeBase) -> Told:
    return {
        f"{weed} in {region}": _plan(planner.plan(Request((weed,), region, START)))
        for region in base.regions
        for planner in [Planner(base, region)]
        for weed in base.weeds
    }


def _plan(found: Plan) -> dict[str, str | float]:
    steps = [f"{step.day} {step.product.id}" for step in found.steps]
    return {"steps": _listed(steps), "control at the end": found.control}


# ---- answers -------------------------------------------------------------------------------------

TEXTS: Final[Mapping[str, Callable[[Composed], str]]] = {
    "lead": lambda said: said.lead,
    "first": lambda said: " ".join(said.first),
    "answer": lambda said: said.answer,
    "short": lambda said: said.short,
    "added": lambda said: " ".join(said.added),
    "for the technician": lambda said: said.technician,
}


def _answers(base: KnowledgeBase) -> Told:
    contexts = {"": Context(base, ASKED)}
    contexts |= {
        f" for {product.id}": Context(base, ASKED, product=product)
        for product in base.products.values()
    }
    return {
        f"{topic.id}{name}": {what: read(said) for what, read in TEXTS.items()}
        for topic in base.answers.values()
        for name, context in contexts.items()
        for said in [compose(topic, context)]
    }
