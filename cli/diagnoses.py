"""`cameback diagnose`: from call files to answers."""

from __future__ import annotations

import enum
from typing import TYPE_CHECKING, Annotated

import typer

from cli import measuring, shared

if TYPE_CHECKING:
    from advisor.call import Call
    from advisor.diagnosis import Diagnosis
    from advisor.model import KnowledgeBase
    from advisor.problem import Problem
    from advisor.weather.record import Weather


class Reader(enum.StrEnum):
    """Who reads the answer."""

    TECHNICIAN = "technician"
    CUSTOMER = "customer"


def diagnose(
    calls: Annotated[
        list[str], typer.Argument(metavar="CALL...", help="Call files; - reads standard input.")
    ],
    reader: Annotated[
        Reader, typer.Option("--for", help="Who it is for: the technician, or plain words to send.")
    ] = Reader.TECHNICIAN,
    json: Annotated[bool, typer.Option("--json", help="Print a JSON document instead.")] = False,
    why: Annotated[
        str | None,
        typer.Option("--why", metavar="ID", help="The whole chain behind a cause, kind or stop."),
    ] = None,
    lang: shared.LanguageOption = "en",
    folder: shared.KnowledgeOption = None,
    engine: shared.EngineOption = shared.EngineName.AUTO,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Say why a treatment failed and what to change.

    Example: cameback diagnose knowledge/examples/ground-ivy-watered.yaml
    """
    from advisor.problem import ProblemsFound

    base = shared.in_language(shared.knowledge(folder), lang)
    if why is not None:
        _check_why(why, base)
    if calls.count(shared.STANDARD_INPUT) > 1:
        shared.usage("standard input can be read only once")
    read: list[tuple[Call, Weather | None]] = []
    problems: list[Problem] = []
    for name in calls:
        try:
            read.append(_read(name, base))
        except ProblemsFound as error:
            problems.extend(error.problems)
    answers = _answers(read, base, engine)
    if json:
        _print_json(answers, base, several=len(calls) > 1)
    else:
        for number, answer in enumerate(answers):
            if number:
                typer.echo()
            typer.echo(_page(answer, base, reader, why, color), nl=False, color=True)
    skipped = [problem for _, weather in read if weather for problem in weather.skipped]
    if problems or skipped:
        shared.report([*problems, *skipped])
    if problems:
        raise typer.Exit(shared.WRONG_CALL)


def _read(name: str, base: KnowledgeBase) -> tuple[Call, Weather | None]:
    from advisor.call import load_weather_of

    call = shared.call_of(name, base)
    return call, load_weather_of(call)


def _answers(
    calls: list[tuple[Call, Weather | None]], base: KnowledgeBase, engine: shared.EngineName
) -> list[Diagnosis]:
    if not calls:
        return []
    from advisor.diagnosis import Advisor
    from advisor.engine.base import EngineError

    try:
        advisor = Advisor(base, engine.value)
    except EngineError as error:
        shared.usage(str(error))
    return [advisor.diagnose(call, weather) for call, weather in calls]


def _check_why(name: str, base: KnowledgeBase) -> None:
    from advisor.names import did_you_mean
    from advisor.render.why import names

    known = names(base)
    if name not in known:
        hint = did_you_mean(name, known) or "causes, kinds and stops: " + ", ".join(known)
        shared.usage(f"there is no cause, kind or stop `{name}`", hint)


def _page(
    answer: Diagnosis,
    base: KnowledgeBase,
    reader: Reader,
    why: str | None,
    color: shared.When,
) -> str:
    from advisor.render.customer import customer_page
    from advisor.render.technician import technician_page
    from advisor.render.why import why_page

    page = shared.page(color)
    if why is not None:
        return why_page(why, answer, base, page)
    if reader is Reader.CUSTOMER:
        return customer_page(answer, base, page)
    return technician_page(answer, base, page)


def _print_json(answers: list[Diagnosis], base: KnowledgeBase, *, several: bool) -> None:
    from advisor.render.document import diagnosis_document

    documents = [diagnosis_document(answer, base) for answer in answers]
    if not several and not documents:
        return
    measuring.print_json(documents if several else documents[0])
