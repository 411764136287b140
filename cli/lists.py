"""`cameback list`: the entries of a kind, narrowed down; one command a kind."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import measuring, shared
from cli.clashes import command

app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)


@app.callback()
def entries() -> None:
    """List the entries of a kind, narrowed down.

    Example: cameback list weeds --habit rhizomes --life-cycle perennial
    """


Word = Annotated[
    str | None, typer.Option("--word", metavar="TEXT", help="With this in a name or text.")
]

Weed = Annotated[
    str | None, typer.Option("--weed", metavar="ID", help="On this weed, or with it on the label.")
]
Active = Annotated[
    str | None,
    typer.Option(
        "--active",
        metavar="NAME",
        help="With this active ingredient; of weeds, those half killed by it.",
    ),
]
Product = Annotated[
    str | None,
    typer.Option("--product", metavar="ID", help="In this product; of weeds, those on its label."),
]


def _print(kind: str, asked: dict[str, Any], json: bool, folder: Path | None) -> None:
    from advisor.render.list_filters import UnknownName
    from advisor.render.listing import list_document, list_page, listing

    try:
        found = listing(kind, shared.knowledge(folder), asked)
    except UnknownName as error:
        shared.usage(error.message, error.hint)
    if json:
        measuring.print_json(list_document(found))
    else:
        typer.echo(list_page(found, shared.page(shared.When.AUTO)), nl=False, color=True)


@app.command("weeds", cls=command("list weeds"))
def weeds(
    habit: Annotated[
        str | None,
        typer.Option("--habit", metavar="ID", help="How it lives on: taproot, rhizomes ..."),
    ] = None,
    life_cycle: Annotated[
        str | None,
        typer.Option("--life-cycle", metavar="ID", help="perennial, summer-annual ..."),
    ] = None,
    group: Annotated[
        str | None, typer.Option("--group", metavar="ID", help="broadleaf, grass, sedge or lily.")
    ] = None,
    product: Product = None,
    site: Annotated[
        str | None, typer.Option("--site", metavar="ID", help="Favored by this feature of a site.")
    ] = None,
    active: Active = None,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Weeds, by how they live, by a product that lists them, by what favors or kills them.

    Example: cameback list weeds --habit rhizomes --life-cycle perennial
    """
    asked = {
        "habit": habit,
        "life_cycle": life_cycle,
        "group": group,
        "product": product,
        "site": site,
        "active": active,
        "word": word,
    }
    _print("weed", asked, json, folder)


@app.command("products", cls=command("list products"))
def products(
    kind: Annotated[
        str | None,
        typer.Option("--kind", metavar="ID", help="post-emergent, pre-emergent or non-selective."),
    ] = None,
    weed: Weed = None,
    turf: Annotated[
        str | None, typer.Option("--turf", metavar="ID", help="Safe on this lawn grass.")
    ] = None,
    active: Active = None,
    homeowner: Annotated[
        bool, typer.Option("--homeowner", help="Only what is sold to homeowners.")
    ] = False,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Products, by their kind, a weed on their label, a grass that stands them, an active.

    Example: cameback list products --weed ground-ivy --homeowner
    """
    asked = {
        "kind": kind,
        "weed": weed,
        "turf": turf,
        "active": active,
        "homeowner": homeowner,
        "word": word,
    }
    _print("product", asked, json, folder)


@app.command("actives", cls=command("list actives"))
def actives(
    product: Product = None,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Active ingredients, with their group and the products they are in.

    Example: cameback list actives --product larkmoor-broadleaf
    """
    asked = {"product": product, "word": word}
    _print("active", asked, json, folder)


@app.command("causes", cls=command("list causes"))
def causes(
    group: Annotated[
        str | None,
        typer.Option(
            "--group",
            metavar="ID",
            help="plant, dose, coverage, leaf, weather, timing, prevention, biology or site.",
        ),
    ] = None,
    kind: Annotated[
        str | None, typer.Option("--kind", metavar="ID", help="That explain this kind of comeback.")
    ] = None,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Causes of failures, by group or by the kind of comeback they explain.

    Example: cameback list causes --group leaf
    """
    asked = {"group": group, "kind": kind, "word": word}
    _print("cause", asked, json, folder)


@app.command("kinds", cls=command("list kinds"))
def kinds(
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Kinds of comeback, with how often each is met.

    Example: cameback list kinds
    """
    asked = {"word": word}
    _print("kind", asked, json, folder)


@app.command("stops", cls=command("list stops"))
def stops(
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """What forbids the next spraying, and what lifts it.

    Example: cameback list stops
    """
    asked = {"word": word}
    _print("stop", asked, json, folder)


@app.command("answers", cls=command("list answers"))
def answers(
    safety: Annotated[bool, typer.Option("--safety", help="Only those about safety.")] = False,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Homeowners' questions with an answer.

    Example: cameback list answers --word dog
    """
    asked = {"safety": safety, "word": word}
    _print("answer", asked, json, folder)


@app.command("sites", cls=command("list sites"))
def sites(
    weed: Weed = None,
    near_water: Annotated[
        bool, typer.Option("--near-water", help="Only those from which spray can reach water.")
    ] = False,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Features of a site, with the weeds they favor.

    Example: cameback list sites --weed ground-ivy
    """
    asked = {"weed": weed, "near_water": near_water, "word": word}
    _print("site", asked, json, folder)


@app.command("turf", cls=command("list turf"))
def turf(
    season: Annotated[
        str | None, typer.Option("--season", metavar="ID", help="cool or warm.")
    ] = None,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Lawn grasses, with mowing heights and sowing times.

    Example: cameback list turf --season cool
    """
    asked = {"season": season, "word": word}
    _print("turf", asked, json, folder)


@app.command("regions", cls=command("list regions"))
def regions(
    hemisphere: Annotated[
        str | None, typer.Option("--hemisphere", metavar="ID", help="north or south.")
    ] = None,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Regions, with their frosts.

    Example: cameback list regions --hemisphere south
    """
    asked = {"hemisphere": hemisphere, "word": word}
    _print("region", asked, json, folder)


@app.command("facts", cls=command("list facts"))
def facts(
    scope: Annotated[
        str | None, typer.Option("--scope", metavar="ID", help="call or application.")
    ] = None,
    comes: Annotated[
        str | None,
        typer.Option("--comes", metavar="ID", help="told, worked-out, label or knowledge."),
    ] = None,
    type: Annotated[
        str | None, typer.Option("--type", metavar="ID", help="number or choice.")
    ] = None,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Facts that rules read.

    Example: cameback list facts --scope application --comes told
    """
    asked = {"scope": scope, "comes": comes, "type": type, "word": word}
    _print("fact", asked, json, folder)


@app.command("rules", cls=command("list rules"))
def rules(
    fact: Annotated[
        str | None, typer.Option("--fact", metavar="ID", help="That read this fact.")
    ] = None,
    of: Annotated[
        str | None, typer.Option("--of", metavar="ID", help="Of this cause, kind or stop.")
    ] = None,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Rules, by a fact they read or what they show.

    Example: cameback list rules --fact dry_hours_before
    """
    asked = {"fact": fact, "of": of, "word": word}
    _print("rule", asked, json, folder)


@app.command("trials", cls=command("list trials"))
def trials(
    weed: Annotated[str | None, typer.Option("--weed", metavar="ID", help="On this weed.")] = None,
    active: Active = None,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Published trials, with what the kill model expects of them.

    Example: cameback list trials --weed creeping-bentgrass
    """
    asked = {"weed": weed, "active": active, "word": word}
    _print("trial", asked, json, folder)


@app.command("sources", cls=command("list sources"))
def sources(
    type: Annotated[
        str | None,
        typer.Option(
            "--type",
            metavar="ID",
            help="extension, journal, thesis, law, standard, dataset or handbook.",
        ),
    ] = None,
    from_memory: Annotated[
        bool, typer.Option("--from-memory", help="Only those that nobody could read.")
    ] = False,
    word: Word = None,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
) -> None:
    """Published sources, by type or by a word.

    Example: cameback list sources --word nutsedge
    """
    asked = {"type": type, "from_memory": from_memory, "word": word}
    _print("source", asked, json, folder)
