"""What the commands share: where the knowledge is, widths and colors, problems, exit codes.

Exit codes: 0 answered, 1 the call file is wrong, 2 usage, 3 the knowledge base is wrong, 4 a
question without a checked answer.
"""

from __future__ import annotations

import contextlib
import enum
import os
import shutil
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

if TYPE_CHECKING:
    from advisor.call import Call
    from advisor.model import KnowledgeBase
    from advisor.problem import Problem
    from advisor.render.layout import Page

ANSWERED, WRONG_CALL, WRONG_USAGE, WRONG_KNOWLEDGE = 0, 1, 2, 3
MOST_PROBLEMS = 50
STANDARD_INPUT = "-"


class When(enum.StrEnum):
    """When to use colors."""

    AUTO = "auto"
    ALWAYS = "always"
    NEVER = "never"


class EngineName(enum.StrEnum):
    """Which rules engine answers."""

    AUTO = "auto"
    DURABLE = "durable"
    CLIPS = "clips"


KnowledgeOption = Annotated[
    Path | None,
    typer.Option(
        "--knowledge", metavar="DIR", help="Another knowledge folder than the shipped one."
    ),
]
ColorOption = Annotated[When, typer.Option("--color", help="Colors: on a terminal, always, never.")]
EngineOption = Annotated[
    EngineName,
    typer.Option("--engine", help="The rules engine; auto takes the first that is there."),
]


LanguageOption = Annotated[
    str,
    typer.Option(
        "--lang", metavar="CODE", help="The language of what customers read; en, or one translated."
    ),
]


def version_option(wanted: bool) -> None:
    """Print the version with the engine that answers, and stop."""
    if not wanted:
        return
    from advisor import __version__
    from advisor.engine.base import EngineError
    from advisor.engine.choose import answering

    try:
        engine = " ".join(answering())
    except EngineError as error:
        engine = str(error)
    typer.echo(f"cameback {__version__}, rules engine {engine}")
    raise typer.Exit(ANSWERED)


def knowledge(folder: Path | None) -> KnowledgeBase:
    """The knowledge base, or its problems and exit code 3."""
    from advisor.knowledge import load, shipped
    from advisor.problem import ProblemsFound

    try:
        return load(folder or shipped("knowledge"), cache=cache_folder())
    except ProblemsFound as error:
        report(error.problems)
        raise typer.Exit(WRONG_KNOWLEDGE) from None


def call_of(name: str, base: KnowledgeBase) -> Call:
    """The call in a file, or on the standard input for `-`. Raises ProblemsFound."""
    import datetime as dt

    from advisor.call import load_call, parse_call

    today = dt.date.today()
    if name == STANDARD_INPUT:
        return parse_call(sys.stdin.buffer.read(), "<stdin>", base, today=today)
    return load_call(Path(name), base, today=today)


def write(files: Mapping[Path, bytes]) -> None:
    """Write all the files or none: each beside its place first, then moved there."""
    parts: dict[Path, Path] = {}
    at = Path()
    try:
        for at, content in files.items():
            place = at.resolve()
            if place.exists() and not place.is_file():  # a pipe or a device; a folder refuses
                place.write_bytes(content)
                continue
            part = place.with_name(f".cameback-{os.getpid()}-{len(parts)}.part")
            parts[part] = place
            part.write_bytes(content)
            if place.exists():
                shutil.copymode(place, part)
        for part, at in parts.items():
            part.replace(at)
    except (OSError, RuntimeError) as error:  # a loop of links is either, by the Python
        why = getattr(error, "strerror", None) or "the system gives no reason"
        usage(f"cannot write {at}: {why.lower()}")
    finally:
        for part in parts:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)


def in_language(base: KnowledgeBase, code: str) -> KnowledgeBase:
    """The knowledge base with what customers read in a language, or exit code 2."""
    from advisor.languages import languages, translated

    if code not in languages(base):
        usage(f"there is no language `{code}`", "known: " + ", ".join(languages(base)))
    return translated(base, code)


def cache_folder() -> Path | None:
    """Where a validated copy of the knowledge base may be kept; none if CAMEBACK_CACHE is empty."""
    chosen = os.environ.get("CAMEBACK_CACHE")
    if chosen is not None:
        return Path(chosen) if chosen else None
    root = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    try:
        return (Path(root) if root else Path.home() / ".cache") / "cameback"
    except RuntimeError:  # no home folder
        return None


def page(color: When) -> Page:
    """An empty page as wide as the terminal, in color where that is wanted."""
    from advisor.render.layout import Page

    wanted = color is When.ALWAYS
    if color is When.AUTO:
        wanted = sys.stdout.isatty() and not os.environ.get("NO_COLOR")
    return Page(shutil.get_terminal_size((80, 24)).columns, wanted)


def report(problems: Iterable[Problem]) -> None:
    """Print problems to the error stream, at most fifty."""
    found = list(problems)
    for problem in found[:MOST_PROBLEMS]:
        typer.echo(problem.text(), err=True)
    if len(found) > MOST_PROBLEMS:
        typer.echo(f"and {len(found) - MOST_PROBLEMS} more", err=True)
    noun = "problem" if len(found) == 1 else "problems"
    typer.echo(f"{len(found)} {noun}", err=True)


def usage(message: str, hint: str = "") -> NoReturn:
    """Say what is wrong with the words of the command, and exit with 2."""
    from advisor.problem import escaped

    typer.echo(f"error: {escaped(message)}" + (f"\n    {escaped(hint)}" if hint else ""), err=True)
    raise typer.Exit(WRONG_USAGE)
