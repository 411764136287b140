"""The `cameback` command: reads the arguments, calls `advisor`, hands the result to a renderer.

Every command stands in a module of its own, which is imported when the command runs, so that
`--help` and completion stay quick. Nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, TypeVar

import typer

from cli import (
    answers,
    browsing,
    calibrates,
    checks,
    clashes,
    diagnoses,
    handbooks,
    lists,
    mixes,
    plans,
    weathers,
)
from cli.shared import version_option

Command = TypeVar("Command", bound=Callable[..., Any])

app = typer.Typer(
    name="cameback",
    help="Why a lawn weed came back after treatment, what to change, and when to spray next.",
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _command(name: str, panel: str) -> Callable[[Command], Command]:
    """Register a command under a heading of the help, held to the rules of its options."""
    return app.command(name, cls=clashes.command(name), rich_help_panel=panel)


_command("diagnose", "A customer calls")(diagnoses.diagnose)
_command("answer", "A homeowner asks")(answers.answer)
_command("unanswered", "A homeowner asks")(answers.unanswered)
_command("mix", "Work it out")(mixes.mix)
app.add_typer(calibrates.app, name="calibrate", rich_help_panel="Work it out")
_command("weather", "Work it out")(weathers.weather)
_command("plan", "Plan the season")(plans.plan)
_command("show", "Keep the knowledge base")(browsing.show)
app.add_typer(lists.app, name="list", rich_help_panel="Keep the knowledge base")
_command("handbook", "Keep the knowledge base")(handbooks.handbook)
_command("check", "Keep the knowledge base")(checks.check)


@app.callback()
def options(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=version_option, is_eager=True, help="Say the version and engine."
        ),
    ] = False,
) -> None:
    """Why a lawn weed came back after treatment, what to change, and when to spray next."""


def main() -> None:
    """Run the command line and exit; an output closed early, as by a pager, is no mistake."""
    import sys

    _open_streams()
    sys.exit(_run())


def _open_streams() -> None:
    """Give a process that was started with a stream closed one that leads nowhere.

    What the output's encoding does not have is written as an escape.
    """
    import io
    import os
    import sys

    for name, flags in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            nowhere = os.fdopen(os.open(os.devnull, os.O_RDWR), flags, encoding="utf-8")
            setattr(sys, name, nowhere)
        elif name == "stdout" and isinstance(sys.stdout, io.TextIOWrapper):
            sys.stdout.reconfigure(errors="backslashreplace")  # as the error stream does


def _run() -> int:
    """Run the command and give its exit code."""
    import errno
    import os
    import sys

    from advisor.problem import escaped

    try:
        status = app(standalone_mode=False)
        sys.stdout.flush()
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if error.errno == errno.EPIPE:
            return 0
        sys.stderr.write(f"error: the answer could not be written: {error.strerror}\n")
        return 1
    except SystemExit as error:
        # a closed pipe ends the parser with 1, after it has put a pacified output in place
        closed = type(sys.stdout).__name__ == "PacifyFlushWrapper"
        return 0 if closed else int(error.code or 0)
    except typer.Abort:
        return 1
    except Exception as error:
        # mistakes in the words of a command know how to show themselves
        show = getattr(error, "show", None)
        if show is None:
            raise
        error.message = escaped(str(getattr(error, "message", "")))  # type: ignore[attr-defined]
        show()
        return int(getattr(error, "exit_code", 2))
    return status if isinstance(status, int) else 0


if __name__ == "__main__":
    main()
