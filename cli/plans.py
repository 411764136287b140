"""`cameback plan`: from it came back, or from a weed and a place, to dated sprays."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli import measuring, plan_words, shared
from cli.answer_options import Reader

if TYPE_CHECKING:
    from advisor.diagnosis import Diagnosis
    from advisor.model import KnowledgeBase
    from advisor.planning.from_call import Refused
    from advisor.planning.planner import Planner
    from advisor.planning.request import Request
    from advisor.planning.sheet import Sheet
    from advisor.weather.record import Weather

LONGEST, MOST = 550, 10
Texts = list[str] | None


def plan(
    call: Annotated[
        str | None,
        typer.Argument(metavar="[CALL]", help="A call file, or -; its diagnosis is used."),
    ] = None,
    weed: Annotated[
        Texts, typer.Option("--weed", metavar="ID", help="A weed; again for each further one.")
    ] = None,
    region: Annotated[
        str | None, typer.Option("--region", metavar="ID", help="Where the lawn is.")
    ] = None,
    turf: Annotated[
        str | None, typer.Option("--turf", metavar="ID", help="The lawn grass.")
    ] = None,
    feature: Annotated[
        Texts,
        typer.Option("--feature", metavar="ID", help="A feature of the site, again for more."),
    ] = None,
    product: Annotated[
        Texts, typer.Option("--product", metavar="ID", help="Only this product, again for more.")
    ] = None,
    start: Annotated[
        str | None, typer.Option("--from", metavar="DATE", help="First day; today if left out.")
    ] = None,
    days: Annotated[int, typer.Option("--days", min=1, max=LONGEST, help="Days to plan.")] = 400,
    most: Annotated[
        int, typer.Option("--most", min=0, max=MOST, help="At most so many applications.")
    ] = 6,
    avoid: Annotated[
        Texts,
        typer.Option("--not", metavar="FROM..TO", help="Days that do not suit, again for more."),
    ] = None,
    mow: Annotated[
        str | None, typer.Option("--mow", metavar="DAYS", help="Mowing days: sat or wed,sat.")
    ] = None,
    keep_mowing: Annotated[
        bool, typer.Option("--keep-mowing", help="No mowing is skipped; spray between them.")
    ] = False,
    water: Annotated[
        str | None, typer.Option("--water", metavar="DAYS", help="Watering days: mon,wed.")
    ] = None,
    seed: Annotated[
        Texts, typer.Option("--seed", metavar="DATE", help="Grass was or will be sown then.")
    ] = None,
    done: Annotated[
        Texts,
        typer.Option(
            "--done",
            metavar="DATE:PRODUCT",
            help="Already made; DATE:PRODUCT:washed-off says what went wrong.",
        ),
    ] = None,
    left: Annotated[
        Texts, typer.Option("--left", metavar="SHARE", help="Still alive: 60% or WEED:60%.")
    ] = None,
    patient: Annotated[
        bool, typer.Option("--patient", help="Plan for the end alone; waiting costs nothing.")
    ] = False,
    weather: Annotated[
        Path | None,
        typer.Option("--weather", metavar="FILE", help="Years of daily weather of the place."),
    ] = None,
    coming: Annotated[
        Path | None,
        typer.Option("--forecast", metavar="FILE", help="The coming days: go, wait or no."),
    ] = None,
    pro: Annotated[bool, typer.Option("--pro", help="A licensed applicator does it.")] = False,
    spot_kill: Annotated[
        bool, typer.Option("--spot-kill", help="On spots the grass may die too.")
    ] = False,
    comparing: Annotated[
        bool, typer.Option("--compare", help="Set other ways beside the plan.")
    ] = False,
    intend: Annotated[
        Texts,
        typer.Option("--intend", metavar="DATE:PRODUCT", help="What the customer means to do."),
    ] = None,
    ics: Annotated[
        Path | None, typer.Option("--ics", metavar="FILE", help="Write a calendar file.")
    ] = None,
    html: Annotated[
        Path | None, typer.Option("--html", metavar="FILE", help="Write a sheet to print.")
    ] = None,
    reader: Annotated[
        Reader, typer.Option("--for", help="Who it is for: the technician, or plain words.")
    ] = Reader.TECHNICIAN,
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    engine: shared.EngineOption = shared.EngineName.AUTO,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Plan the next sprays: days, windows, mixes, looks, and what will be left.

    Example: cameback plan --weed ground-ivy --region lake-plain
    """
    from advisor.planning.from_call import Refused
    from advisor.planning.sheet import gather
    from advisor.problem import escaped

    _check_files((ics, html), (call, weather, coming))
    base = shared.knowledge(folder)
    region = plan_words.known("region", region, base.regions) if region else None
    found = _diagnosed(call, base, engine) if call else None
    request = _asked(found, weed, region, base)
    if isinstance(request, Refused):
        _refuse(request, base, json=json, color=color)
        for path in filter(None, (ics, html)):
            typer.echo(f"note: there is no plan to write to {escaped(str(path))}", err=True)
        return
    weeds = (*request.weeds, *(weed or ()))
    asked = replace(
        request,
        weeds=plan_words.all_known("weed", weeds, base.weeds),
        turf=plan_words.known("lawn grass", turf, base.turf) if turf else request.turf,
        features=plan_words.all_known("feature", (*request.features, *(feature or ())), base.sites),
        products=plan_words.all_known("product", product, base.products) if product else None,
        start=plan_words.day("--from", start) if start else request.start,
        days=days,
        most=most,
        avoid=tuple(plan_words.days("--not", text) for text in avoid or ()),
        mow_weekdays=plan_words.weekdays("--mow", mow),
        keep_mowing=keep_mowing,
        water_weekdays=plan_words.weekdays("--water", water),
        seeding=(*request.seeding, *(plan_words.day("--seed", text) for text in seed or ())),
        done=(*request.done, *(plan_words.made("--done", text, base) for text in done or ())),
        sooner=0.0 if patient else request.sooner,
        homeowner=not pro,
        spot_kill=spot_kill or request.spot_kill,
    )
    asked = replace(asked, alive={**asked.alive, **plan_words.left(left or (), asked.weeds)})
    planner = _planner(base, asked.region, weather)
    meant = [plan_words.made("--intend", text, base) for text in intend or ()]
    sheet = gather(
        planner,
        planner.plan(asked),
        base,
        found=found,
        coming=_weather(coming) if coming else None,
        comparing=comparing or bool(meant),
        intended=[(one.date, str(one.product)) for one in meant],
        today=dt.date.today(),
    )
    _files(sheet, base, ics, html)
    _print(sheet, base, reader, json=json, color=color)


# ---- what is asked ---------------------------------------------------------------------------


def _diagnosed(name: str, base: KnowledgeBase, engine: shared.EngineName) -> Diagnosis:
    """The diagnosis of a call file, or its problems and exit code 1."""
    from advisor.call import load_weather_of
    from advisor.diagnosis import Advisor
    from advisor.engine.base import EngineError
    from advisor.problem import ProblemsFound

    try:
        told = shared.call_of(name, base)
        return Advisor(base, engine.value).diagnose(told, load_weather_of(told))
    except ProblemsFound as error:
        shared.report(error.problems)
        raise typer.Exit(shared.WRONG_CALL) from None
    except EngineError as error:
        shared.usage(str(error))


def _asked(
    found: Diagnosis | None, weeds: Texts, region: str | None, base: KnowledgeBase
) -> Request | Refused:
    """The request of a call, or a bare one of weeds and a region."""
    from advisor.planning.from_call import request_from
    from advisor.planning.request import Request

    if found is not None:
        return request_from(found, base, region)
    if not weeds:
        shared.usage("name a call file, or a weed", "Write --weed ID --region ID.")
    if region is None:
        shared.usage("name the region", "Write --region ID; known: " + ", ".join(base.regions))
    return Request(tuple(weeds), region, dt.date.today())


def _planner(base: KnowledgeBase, region: str, records: Path | None) -> Planner:
    from advisor.planning.planner import Planner
    from advisor.planning.records import LEAST_DAYS, climate_of, measured

    if records is None:
        return Planner(base, region)
    found = _weather(records)
    if len(found.by_day) < LEAST_DAYS:
        shared.usage(
            f"--weather {records} holds {len(found.by_day)} days",
            "It takes at least a year; for the coming days use --forecast.",
        )
    place = base.regions[region]
    return Planner(base, region, climate_of(found, place), measured(found, base, place))


def _weather(path: Path) -> Weather:
    from advisor.problem import ProblemsFound
    from advisor.weather.reading import read_weather

    try:
        found = read_weather(path)
    except ProblemsFound as error:
        shared.report(error.problems)
        raise typer.Exit(shared.WRONG_CALL) from None
    if found.skipped:
        shared.report(found.skipped)
    return found


# ---- what comes out --------------------------------------------------------------------------


def _refuse(why: Refused, base: KnowledgeBase, *, json: bool, color: shared.When) -> None:
    from advisor.render.plan_document import refused_document
    from advisor.render.plan_page import refused_page

    if json:
        measuring.print_json(refused_document(why, base))
    else:
        typer.echo(refused_page(why, base, shared.page(color)), nl=False, color=True)


def _check_files(written: Iterable[Path | None], read: Iterable[Path | str | None]) -> None:
    """Refuse to write a file over another one that this run writes or reads."""
    names = (Path(path) for path in read if path not in (None, "-"))
    taken = {Path(os.path.realpath(path)): "is read" for path in names}
    for path in filter(None, written):
        place = Path(os.path.realpath(path))
        if place in taken:
            hint = "Name another file, or drop --ics or --html."
            shared.usage(f"{path} {taken[place]} in the same run", hint)
        taken[place] = "is written"


def _files(sheet: Sheet, base: KnowledgeBase, ics: Path | None, html: Path | None) -> None:
    files: dict[Path, bytes] = {}
    if ics is not None:
        from advisor.render.plan_calendar import plan_calendar

        files[ics] = plan_calendar(sheet, base)
    if html is not None:
        from advisor.render.plan_html import plan_html

        files[html] = plan_html(sheet, base).encode()
    shared.write(files)


def _print(
    sheet: Sheet, base: KnowledgeBase, reader: Reader, *, json: bool, color: shared.When
) -> None:
    if json:
        from advisor.render.plan_document import plan_document

        measuring.print_json(plan_document(sheet, base))
    elif reader is Reader.CUSTOMER:
        from advisor.render.plan_customer import plan_customer

        typer.echo(plan_customer(sheet, base, shared.page(color)), nl=False, color=True)
    else:
        from advisor.render.plan_page import plan_page

        typer.echo(plan_page(sheet, base, shared.page(color)), nl=False, color=True)
