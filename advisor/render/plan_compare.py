"""The rows of a comparison as cells and notes, for the page and the printed sheet.

Turns what `planning.compare` worked out into words and figures; it leaves the layout to others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.dose.exact import measure
from advisor.model import KnowledgeBase
from advisor.planning.compare import Row
from advisor.render.measured import System, said
from advisor.render.plan_summary import mean_left
from advisor.render.plan_words import capital, day_name, joined, span
from advisor.render.say import percent, phrase

COLUMNS = ("way", "left", "sprays", "product", "cost")


@dataclass(frozen=True)
class Cells:
    """One row of the table in words."""

    way: str
    left: str
    sprays: str
    product: str
    cost: str

    def all(self) -> tuple[str, ...]:
        """All cells in their order."""
        return (self.way, *self.rest())

    def rest(self) -> tuple[str, ...]:
        """The cells after the name of the way."""
        return self.left, self.sprays, self.product, self.cost


def cells(rows: Sequence[Row], base: KnowledgeBase) -> list[Cells]:
    """The table: its heads, then a row for each way."""
    heads = Cells(*(phrase(base, f"plan-column-{name}") for name in COLUMNS))
    return [heads, *(_cells(row, base) for row in rows)]


def _cells(row: Row, base: KnowledgeBase) -> Cells:
    way = phrase(base, f"plan-row-{row.name}")
    if row.plan is None:
        return Cells(way, phrase(base, "plan-compare-impossible"), "", "", "")
    left = mean_left(dict(row.plan.alive), row.plan)
    shares = f"{percent(left.expected)} ({percent(left.low)} to {percent(left.high)})"
    if not row.plan.steps:
        return Cells(way, shares, "0", phrase(base, "plan-compare-nothing"), "")
    used = "; ".join(
        f"{said(measure(u.amount, u.unit), System.US)} {u.product.name}" for u in row.used
    )
    cost = "" if row.cost is None else f"${row.cost:.2f}"
    return Cells(way, shares, str(row.applications), used, cost)


def notes(rows: Sequence[Row], base: KnowledgeBase) -> list[str]:
    """The days of each way, what it breaks, and when to sow after starting over."""
    result = []
    for row in rows:
        way = capital(phrase(base, f"plan-row-{row.name}"))
        if row.plan is not None and row.plan.steps:
            days = joined([day_name(step.day) for step in row.plan.steps])
            result.append(phrase(base, "plan-compare-days", way=way, days=days))
        if row.breaks:
            broken = joined([phrase(base, f"plan-breaks-{name}") for name in row.breaks])
            result.append(phrase(base, "plan-compare-breaks", way=way, breaks=broken))
        if row.reseed is not None:
            result.append(phrase(base, "plan-compare-reseed", way=way, days=span(row.reseed)))
    return result
