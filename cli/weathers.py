"""`cameback weather`: what the tool makes of a weather file."""

from __future__ import annotations

import datetime as dt
import enum
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli import measuring, shared

if TYPE_CHECKING:
    from advisor.model import KnowledgeBase, Region
    from advisor.weather.record import Weather


class FileUnits(enum.StrEnum):
    """The units of a station file that does not show them."""

    TENTHS = "tenths"
    METRIC = "metric"
    STANDARD = "standard"


def weather(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="A CSV file of daily or hourly rows.")
    ],
    first: Annotated[
        str | None, typer.Option("--from", metavar="DATE", help="First day to show, YYYY-MM-DD.")
    ] = None,
    last: Annotated[
        str | None,
        typer.Option("--to", metavar="DATE", help="Last day to show; heat is counted up to it."),
    ] = None,
    region: Annotated[
        str | None,
        typer.Option("--region", metavar="ID", help="Where it is: what a missing day can be."),
    ] = None,
    weed: Annotated[
        list[str] | None,
        typer.Option("--weed", metavar="ID", help="Only this weed; again for each further one."),
    ] = None,
    units: Annotated[
        FileUnits | None,
        typer.Option("--file-units", help="Units of a station file that does not show them."),
    ] = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Show what a weather file says: spray days, heat, how far the weeds are.

    Example: cameback weather knowledge/examples/lake-plain-2026.csv --to 2026-05-20
    """
    from advisor.render.weather_document import weather_document
    from advisor.render.weather_page import weather_page
    from advisor.weather_report import report

    base = shared.knowledge(folder)
    place = _region(region, base)
    for name in weed or ():
        _known("weed", name, base.weeds)
    begin, end = _day(first), _day(last)
    found = _read(file, units)
    _check_range(begin, end, found)
    made = report(found, base, first=begin, last=end, region=place, weeds=weed or ())
    if json:
        measuring.print_json(weather_document(made, base))
    else:
        typer.echo(weather_page(made, base, shared.page(color)), nl=False, color=True)
    if found.skipped:
        shared.report(found.skipped)


def _read(file: Path, units: FileUnits | None) -> Weather:
    from advisor.problem import ProblemsFound
    from advisor.weather.layout import PLAIN
    from advisor.weather.reading import read_weather

    try:
        found = read_weather(file, units=units.value if units else None)
    except ProblemsFound as error:
        shared.report(error.problems)
        raise typer.Exit(shared.WRONG_CALL) from None
    if units is not None and found.layout == PLAIN:
        hint = "Drop it; a station's file has DATE, PRCP, TMAX and so on in its header."
        shared.usage(f"--file-units is of no use: {file} says its units in the header", hint)
    return found


def _region(name: str | None, base: KnowledgeBase) -> Region | None:
    if name is None:
        return None
    _known("region", name, base.regions)
    return base.regions[name]


def _known(kind: str, name: str, known: Mapping[str, object]) -> None:
    from advisor.names import did_you_mean

    if name not in known:
        hint = did_you_mean(name, known) or "known: " + ", ".join(known)
        shared.usage(f"there is no {kind} `{name}`", hint)


def _day(text: str | None) -> dt.date | None:
    if text is None:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        shared.usage(f"`{text}` is no day", "Write YYYY-MM-DD.")


def _check_range(first: dt.date | None, last: dt.date | None, found: Weather) -> None:
    if first is not None and last is not None and first > last:
        shared.usage(f"--from {first} comes after --to {last}")
    outside = (first is not None and first > found.last) or (
        last is not None and last < found.first
    )
    if outside:
        shared.usage("the file has none of these days", f"It runs {found.first} to {found.last}.")
