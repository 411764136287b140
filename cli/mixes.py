"""`cameback mix`: what goes into the tank, and why not where the label forbids it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cli import measuring, shared

if TYPE_CHECKING:
    from advisor.dose.asking import Ask, Words
    from advisor.model import KnowledgeBase
    from advisor.render.measured import System

REFUSED = 1


def mix(
    product: Annotated[str, typer.Argument(metavar="PRODUCT", help="The product, by its id.")],
    area: Annotated[
        str | None,
        typer.Option("--area", metavar="AREA", help='The lawn: "3500 ft2", "50 x 70 ft".'),
    ] = None,
    tank: Annotated[
        str | None, typer.Option("--tank", metavar="AMOUNT", help='The sprayer holds: "2 gal".')
    ] = None,
    output: Annotated[
        str | None,
        typer.Option(
            "--output",
            metavar="OUTPUT",
            help='It puts out: "1 gal/1000 ft2"; see `cameback calibrate`.',
        ),
    ] = None,
    weed: Annotated[
        str | None, typer.Option("--weed", metavar="ID", help="The weed, for its own rate.")
    ] = None,
    turf: Annotated[
        str | None, typer.Option("--turf", metavar="ID", help="The lawn grass.")
    ] = None,
    rate: Annotated[
        str | None,
        typer.Option("--rate", metavar="RATE", help="Another rate than the label's highest."),
    ] = None,
    cup: Annotated[
        str | None,
        typer.Option(
            "--cup", metavar="MARK", help='A cup or scale with a mark every "1 oz", "5 mL".'
        ),
    ] = None,
    partners: Annotated[
        list[str] | None,
        typer.Option(
            "--with", metavar="PRODUCT[=RATE]", help="Also in the tank; may be given again."
        ),
    ] = None,
    spot: Annotated[bool, typer.Option("--spot", help="For spots, by the gallon.")] = False,
    used: Annotated[
        str | None,
        typer.Option(
            "--used-this-year",
            metavar="AMOUNT",
            help='Sprayings so far, "1", or product, "2 fl oz".',
        ),
    ] = None,
    hardness: Annotated[
        str | None,
        typer.Option("--water-hardness", metavar="HARDNESS", help='Of the spray water: "300 ppm".'),
    ] = None,
    units: measuring.UnitsOption = measuring.UnitSystem.US,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Work out a mix for an area, a sprayer and a measuring cup, within the label.

    Example: cameback mix larkmoor-broadleaf --weed dandelion --spot --tank 2gal
    """
    from advisor.dose.asking import Words
    from advisor.render.measured import System

    words = Words(
        product, area, tank, output, weed, turf, rate, cup, tuple(partners or ()), spot, used,
        hardness,
    )  # fmt: skip
    base = shared.knowledge(folder)
    _answer(_ask(words, base), base, System(units.value), json, color)


def _ask(words: Words, base: KnowledgeBase) -> Ask:
    from advisor.dose.asking import GRANULE, AskError, read

    try:
        ask = read(words, base)
    except AskError as error:
        shared.usage(error.message, error.hint)
    if ask.main.product.formulation == GRANULE and words.hardness is not None:
        name = ask.main.product.name
        shared.usage(f"{name} is spread dry; --water-hardness is of no use", "Drop it.")
    return ask


def _answer(ask: Ask, base: KnowledgeBase, system: System, json: bool, color: shared.When) -> None:
    from advisor.dose.mixing import make
    from advisor.render.mix_document import mix_document
    from advisor.render.mix_page import mix_page, refusal

    found = make(ask, base)
    if json:
        measuring.print_json(mix_document(found, base, system))
    elif not found.refused:
        typer.echo(mix_page(found, base, shared.page(color), system), nl=False, color=True)
    if found.refused:
        page = shared.page(shared.When.NEVER)
        first, *reasons = refusal(found, base, system)
        page.text(first, 0)
        for reason in reasons:
            page.item("-", reason)
        typer.echo(str(page), nl=False, err=True)
        raise typer.Exit(REFUSED)
