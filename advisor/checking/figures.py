"""K211: every figure says where it comes from.

At or above each number, and each amount with its unit, stands a `from` or an `origin`; or a key
beside it, such as `seasons_from` beside `seasons`, says it. The schemas ask for it where a figure
usually stands; this looks at every figure there is.

PASS:
    # weeds/wild-violet.yaml
    unit: rhizome bud

FAIL:
    unit: 3 in of rhizome
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from advisor.checking.pages import Keys
from advisor.checking.subject import Subject
from advisor.knowledge_folder import FILES, FOLDERS
from advisor.problem import Problem

NAMED = ("from", "origin")
ORIGINS = ("common-practice", "memory", "demo")
WITHOUT = {"answers", "sources.yaml", "phrases.yaml", "phrasings.yaml", "synonyms.yaml"}
"""What holds no figures of its own: words, and the sources themselves."""
AMOUNT = re.compile(r"[-+]?[0-9][0-9.,]*( to [-+]?[0-9][0-9.,]*)? ?[A-Za-z%][A-Za-z0-9%/ ]*")


def check(subject: Subject) -> Iterator[Problem]:
    """The figures without an origin, each mapping or list of them once."""
    paths = [subject.folder / name for name in FILES if name not in WITHOUT]
    for name in FOLDERS:
        if name not in WITHOUT:
            paths += sorted((subject.folder / name).glob("*.yaml"))
    for path in map(str, paths):
        said: set[Keys] = set()
        for keys, value in _bare(subject.pages.page(path).data, ()):
            if keys[:-1] not in said:
                said.add(keys[:-1])
                message = f"nothing says where {value} comes from"
                hint = "add `from:` beside it or above it"
                yield subject.pages.problem("K211", message, path, *keys, hint=hint)


def _bare(node: Any, keys: Keys) -> Iterator[tuple[Keys, Any]]:
    """The figures in a value that nothing in it or above it gives an origin."""
    if isinstance(node, Mapping):
        if any(_is_origin(node.get(name)) for name in NAMED):
            return
        said = tuple(name.removesuffix("_from") for name in node if name.endswith("_from"))
        for key, value in node.items():
            if not (key.startswith(said) and said):
                yield from _bare(value, (*keys, key))
    elif isinstance(node, list):
        for i, value in enumerate(node):
            yield from _bare(value, (*keys, i))
    elif _is_figure(node):
        yield keys, node


def _is_origin(value: Any) -> bool:
    return "source" in value if isinstance(value, Mapping) else value in ORIGINS


def _is_figure(value: Any) -> bool:
    if isinstance(value, str):
        return AMOUNT.fullmatch(value) is not None
    return isinstance(value, int | float) and not isinstance(value, bool)
