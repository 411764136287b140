"""`cameback check`: is the knowledge base sound?"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cli import shared


def check(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="[DIR]", help="The knowledge folder; the shipped one if left out."),
    ] = None,
    engine: shared.EngineOption = shared.EngineName.AUTO,
) -> None:
    """Check every file, every rule's examples and every example call of a knowledge base.

    Example: cameback check knowledge
    """
    from advisor.checking import check_folder
    from advisor.engine.base import EngineError
    from advisor.knowledge import shipped

    try:
        result = check_folder(folder or shipped("knowledge"), engine=engine.value)
    except EngineError as error:
        shared.usage(str(error))
    if result.problems:
        shared.report(result.problems)
        raise typer.Exit(shared.WRONG_KNOWLEDGE)
    typer.echo(
        f"sound: {result.files} files, {result.rules} rules with {result.examples} examples, "
        f"{result.calls} example calls"
    )
