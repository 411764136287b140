"""`cameback check`: is the knowledge sound, what do its examples try, what would an edit change?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli import measuring, shared

if TYPE_CHECKING:
    from advisor.model import KnowledgeBase


def check(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="[DIR]", help="The knowledge folder; the shipped one if left out."),
    ] = None,
    coverage: Annotated[
        bool,
        typer.Option("--coverage", help="Count what the example calls exercise, and random calls."),
    ] = False,
    against: Annotated[
        Path | None,
        typer.Option(
            "--against",
            metavar="OTHER",
            help="List the calls, plans and answers that another knowledge folder would change.",
        ),
    ] = None,
    json: measuring.JsonOption = False,
    engine: shared.EngineOption = shared.EngineName.AUTO,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Check every file, every rule's examples and every example call of a knowledge base.

    Example: cameback check knowledge
    """
    from advisor.engine.base import EngineError
    from advisor.knowledge import shipped

    place = folder or shipped("knowledge")
    try:
        if coverage:
            _coverage(place, engine, color, json=json)
        elif against is not None:
            _against(place, against, engine, color, json=json)
        else:
            _check(place, engine, json=json)
    except EngineError as error:
        shared.usage(str(error))


def _check(folder: Path, engine: shared.EngineName, *, json: bool) -> None:
    from advisor.checking import check_folder
    from advisor.render.check_document import check_document

    result = check_folder(folder, engine=engine.value)
    if json:
        measuring.print_json(check_document(result))
    if result.problems:
        shared.report(result.problems)
        raise typer.Exit(shared.WRONG_KNOWLEDGE)
    if not json:
        for notice in result.notices:
            typer.echo(f"note: {notice}")
        said = (
            f"{found.texts} {who} texts {found.average:.1f} on average, {found.most:.1f} at most"
            for who, found in result.grades.items()
        )
        typer.echo(f"reading grades: {'; '.join(said)}")
        typer.echo(
            f"sound: {result.files} files, {result.rules} rules with {result.examples} examples, "
            f"{result.calls} example calls"
        )


def _coverage(folder: Path, engine: shared.EngineName, color: shared.When, *, json: bool) -> None:
    from advisor.checking.coverage import coverage
    from advisor.render.coverage_page import coverage_document, coverage_page

    found = coverage(_loaded(folder), folder, engine.value)
    if json:
        measuring.print_json(coverage_document(found))
    else:
        typer.echo(coverage_page(found, shared.page(color)), nl=False, color=True)


def _against(
    folder: Path, other: Path, engine: shared.EngineName, color: shared.When, *, json: bool
) -> None:
    from advisor.checking.comparison import compare
    from advisor.render.comparison_page import comparison_document, comparison_page

    found = compare(_loaded(folder), _loaded(other), folder, engine.value)
    if json:
        measuring.print_json(comparison_document(found))
    else:
        typer.echo(comparison_page(found, shared.page(color)), nl=False, color=True)


def _loaded(folder: Path) -> KnowledgeBase:
    """The knowledge base in a folder, never a kept copy; else its problems and exit code 3."""
    from advisor.knowledge import load
    from advisor.problem import ProblemsFound

    try:
        return load(folder)
    except ProblemsFound as error:
        shared.report(error.problems)
        raise typer.Exit(shared.WRONG_KNOWLEDGE) from None
