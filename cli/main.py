"""The `cameback` command: reads the arguments, calls `advisor`, hands the result to a renderer.

Every command stands in a module of its own, which is imported when the command runs, so that
`--help` and completion stay quick. Nothing is worked out here.
"""

from __future__ import annotations

from typing import Annotated

import typer

from cli import browsing, calibrates, checks, diagnoses, lists, mixes, plans, weathers
from cli.shared import version_option

app = typer.Typer(
    name="cameback",
    help="Why a lawn weed came back after treatment, what to change, and when to spray next.",
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command("diagnose", rich_help_panel="A customer calls")(diagnoses.diagnose)
app.command("mix", rich_help_panel="Work it out")(mixes.mix)
app.add_typer(calibrates.app, name="calibrate", rich_help_panel="Work it out")
app.command("weather", rich_help_panel="Work it out")(weathers.weather)
app.command("plan", rich_help_panel="Plan the season")(plans.plan)
app.command("show", rich_help_panel="Keep the knowledge base")(browsing.show)
app.add_typer(lists.app, name="list", rich_help_panel="Keep the knowledge base")
app.command("check", rich_help_panel="Keep the knowledge base")(checks.check)


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
    """Run the command line; an output closed early, as by a pager, is no error."""
    import os
    import sys

    try:
        app()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)


if __name__ == "__main__":
    main()
