"""What the commands that measure share: their options, and documents on the standard output."""

from __future__ import annotations

import enum
from typing import Annotated, Any

import typer


class UnitSystem(enum.StrEnum):
    """Which units figures are shown in; they may be written in either."""

    US = "us"
    METRIC = "metric"


UnitsOption = Annotated[
    UnitSystem, typer.Option("--units", help="Show US customary or metric units.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print a JSON document instead.")]

ProductOption = Annotated[
    str | None, typer.Option("--product", metavar="ID", help="Set it against this label.")
]
WeedOption = Annotated[
    str | None, typer.Option("--weed", metavar="ID", help="The rate for this weed.")
]
TankOption = Annotated[
    str | None, typer.Option("--tank", metavar="AMOUNT", help='The sprayer holds: "2 gal".')
]
WantOption = Annotated[
    str | None,
    typer.Option("--want", metavar="AMOUNT", help='What it should put out: "1 to 2 gal/1000 ft2".'),
]
PlotOption = Annotated[
    str | None,
    typer.Option("--plot", metavar="AREA", help='The plot: "250 ft2", "18.5 x 18.5 ft".'),
]
CoursePlotOption = Annotated[
    str | None,
    typer.Option("--plot", metavar="AREA", help='The plot, "18.5 x 18.5 ft"; else 1/128 acre.'),
]
CoverOption = Annotated[
    list[str] | None,
    typer.Option(
        "--cover", metavar="TIME", help="Time to cover the plot; again for each further run."
    ),
]
CaughtOption = Annotated[
    str | None, typer.Option("--caught", metavar="AMOUNT", help='What was caught: "40 fl oz".')
]
CaughtInOption = Annotated[
    str | None,
    typer.Option("--caught-in", metavar="TIME", help="In this time; else in the time to cover."),
]


def print_json(document: dict[str, Any] | list[dict[str, Any]]) -> None:
    """Print one document; in ASCII, where the output cannot take more."""
    import json
    import sys

    encoding = str(sys.stdout.encoding).lower().replace("-", "")
    ascii_only = not encoding.startswith("utf")
    typer.echo(json.dumps(document, indent=2, ensure_ascii=ascii_only))
