"""`cameback answer` and `cameback unanswered`: homeowners' questions."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli import measuring, shared
from cli.answer_options import Channel, Reader, call_context, options_context

if TYPE_CHECKING:
    from advisor.answers.answering import Reply

NOT_ANSWERED = 4


def answer(
    question: Annotated[str, typer.Argument(help="The question, in the homeowner's own words.")],
    weed: Annotated[str | None, typer.Option(metavar="ID", help="The weed it is about.")] = None,
    product: Annotated[
        str | None, typer.Option(metavar="ID", help="The product it is about.")
    ] = None,
    turf: Annotated[str | None, typer.Option(metavar="ID", help="The lawn grass.")] = None,
    region: Annotated[str | None, typer.Option(metavar="ID", help="The region.")] = None,
    call: Annotated[
        str | None,
        typer.Option("--call", metavar="FILE", help="A call file, or -; it fills the answer."),
    ] = None,
    reader: Annotated[Reader, typer.Option("--for", help="Who it is for.")] = Reader.CUSTOMER,
    channel: Annotated[
        Channel, typer.Option(help="How a homeowner gets it; a text has at most 320 characters.")
    ] = Channel.PRINT,
    json: Annotated[bool, typer.Option("--json", help="Print a JSON document instead.")] = False,
    lang: shared.LanguageOption = "en",
    folder: shared.KnowledgeOption = None,
    engine: shared.EngineOption = shared.EngineName.AUTO,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Answer a homeowner's question in plain words, the same way every time.

    Exit code 4: there is no checked answer, or the question could mean two things.

    Example: cameback answer "how long before the kids can go out" --product larkmoor-broadleaf
    """
    from advisor.answers.answering import Answerer

    base = shared.in_language(shared.knowledge(folder), lang)
    options = options_context(base, weed=weed, product=product, turf=turf, region=region)
    told = call_context(call, base, engine) if call is not None else None
    words = question.encode(errors="replace").decode()  # what was no text is no word
    reply = Answerer(base, shared.cache_folder()).answer(words, options, told)
    if json:
        from advisor.render.answer_document import answer_document

        measuring.print_json(answer_document(reply, base))
    else:
        from advisor.render import answer_page

        page = shared.page(color)
        if reader is Reader.TECHNICIAN:
            text = answer_page.technician_answer(reply, base, page)
        else:
            text = answer_page.customer_answer(
                reply, base, answer_page.Channel(channel.value), page
            )
        typer.echo(text, nl=False, color=True)
    if reply.composed is None:
        _record(reply)
        raise typer.Exit(NOT_ANSWERED)


def _record(reply: Reply) -> None:
    """Keep a question for the knowledge editor, unless there is nothing in it or no place."""
    from advisor.answers.unanswered import record
    from advisor.problem import escaped

    folder = data_folder()
    if reply.found is None or folder is None:
        return
    nearest = [candidate.topic.id for candidate in reply.found.nearest]
    if not record(folder, reply.question, nearest, dt.datetime.now().astimezone()):
        typer.echo(f"note: the question could not be kept in {escaped(str(folder))}", err=True)


def data_folder() -> Path | None:
    """Where questions are kept; none if CAMEBACK_DATA is empty."""
    chosen = os.environ.get("CAMEBACK_DATA")
    if chosen is not None:
        return Path(chosen) if chosen else None
    root = os.environ.get("XDG_DATA_HOME") or os.environ.get("LOCALAPPDATA")
    try:
        return (Path(root) if root else Path.home() / ".local" / "share") / "cameback"
    except RuntimeError:  # no home folder
        return None


def unanswered(
    clear: Annotated[bool, typer.Option("--clear", help="Forget them all.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print a JSON document instead.")] = False,
) -> None:
    """List the questions that got no answer, the most frequent first.

    Put each one into knowledge/phrasings.yaml, under its topic or under not_ours.

    Example: cameback unanswered
    """
    from advisor.answers import unanswered as kept
    from advisor.problem import escaped

    folder = data_folder()
    if folder is None:
        shared.usage("no data folder: CAMEBACK_DATA is empty")
    if clear:
        typer.echo("forgotten" if kept.clear(folder) else "there were none")
        return
    found = kept.recorded(folder)
    if json:
        document = {
            "format": "cameback-unanswered",
            "version": 1,
            "questions": [
                {"question": u.question, "count": u.count, "last": u.last, "nearest": [*u.nearest]}
                for u in found
            ],
        }
        measuring.print_json(document)
        return
    for one in found:
        asked = escaped(one.question)
        typer.echo(f"{one.count:4}  {asked}  (nearest: {', '.join(one.nearest)})")
    noun = "question" if len(found) == 1 else "questions"
    typer.echo(f"{len(found)} {noun} without an answer")
