"""`cameback calibrate`: what a sprayer or a spreader puts out, one command a method."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli import measuring, shared
from cli.clashes import command

if TYPE_CHECKING:
    from advisor.dose.calibrate import Found
    from advisor.dose.remark import Remark
    from advisor.model import KnowledgeBase

app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)


@app.callback()
def calibrate() -> None:
    """Find out what a sprayer or spreader puts out, and what to change.

    Example: cameback calibrate jar --plot 1000ft2 --cover 80s --caught 1gal
    """


@dataclass(frozen=True, slots=True)
class Show:
    """What the result is set against, and how it is shown."""

    product: str | None
    weed: str | None
    tank: str | None
    want: str | None
    units: measuring.UnitSystem
    json: bool
    folder: Path | None
    color: shared.When


@app.command("course", cls=command("calibrate course"))
def course(
    caught: Annotated[
        list[str] | None,
        typer.Option(
            "--caught", metavar="AMOUNT", help="Caught in the time it took; again for each run."
        ),
    ] = None,
    plot: measuring.CoursePlotOption = None,
    swath: Annotated[
        str | None,
        typer.Option("--swath", metavar="WIDTH", help='How long the course is for it: "6 ft".'),
    ] = None,
    product: measuring.ProductOption = None,
    weed: measuring.WeedOption = None,
    tank: measuring.TankOption = None,
    want: measuring.WantOption = None,
    units: measuring.UnitsOption = measuring.UnitSystem.US,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """The 1/128-acre method: fluid ounces caught are gallons per acre.

    Example: cameback calibrate course --caught "40 fl oz"
    """
    from advisor.dose import collected

    show = Show(product, weed, tank, want, units, json, folder, color)
    if swath is not None and not caught:
        _sentence("course", lambda: collected.course_lengths(swath), show)
        return
    _answer(lambda _: collected.course(caught or [], plot), show)


@app.command("jar", cls=command("calibrate jar"))
def jar(
    cover: measuring.CoverOption = None,
    caught: measuring.CaughtOption = None,
    caught_in: measuring.CaughtInOption = None,
    plot: measuring.CoursePlotOption = None,
    product: measuring.ProductOption = None,
    weed: measuring.WeedOption = None,
    tank: measuring.TankOption = None,
    want: measuring.WantOption = None,
    units: measuring.UnitsOption = measuring.UnitSystem.US,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Hand cans and backpacks: time a plot, then fill a jar.

    Example: cameback calibrate jar --plot 250ft2 --cover 20s --caught 2qt
    """
    from advisor.dose import collected

    show = Show(product, weed, tank, want, units, json, folder, color)
    _answer(lambda _: collected.jar(cover or [], caught, caught_in, plot), show)


@app.command("boom", cls=command("calibrate boom"))
def boom(
    flow: Annotated[
        str | None,
        typer.Option("--flow", metavar="FLOW", help='Of one nozzle, as caught: "0.4 gal/min".'),
    ] = None,
    rated: Annotated[
        str | None,
        typer.Option("--rated", metavar="FLOW", help="Of one nozzle, as it is rated."),
    ] = None,
    rated_at: Annotated[
        str | None,
        typer.Option("--rated-at", metavar="PRESSURE", help="Rated at this; else at 40 psi."),
    ] = None,
    pressure: Annotated[
        str | None, typer.Option("--pressure", metavar="PRESSURE", help='Run at "30 psi".')
    ] = None,
    speed: Annotated[
        str | None, typer.Option("--speed", metavar="SPEED", help='Walked at "3 mph".')
    ] = None,
    length: Annotated[
        str | None, typer.Option("--length", metavar="LENGTH", help='Or: a course of "88 ft"')
    ] = None,
    seconds: Annotated[
        str | None, typer.Option("--time", metavar="TIME", help='walked in "20 s".')
    ] = None,
    spacing: Annotated[
        str | None,
        typer.Option("--spacing", metavar="WIDTH", help='One nozzle covers "20 in".'),
    ] = None,
    height: Annotated[
        str | None, typer.Option("--height", metavar="HEIGHT", help='Or: a fan "20 in" up')
    ] = None,
    angle: Annotated[
        float | None, typer.Option("--angle", metavar="DEGREES", help="that opens so far.")
    ] = None,
    drops: Annotated[
        str | None,
        typer.Option("--drops", metavar="CLASS", help="Of the nozzle chart: F, M, C, VC."),
    ] = None,
    product: measuring.ProductOption = None,
    weed: measuring.WeedOption = None,
    tank: measuring.TankOption = None,
    want: measuring.WantOption = None,
    units: measuring.UnitsOption = measuring.UnitSystem.US,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Booms and wands: flow, walking speed, width covered.

    Gallons per acre are 5,940 x gallons per minute / (mph x inches covered by one nozzle).

    Example: cameback calibrate boom --flow 0.4gpm --speed 3mph --spacing 20in
    """
    from advisor.dose import collected

    def find(base: KnowledgeBase) -> Found:
        return collected.boom(
            base.sprayers, flow=flow, rated=rated, rated_at=rated_at, pressure=pressure,
            speed=speed, length=length, seconds=seconds, spacing=spacing, height=height,
            angle=angle, drops=drops,
        )  # fmt: skip

    _answer(find, Show(product, weed, tank, want, units, json, folder, color))


@app.command("refill", cls=command("calibrate refill"))
def refill(
    refilled: Annotated[
        str | None,
        typer.Option("--refilled", metavar="AMOUNT", help='To fill it up again: "1 gal".'),
    ] = None,
    plot: measuring.PlotOption = None,
    product: measuring.ProductOption = None,
    weed: measuring.WeedOption = None,
    tank: measuring.TankOption = None,
    want: measuring.WantOption = None,
    units: measuring.UnitsOption = measuring.UnitSystem.US,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Spray a plot from a full tank, and measure the refill.

    Example: cameback calibrate refill --plot 250ft2 --refilled 2qt
    """
    from advisor.dose import collected

    show = Show(product, weed, tank, want, units, json, folder, color)
    _answer(lambda _: collected.refill(refilled, plot), show)


@app.command("hose-end", cls=command("calibrate hose-end"))
def hose_end(
    cover: measuring.CoverOption = None,
    caught: measuring.CaughtOption = None,
    caught_in: measuring.CaughtInOption = None,
    plot: measuring.PlotOption = None,
    plants: Annotated[
        int | None, typer.Option("--plants", metavar="NUMBER", help="Or: so many plants")
    ] = None,
    each: Annotated[
        str | None, typer.Option("--each", metavar="AMOUNT", help='that take "2 qt" each.')
    ] = None,
    product: measuring.ProductOption = None,
    weed: measuring.WeedOption = None,
    tank: measuring.TankOption = None,
    want: measuring.WantOption = None,
    units: measuring.UnitsOption = measuring.UnitSystem.US,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Hose-end sprayers: time a plot, then catch the spray in a pail.

    Example: cameback calibrate hose-end --plot 250ft2 --cover 20s --caught 5qt
    """
    from advisor.dose import collected

    show = Show(product, weed, tank, want, units, json, folder, color)
    if plants is not None:
        _sentence("hose-end", lambda: collected.plants(plants, each), show)
        return
    _answer(lambda _: collected.hose_end(cover or [], caught, caught_in, plot), show)


@app.command("spreader", cls=command("calibrate spreader"))
def spreader(
    caught: Annotated[
        str | None, typer.Option("--caught", metavar="WEIGHT", help='It dropped "1.5 lb"')
    ] = None,
    plot: measuring.PlotOption = None,
    product: measuring.ProductOption = None,
    weed: measuring.WeedOption = None,
    want: measuring.WantOption = None,
    units: measuring.UnitsOption = measuring.UnitSystem.US,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Spreaders: weigh what is dropped on a plot.

    Example: cameback calibrate spreader --plot 500ft2 --caught 1.5lb
    """
    from advisor.dose import collected

    show = Show(product, weed, None, want, units, json, folder, color)
    _answer(lambda _: collected.spreader(caught, plot), show)


@app.command("convert", cls=command("calibrate convert"))
def convert(
    output: Annotated[str, typer.Argument(metavar="OUTPUT", help='"65 gal/acre", "4 lb/M".')],
    product: measuring.ProductOption = None,
    weed: measuring.WeedOption = None,
    tank: measuring.TankOption = None,
    want: measuring.WantOption = None,
    units: measuring.UnitsOption = measuring.UnitSystem.US,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Convert an output that is known, and set it against a label.

    Example: cameback calibrate convert "65 gal per acre"
    """
    from advisor.dose import collected

    show = Show(product, weed, tank, want, units, json, folder, color)
    _answer(lambda _: collected.known_output(output), show)


def _answer(find: Callable[[KnowledgeBase], Found], show: Show) -> None:
    """Run a method and print what it found."""
    from advisor.dose import collected
    from advisor.dose.asking import AskError
    from advisor.dose.calibrate import SPREADER, calibration
    from advisor.render.calibrate_document import calibration_document
    from advisor.render.calibrate_page import calibration_page
    from advisor.render.measured import System

    base = shared.knowledge(show.folder)
    try:
        found = find(base)
        if found.of == SPREADER and show.tank is not None:
            shared.usage("--tank is of no use beside an output by weight", "Drop --tank.")
        against = collected.against(
            base,
            product=show.product,
            weed=show.weed,
            tank=show.tank,
            want=show.want,
            of=found.of,
        )
    except AskError as error:
        shared.usage(error.message, error.hint)
    result, system = calibration(found, against, base.sprayers), System(show.units.value)
    if show.json:
        measuring.print_json(calibration_document(result, base, system))
        return
    page = calibration_page(result, base, shared.page(show.color), system)
    typer.echo(page, nl=False, color=True)


def _sentence(method: str, find: Callable[[], Remark], show: Show) -> None:
    """Print an answer that is one sentence."""
    from advisor.dose.asking import AskError
    from advisor.dose.calibrate import SPRAYER
    from advisor.render.calibrate_document import sentence_document
    from advisor.render.calibrate_page import sentence_page
    from advisor.render.measured import System

    base, system = shared.knowledge(show.folder), System(show.units.value)
    try:
        said = find()
    except AskError as error:
        shared.usage(error.message, error.hint)
    if show.json:
        measuring.print_json(sentence_document(method, SPRAYER, said, base, system))
        return
    page = sentence_page(said, base, shared.page(show.color), system)
    typer.echo(page, nl=False, color=True)
