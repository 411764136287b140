"""What the examples exercise, as a page for the terminal and as a document for programs.

The last step of `cameback check --coverage`. It lays out what `coverage` counted and adds nothing.
"""

from __future__ import annotations

from typing import Any

from advisor.checking.coverage import Coverage, Covered, Verdicts
from advisor.render.layout import Page

FORMAT = "cameback-coverage"
VERSION = 1
COLUMNS = ("shown", "open", "never", "of")


def coverage_page(found: Coverage, page: Page) -> str:
    """The table, what is never exercised, and the calls at random."""
    page.head(f"What {found.calls} example calls exercise")
    page.blank()
    width = max(len(one.what) for one in found.covered)
    page.lines.append(" " * (width + 2) + "".join(f"{name:>8}" for name in COLUMNS))
    for one in found.covered:
        figures = (len(one.shown), len(one.open), len(one.never), one.of)
        page.lines.append(f"  {one.what:<{width}}" + "".join(f"{n:>8}" for n in figures))
    page.blank()
    page.text("shown: certain in some call; open: possible in some, certain in none.")
    for one in found.covered:
        if one.never:
            page.head(f"{one.what.capitalize()} never exercised")
            page.text(", ".join(one.never))
    page.head("Calls drawn at random")
    for drawn in found.verdicts:
        page.item("-", _sentence(drawn))
    page.text(f"(seed {found.seed}; a verdict is a kind of comeback or a mistake that is shown)")
    return str(page)


def _sentence(drawn: Verdicts) -> str:
    return (
        f"callers who tell {drawn.told * 100:.0f} % of what they could be asked: "
        f"{len(drawn.without)} of {drawn.calls} get no verdict ({drawn.share * 100:.1f} %)"
    )


def coverage_document(found: Coverage) -> dict[str, Any]:
    """The same as plain data, described by schemas/coverage.schema.json."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "calls": found.calls,
        "covered": [_covered(one) for one in found.covered],
        "random": [
            {
                "told": drawn.told,
                "seed": found.seed,
                "calls": drawn.calls,
                "without_verdict": len(drawn.without),
                "share_without_verdict": drawn.share,
            }
            for drawn in found.verdicts
        ],
    }


def _covered(one: Covered) -> dict[str, Any]:
    return {
        "what": one.what,
        "shown": list(one.shown),
        "open": list(one.open),
        "never": list(one.never),
    }
