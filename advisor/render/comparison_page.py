"""What two knowledge bases answer differently, as a page and as a document for programs.

The last step of `cameback check --against`. It lays out what `comparison` found and adds nothing.
"""

from __future__ import annotations

import re
from typing import Any

from advisor.checking.comparison import Change, Comparison, Replayed
from advisor.render.layout import Page

FORMAT = "cameback-comparison"
VERSION = 1
LONG = 60
"""A text longer than this is shown by the sentences in which it differs."""


def comparison_page(found: Comparison, page: Page) -> str:
    """Everything that differs, and a count of it."""
    page.head(f"{found.before} against {found.after}")
    for replayed in found.replayed:
        if replayed.differing:
            page.head(f"{replayed.what.capitalize()} that differ")
        for one in replayed.differing:
            page.text(one.name)
            for change in one.changes:
                _change(change, page)
    page.blank()
    page.text("; ".join(map(_count, found.replayed)), indent=0)
    return str(page)


def _count(replayed: Replayed) -> str:
    return f"{len(replayed.differing)} of {replayed.count} {replayed.what} differ"


def _change(change: Change, page: Page) -> None:
    what = f"{change.what}: " if change.what else ""
    if max(len(change.before), len(change.after)) <= LONG:
        page.item("-", f"{what}{change.before} -> {change.after}", indent=4)
        return
    page.item("-", what, indent=4)
    before, after = _sentences(change.before), _sentences(change.after)
    for sentence in before:
        if sentence not in after:
            page.item("-", sentence, indent=6)
    for sentence in after:
        if sentence not in before:
            page.item("+", sentence, indent=6)


def _sentences(text: str) -> list[str]:
    return re.split(r"(?<=[.!?]) |(?<=,) ", text)


def comparison_document(found: Comparison) -> dict[str, Any]:
    """The same as plain data, described by schemas/comparison.schema.json."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "before": found.before,
        "after": found.after,
        "replayed": [
            {
                "what": replayed.what,
                "count": replayed.count,
                "differing": [
                    {
                        "name": one.name,
                        "changes": [
                            {"what": c.what, "before": c.before, "after": c.after}
                            for c in one.changes
                        ],
                    }
                    for one in replayed.differing
                ],
            }
            for replayed in found.replayed
        ],
    }
