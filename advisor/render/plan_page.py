"""A plan for the person on the phone: stops, an honest word, the plan, the steps, all beside it.

What `cameback plan` prints. The order is fixed; every sentence is the knowledge base's.
"""

from __future__ import annotations

import textwrap

from advisor.model import KnowledgeBase
from advisor.planning.compare import Row
from advisor.planning.from_call import Refused
from advisor.planning.sheet import Sheet, StepSheet
from advisor.render import plan_beside as beside
from advisor.render import plan_summary as summary
from advisor.render.layout import BOLD, RED, YELLOW, Page
from advisor.render.plan_chars import draw
from advisor.render.plan_compare import Cells, cells, notes
from advisor.render.plan_words import against, all_parts, span, window
from advisor.render.plan_year import year_of
from advisor.render.say import phrase

FORECAST_MARKS = {"go": "o", "wait": "~", "no-go": "x"}
PART_WIDTH = 8


def refused_page(why: Refused, base: KnowledgeBase, page: Page) -> str:
    """Why no plan can be made."""
    page.text(phrase(base, f"plan-refused-{why.why}"), 0, RED)
    if why.stop is not None:
        page.text(phrase(base, "plan-refused-next", until=why.stop.stop.until), 0)
    return str(page)


def plan_page(sheet: Sheet, base: KnowledgeBase, page: Page) -> str:
    """The whole plan as text."""
    page.head(summary.title(sheet, base))
    page.text(summary.about(sheet, base), 0)
    _section("head-stop", summary.stops(sheet, base), base, page, "!", RED)
    _section("plan-head-word", summary.honest(sheet, base), base, page, "!", YELLOW)
    _section("plan-head-glance", summary.glance(sheet, base), base, page)
    _section("plan-head-instead", beside.instead(sheet, base), base, page, "-")
    _picture(sheet, base, page)
    if sheet.forecast is not None or not sheet.plan.steps:
        _forecast(sheet, base, page)
    for parts, step in zip(all_parts(sheet.steps, base), sheet.steps, strict=True):
        _step(step, parts, base, page)
    if sheet.plan.steps or sheet.plan.again:
        page.head(phrase(base, "plan-head-again"))
        page.text(summary.again(sheet, base))
    _compare(sheet.rows, base, page)
    care = "plan-head-beyond" if sheet.plan.steps else "plan-head-care"
    _section(care, beside.beyond(sheet, base), base, page, "-")
    _section("plan-head-seed", beside.sowing(sheet, base), base, page, "-")
    _section("plan-head-bank", beside.bank(sheet, base), base, page)
    _section("plan-head-know", summary.know(sheet, base), base, page, "-")
    _section("plan-head-not-used", summary.not_used(sheet, base), base, page, "-")
    _section("plan-head-basis", summary.basis(sheet, base), base, page, "-")
    _section("head-cautions", summary.cautions(sheet, base), base, page, "*")
    return str(page)


def _section(
    head: str, texts: list[str], base: KnowledgeBase, page: Page, mark: str = "", style: str = ""
) -> None:
    if not texts:
        return
    page.head(phrase(base, head), style or BOLD)
    for text in texts:
        page.item(mark, text, style=style)


def _picture(sheet: Sheet, base: KnowledgeBase, page: Page) -> None:
    drawn = draw(year_of(sheet), base, page.width)
    page.head(phrase(base, "plan-head-picture"))
    page.lines.extend(drawn.lines)
    days = "a day" if drawn.days_a_column == 1 else f"{drawn.days_a_column} days"
    page.text(phrase(base, "plan-picture-key", days=days))


def _forecast(sheet: Sheet, base: KnowledgeBase, page: Page) -> None:
    found = sheet.forecast
    if found is None:
        return
    page.head(phrase(base, "plan-head-forecast"))
    page.text(summary.forecast_word(sheet, base), style=BOLD)
    for day in found.days:
        page.item(FORECAST_MARKS[day.verdict], summary.forecast_day(day, base))


def _step(
    sheet: StepSheet, parts: list[tuple[str, list[str]]], base: KnowledgeBase, page: Page
) -> None:
    step = sheet.step
    number, days = str(step.number), span(step.window)
    page.head(phrase(base, "plan-head-step", number=number, window=days))
    page.text(step.product.name, style=BOLD)
    page.text(f"{against(step, base)} {window(step, base)}")
    for name, texts in parts:
        label = phrase(base, f"plan-part-{name}")
        for n, text in enumerate(texts):
            mark = f"{label if n == 0 else '':<{PART_WIDTH - 1}}"
            page.item(mark, text)


# ---- side by side ----------------------------------------------------------------------------


def _compare(rows: tuple[Row, ...], base: KnowledgeBase, page: Page) -> None:
    if not rows:
        return
    page.head(phrase(base, "plan-head-compare"))
    table = cells(rows, base)
    if page.width >= 70:
        _table(table, page)
    else:
        for row in table[1:]:
            page.text(row.way, style=BOLD)
            named = zip(table[0].rest(), row.rest(), strict=True)
            page.text("; ".join(f"{head} {cell}" for head, cell in named if cell), 4)
    for text in notes(rows, base):
        page.item("-", text)
    page.text(phrase(base, "plan-compare-note"))


def _table(table: list[Cells], page: Page) -> None:
    widths = [max(len(row.all()[n]) for row in table) for n in range(len(table[0].all()))]
    widths[3] = min(widths[3], page.width - 2 - sum(widths[:3]) - widths[4] - 8)
    for number, row in enumerate(table):
        split = [_wrapped(cell, width) for cell, width in zip(row.all(), widths, strict=True)]
        for n in range(max(len(cell) for cell in split)):
            line = "  ".join(
                f"{cell[n] if n < len(cell) else '':<{width}}"
                for cell, width in zip(split, widths, strict=True)
            )
            page.lines.append(page.paint(f"  {line}".rstrip(), BOLD if number == 0 else ""))


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, max(8, width)) or [""]
