"""`cameback show`: all that is known of one entry of the knowledge base."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from cli import measuring, shared

if TYPE_CHECKING:
    from advisor.catalog import Catalog, Ref


def complete(incomplete: str) -> list[str]:
    """The ids that a word may become: kinds, and files of the shipped knowledge folder."""
    from advisor.knowledge_folder import FOLDERS, shipped

    root = shipped("knowledge")
    stems = [path.stem for folder in FOLDERS for path in (root / folder).glob("*.yaml")]
    return sorted(name for name in [*FOLDERS.values(), *stems] if name.startswith(incomplete))


def show(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="[KIND] ID",
            help="An id or a name; its kind before it, where two have the same.",
            autocompletion=complete,
        ),
    ],
    json: measuring.JsonOption = False,
    folder: shared.KnowledgeOption = None,
    color: shared.ColorOption = shared.When.AUTO,
) -> None:
    """Show all that is known of a weed, product, cause, rule or any other entry.

    Example: cameback show weed ground-ivy
    """
    from advisor.render.cards.library import Library
    from advisor.render.entry_document import entry_document
    from advisor.render.show_page import show_page
    from advisor.written import written

    base = shared.knowledge(folder)
    library = Library(base)
    ref = _meant(words, library.catalog)
    if json:
        measuring.print_json(entry_document(ref, library, written(ref, base)))
    else:
        typer.echo(show_page(ref, library, shared.page(color)), nl=False, color=True)


def _meant(words: list[str], catalog: Catalog) -> Ref:
    """The one entry that the words mean."""
    from advisor.catalog import KINDS, PLURALS

    first = PLURALS.get(words[0], words[0])
    kind = first if first in KINDS and len(words) > 1 else None
    name = " ".join(words[1:] if kind else words)
    found = catalog.find(name, kind)
    if len(found) == 1:
        return found[0]
    if found:
        them = ", ".join(f"{ref.kind} {ref.id}" for ref in found)
        shared.usage(f"`{name}` is several", f"say which: {them}")
    if kind is None and name in (*KINDS, *PLURALS):
        shared.usage(f"`{name}` is a kind of entry", f"see cameback list {_plural(name)}")
    hint = catalog.like(name, kind)
    known = f"see cameback list {_plural(kind)}" if kind else "see cameback list --help"
    shared.usage(f"there is no {kind or 'entry'} `{name}`", hint or known)


def _plural(kind: str) -> str:
    from advisor.catalog import PLURALS

    return next(plural for plural, one in PLURALS.items() if kind in (plural, one))
