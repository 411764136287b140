"""Reads a call file: one visit to one lawn about one weed, in the caller's own words.

The call goes from here to `facts`. Times become intervals, amounts become intervals with units and
every entry keeps its words and its line, so that an explanation can quote them. Nothing is
concluded here: what was not told stays untold.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from pathlib import Path

from advisor.account import Application, Call, Event, LabelTold, Look, Told
from advisor.call_reader import CallReader
from advisor.knowledge import shipped
from advisor.model import KnowledgeBase
from advisor.problem import Problem, ProblemsFound
from advisor.schema import Schemas
from advisor.weather.reading import read_weather
from advisor.weather.record import Weather
from advisor.yamlfile import Document, read_file, read_text

__all__ = [
    "Application",
    "Call",
    "Event",
    "LabelTold",
    "Look",
    "Told",
    "load_call",
    "load_weather_of",
    "parse_call",
]

UNKNOWN_KEY = "K101"
NOT_TO_BE_HAD = ("K001", "K002", "K003")


def load_call(path: Path, base: KnowledgeBase, *, today: dt.date | None = None) -> Call:
    """Read a call file.

    Args:
        path: the file.
        base: the knowledge base its ids belong to.
        today: a call reported after this day is an error; None allows any day.

    Raises:
        ProblemsFound: with every mistake in the file.
    """
    return _build(read_file(path), base, today)


def parse_call(
    text: str | bytes, name: str, base: KnowledgeBase, *, today: dt.date | None = None
) -> Call:
    """Read a call from text, as `load_call` does from a file; `name` stands in messages."""
    return _build(read_text(text, name), base, today)


def load_weather_of(call: Call) -> Weather | None:
    """The weather file that a call names; None where it names none.

    It lies beside the call file, or in the working folder where the call was no file. Rows that
    were skipped are among the `skipped` of what comes back.

    Raises:
        ProblemsFound: where the call names it, if it cannot be had; else with what is wrong in it.
    """
    if call.weather in (None, "unknown"):
        return None
    try:
        return read_weather(Path(call.path).parent / str(call.weather))
    except ProblemsFound as found:
        first = found.problems[0]
        if first.code not in NOT_TO_BE_HAD:
            raise
        message = f"the weather file `{call.weather}`: {first.message}"
        problem = Problem(call.path, *call.weather_at, "C108", message, first.hint)
        raise ProblemsFound([problem]) from None


def _build(document: Document, base: KnowledgeBase, today: dt.date | None) -> Call:
    problems = _schemas().check("call", document)
    if any(problem.code != UNKNOWN_KEY for problem in problems):
        raise ProblemsFound(problems)  # what is read below needs the right shape
    ids: dict[str, Collection[str]] = {
        "weed": base.weeds,
        "product": base.products,
        "region": base.regions,
        "turf": base.turf,
        "site": base.sites,
        "active": {a for w in base.weeds.values() for a in w.control},
        "trait": {name for w in base.weeds.values() for name in w.traits},
    }
    retired = {old: r.successor for old, r in base.retired.items()}
    reader = CallReader(document, problems, ids=ids, retired=retired)
    call = reader.call(base, today)
    if problems:
        raise ProblemsFound(problems)
    return call


_SCHEMAS: list[Schemas] = []


def _schemas() -> Schemas:
    if not _SCHEMAS:
        _SCHEMAS.append(Schemas(shipped("schemas")))
    return _SCHEMAS[0]
