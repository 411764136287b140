"""One call as told: what a call file says, in types, before anything is concluded from it.

`call` reads files into these, `derive` and `facts` work on them. They keep the words and the line
of whatever was told, and leave untold what was not told.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import PurePath

from advisor.problem import escaped
from advisor.terms import Span, Truth, Value
from advisor.units import Amount
from advisor.when import When, order


@dataclass(frozen=True, slots=True)
class Told:
    """Something the caller said: the value, the words, the line of the file."""

    value: Value
    words: str
    line: int


@dataclass(frozen=True, slots=True)
class Event:
    """Something else that happened. `when` is None where the caller says it did not happen."""

    what: str
    when: When | None
    amount: Amount | None
    words: str
    line: int


@dataclass(frozen=True, slots=True)
class Look:
    """One observation of the weed."""

    on: When
    told: Mapping[str, Told]
    line: int


@dataclass(frozen=True, slots=True)
class Application:
    """One time it was sprayed or spread.

    A None among `in_tank` is a partner that nobody can name; `answers` are what was said when asked
    back; `sprayer` is what is known of it (output, nozzle, pressure, pace, swath), `drops`
    their class on a nozzle chart.
    """

    sprayed: When | None
    product: str | None
    amount: Amount | None
    water: Amount | None
    area: Amount | None
    in_tank: tuple[str | None, ...] | None
    told: Mapping[str, Told]
    line: int
    answers: Mapping[str, Told] = field(default_factory=dict)
    sprayer: Mapping[str, Amount] = field(default_factory=dict)
    drops: str | None = None


@dataclass(frozen=True, slots=True)
class LabelTold:
    """What the caller read out from a label; None where it was not read."""

    rate: Amount | None = None
    controls: tuple[str, ...] | None = None
    suppresses: tuple[str, ...] | None = None
    not_for: tuple[str, ...] | None = None
    rainfast_h: float | None = None
    interval_days: float | None = None
    per_year: int | None = None
    temperature: Span | None = None
    turf: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Call:
    """One call, as told."""

    reference: str
    path: str
    reported: dt.date
    region: str | None
    turf: str | None
    mowing_height: Amount | None
    features: tuple[str, ...]
    weed: str | None
    weed_treated: str | None
    traits: Mapping[str, str]
    product: str | None
    actives: tuple[str, ...]
    label: LabelTold
    applications: tuple[Application, ...]
    events: tuple[Event, ...]
    looks: tuple[Look, ...]
    weather: str | None
    told: Mapping[str, Told] = field(default_factory=dict)
    answers: Mapping[str, Told] = field(default_factory=dict)
    weather_at: tuple[int, int] = (0, 0)
    """Line and column where the weather file is named."""


def oldest_first(times: Sequence[When | None]) -> list[int]:
    """The entries in the order of their times; as they were told, where that can be the order."""
    told = list(range(len(times)))
    known = [when for when in times if when is not None]
    if len(known) < len(times) or not any(
        order(later, earlier) is Truth.SHOWN for earlier, later in pairwise(known)
    ):
        return told
    return sorted(told, key=lambda i: (known[i].low, known[i].high))


def name_of(path: str) -> str:
    """What a call is called that has no name: as its file, if it is in one."""
    return "unnamed call" if path.startswith("<") else escaped(PurePath(path).stem)
