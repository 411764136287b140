"""The options of `cameback answer` as the advisor takes them."""

from __future__ import annotations

import datetime as dt
import enum
from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeVar

import typer

from cli import shared

if TYPE_CHECKING:
    from advisor.answers.context import Context
    from advisor.model import KnowledgeBase

Entry = TypeVar("Entry")


class Reader(enum.StrEnum):
    """Who reads the answer."""

    CUSTOMER = "customer"
    TECHNICIAN = "technician"


class Channel(enum.StrEnum):
    """How a homeowner gets the answer."""

    PRINT = "print"
    SPOKEN = "spoken"
    EMAIL = "email"
    TEXT = "text"


def options_context(
    base: KnowledgeBase,
    *,
    weed: str | None,
    product: str | None,
    turf: str | None,
    region: str | None,
) -> Context:
    """What the options tell; an unknown id ends the command."""
    from advisor.answers.context import Context

    return Context(
        base=base,
        today=dt.date.today(),
        weed=_entry("weed", weed, base.weeds),
        product=_entry("product", product, base.products),
        turf=_entry("lawn grass", turf, base.turf),
        region=_entry("region", region, base.regions),
    )


def _entry(what: str, name: str | None, known: Mapping[str, Entry]) -> Entry | None:
    from advisor.names import did_you_mean

    if name is None:
        return None
    if name not in known:
        hint = did_you_mean(name, known) or "known: " + ", ".join(known)
        shared.usage(f"there is no {what} `{name}`", hint)
    return known[name]


def call_context(name: str, base: KnowledgeBase, engine: shared.EngineName) -> Context:
    """What a call file tells, with its diagnosis; a wrong file ends the command."""
    from advisor.answers.context import of_call
    from advisor.diagnosis import Advisor
    from advisor.engine.base import EngineError
    from advisor.problem import ProblemsFound

    try:
        call = shared.call_of(name, base)
        return of_call(Advisor(base, engine.value).diagnose(call), base)
    except ProblemsFound as error:
        shared.report(error.problems)
        raise typer.Exit(shared.WRONG_CALL) from None
    except EngineError as error:
        shared.usage(str(error))
