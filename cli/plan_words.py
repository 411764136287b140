"""The words of `cameback plan` as values: days, weekdays, what was done, what is left.

Parses what the options say and looks ids up; whatever cannot be read ends with usage and exit 2.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from cli import shared

if TYPE_CHECKING:
    from advisor.model import KnowledgeBase
    from advisor.planning.request import Alive, Days, Done

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_SHARE = re.compile(r"(?:([a-z0-9-]+):)?\s*(\d{1,3}(?:\.\d+)?)\s*%")


def known(kind: str, name: str, names: Collection[str]) -> str:
    """An id that exists, or usage with the nearest one."""
    from advisor.names import did_you_mean

    if name not in names:
        hint = did_you_mean(name, names) or "known: " + ", ".join(names)
        shared.usage(f"there is no {kind} `{name}`", hint)
    return name


def all_known(kind: str, given: Iterable[str], names: Collection[str]) -> tuple[str, ...]:
    """Ids that exist, each once."""
    return tuple(dict.fromkeys(known(kind, name, names) for name in given))


def day(option: str, text: str) -> dt.date:
    """A day, written YYYY-MM-DD."""
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        shared.usage(f"{option} `{text}` is no day", "Write YYYY-MM-DD.")


def days(option: str, text: str) -> Days:
    """A run of days, written FROM..TO, or one day."""
    from advisor.planning.request import Days

    first, dots, last = text.partition("..")
    start = day(option, first.strip())
    end = day(option, last.strip()) if dots else start
    if end < start:
        shared.usage(f"{option} `{text}` runs backwards")
    return Days(start, end)


def weekdays(option: str, text: str | None) -> frozenset[int]:
    """Weekdays, written sat or mon,wed."""
    found = set()
    for name in re.split(r"[,\s]+", (text or "").strip().lower()):
        if not name:
            continue
        short = name[:3]
        if short not in WEEKDAYS:
            shared.usage(f"{option} `{name}` is no weekday", "Write " + ", ".join(WEEKDAYS) + ".")
        found.add(WEEKDAYS.index(short))
    return frozenset(found)


def made(option: str, text: str, base: KnowledgeBase) -> Done:
    """An application, written DATE:PRODUCT, then what went wrong: DATE:PRODUCT:washed-off."""
    from advisor.planning.request import Done

    date, _, rest = text.partition(":")
    product, *causes = [part for part in rest.split(":") if part] if rest else [""]
    if not product:
        shared.usage(f"{option} `{text}` names no product", "Write DATE:PRODUCT.")
    known("product", product, base.products)
    for cause in causes:
        known("cause", cause, base.causes)
    return Done(day(option, date), product, tuple(causes))


def left(texts: Iterable[str], weeds: tuple[str, ...]) -> dict[str, Alive]:
    """The share alive, written 60% for all weeds or WEED:60%."""
    found: dict[str, Alive] = {}
    for text in texts:
        read = _SHARE.fullmatch(text.strip().lower())
        if read is None or float(read[2]) > 100:
            shared.usage(f"--left `{text}` is no share", "Write 60% or WEED:60%.")
        share = float(read[2]) / 100
        names = weeds if read[1] is None else (known("weed in this plan", read[1], weeds),)
        found |= dict.fromkeys(names, (share, share, share))
    return found
