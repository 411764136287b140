"""Translations of what customers read: from checked YAML to `Language`.

Used by `knowledge.py` for languages/. It looks up every entry that is translated; what is not
translated yet is for `checking` to tell.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from advisor.model import Language, TopicWording, Wording
from advisor.names import did_you_mean
from advisor.reading import Reader
from advisor.speech import ENGLISH, Speech
from advisor.yamlfile import Document

REVIEWED_MARK = "needs"
"""A `review` that starts with this word says that nobody has looked the file through yet."""
ENTRIES = {"kinds": "kind", "causes": "cause", "stops": "stop"}

Made = Callable[[Document], Reader]
Known = Mapping[str, Iterable[str]]


def build_languages(
    documents: Mapping[str, Mapping[str, Document]], reader: Made, known: Known
) -> dict[str, Language]:
    """Every language, from the documents under languages/ by kind of file and path.

    Args:
        documents: the documents of each kind of file, by `<language>/<file>`.
        reader: makes a reader of a document.
        known: the ids that phrases, facts and names may use.
    """
    found: dict[str, dict[str, Reader]] = {}
    for kind in ("figures", "translation", "answer-wording"):
        for path, document in sorted(documents.get(kind, {}).items()):
            language, _, file = path.partition("/")
            found.setdefault(language, {})[file] = reader(document)
    return {name: _language(name, files, known) for name, files in found.items()}


def _language(name: str, files: Mapping[str, Reader], known: Known) -> Language:
    figures = files.get("figures")
    entries: dict[str, Wording] = {}
    for file, kind in ENTRIES.items():
        if file in files:
            entries |= _entries(files[file], kind)
    answers = {
        file.removeprefix("answers/"): _topic(files[file], file)
        for file in files
        if file.startswith("answers/")
    }
    return Language(
        id=name,
        name=figures["name"] if figures else name,
        speech=_speech(name, figures) if figures else ENGLISH,
        entries=entries,
        phrases=_says(files.get("phrases"), known["phrases"], "phrase"),
        asks=_says(files.get("facts"), known["facts"], "fact"),
        names=_says(files.get("names"), known["names"], "weed or lawn grass"),
        texts=_says(files.get("texts"), None, "text"),
        answers=answers,
        unreviewed=tuple(
            reader.document.path
            for reader in files.values()
            if str(reader["review"]).startswith(REVIEWED_MARK)
        ),
    )


def _speech(name: str, figures: Reader) -> Speech:
    return Speech(
        language=name,
        months=tuple(figures["months"]),
        words=dict(figures["words"]),
        heard=dict(figures.get("heard") or {}),
        both=figures["both"],
        either=figures["either"],
        until=figures["until"],
        day_form=figures["day"],
    )


def _entries(reader: Reader, kind: str) -> dict[str, Wording]:
    result = {}
    for name, raw in reader["says"].items():
        _known(reader, name, reader.ids(kind), kind)
        if isinstance(raw, str):
            message = "a title and a text for the customer are needed"
            reader.problem("K103", message, "says", name)
            continue
        remedies, instead = raw.get("remedies") or (), raw.get("instead") or ()
        result[name] = Wording(raw["title"], raw["customer"], tuple(remedies), tuple(instead))
    return result


def _says(reader: Reader | None, names: Iterable[str] | None, what: str) -> dict[str, str]:
    """The texts of a file that translates single texts."""
    if reader is None:
        return {}
    raw: Mapping[str, Any] = reader["says"]
    for name, text in raw.items():
        if names is not None:
            _known(reader, name, names, what)
        if not isinstance(text, str):
            reader.problem("K103", "one text is wanted here", "says", name)
    return {name: text for name, text in raw.items() if isinstance(text, str)}


def _known(reader: Reader, name: str, names: Iterable[str], what: str) -> None:
    known = set(names)
    if name not in known:
        hint = did_you_mean(name, known)
        message = f"there is no {what} `{name}`"
        reader.problem("K201", message, "says", name, hint=hint, at_key=True)


def _topic(reader: Reader, file: str) -> TopicWording:
    reader.reference("answer", "id")
    if file != f"answers/{reader['id']}":
        called = file.removeprefix("answers/")
        message = f"the id is `{reader['id']}` but the file is called {called}.yaml"
        reader.problem("K203", message, "id")
    return TopicWording(
        of=reader["of"],
        title=reader["title"],
        lead=reader.get("lead"),
        ask=tuple(reader["ask"]),
        keywords=tuple(reader.get("keywords") or ()),
        answer=reader["answer"],
        short=reader["short"],
        add=dict(reader.get("add") or {}),
        first_aid=tuple(reader.get("first_aid") or ()),
    )
