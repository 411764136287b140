"""What the commands that measure share: the units shown, documents on the standard output."""

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


def print_json(document: dict[str, Any]) -> None:
    """Print one document."""
    import json

    typer.echo(json.dumps(document, indent=2, ensure_ascii=False))
