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
from advisor.problem import ProblemsFound
from advisor.schema import Schemas
from advisor.yamlfile import Document, read_file, read_text

__all__ = [
    "Application",
    "Call",
    "Event",
    "LabelTold",
    "Look",
    "Told",
    "load_call",
    "parse_call",
]

UNKNOWN_KEY = "K101"


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
