"""Lists of entries of a kind, narrowed down: what `cameback list` prints.

A listing has a row for each entry and plain values in its columns, so that the table and the JSON
document say the same. Names to narrow down by must be names of the knowledge base.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from advisor.catalog import slug
from advisor.model import KnowledgeBase
from advisor.render.layout import Page
from advisor.render.list_filters import Cell, Cells, Filters
from advisor.render.list_rows import ROWS
from advisor.render.tables import table

FORMAT = "cameback-list"
VERSION = 1
HEADS = {"homeowner": "home use", "a_year": "a year", "treatments": "treat"}
"""Columns whose heads are shorter on the page than their keys in the document."""
OPTIONS = ("life_cycle", "habit")
"""Columns whose ids read better as words where a line may end."""


@dataclass(frozen=True, slots=True)
class Listing:
    """The entries of a kind that were asked for, and what was asked."""

    kind: str
    filters: Mapping[str, Any]
    rows: tuple[Cells, ...]


def listing(kind: str, base: KnowledgeBase, asked: Mapping[str, Any]) -> Listing:
    """The entries of a kind.

    Args:
        kind: the kind of entry.
        base: the knowledge base.
        asked: what to narrow down by, under the names of the options; None where not asked.

    Raises:
        UnknownName: if what is asked for is no name of the knowledge base.
    """
    filters = Filters(base, asked)
    return Listing(kind, filters.asked, tuple(ROWS[kind](base, filters)))


def list_page(found: Listing, page: Page) -> str:
    """The list as a table."""
    if not found.rows:
        page.text("nothing", 0)
        return str(page)
    shown = [name for name in found.rows[0] if name != "name" or not _names_are_ids(found)]
    heads = [HEADS.get(name, name.replace("_", " ")) for name in shown]
    table(page, heads, [[_said(name, row[name]) for name in shown] for row in found.rows], 0)
    noun = "entry" if len(found.rows) == 1 else "entries"
    page.blank()
    page.text(f"{len(found.rows)} {noun}", 0)
    return str(page)


def list_document(found: Listing) -> dict[str, Any]:
    """The list as plain data, described by schemas/list.schema.json."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "kind": found.kind,
        "filters": dict(found.filters),
        "rows": [
            {n: list(cell) if isinstance(cell, tuple) else cell for n, cell in row.items()}
            for row in found.rows
        ],
    }


def _names_are_ids(found: Listing) -> bool:
    """Whether every name can be read off the id beside it."""
    return all(slug(str(row["name"])) == row["id"] for row in found.rows)


def _said(name: str, cell: Cell) -> str:
    if name in OPTIONS:
        return str(cell).replace("-", " ")
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, tuple):
        return ", ".join(cell)
    return "" if cell is None else str(cell)
