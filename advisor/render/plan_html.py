"""A plan as one HTML page to print or to send: self-contained, for paper, desk and phone.

Fills templates/plan.html.j2, which escapes everything but the picture. The sentences are those of
the terminal's page.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from advisor.model import KnowledgeBase
from advisor.planning.sheet import Sheet, StepSheet
from advisor.render import plan_beside as beside
from advisor.render import plan_summary as summary
from advisor.render.plan_compare import cells, notes
from advisor.render.plan_svg import draw
from advisor.render.plan_tasks import tasks
from advisor.render.plan_words import Part, against, all_parts, span, window
from advisor.render.plan_year import year_of
from advisor.render.say import phrase

HEADS = {
    "stop": "head-stop",
    "word": "plan-head-word",
    "glance": "plan-head-glance",
    "instead": "plan-head-instead",
    "picture": "plan-head-picture",
    "forecast": "plan-head-forecast",
    "again": "plan-head-again",
    "tasks": "plan-sheet-tasks",
    "when": "plan-sheet-when",
    "what": "plan-sheet-what",
    "done": "plan-sheet-done",
    "compare": "plan-head-compare",
    "beyond": "plan-head-beyond",
    "seed": "plan-head-seed",
    "bank": "plan-head-bank",
    "know": "plan-head-know",
    "not_used": "plan-head-not-used",
    "cautions": "head-cautions",
}


@cache
def _template() -> Any:
    loader = PackageLoader("advisor.render")
    environment = Environment(loader=loader, autoescape=True, undefined=StrictUndefined)
    return environment.get_template("plan.html.j2")


def plan_html(sheet: Sheet, base: KnowledgeBase) -> str:
    """The whole sheet."""
    steps = zip(sheet.steps, all_parts(sheet.steps, base), strict=True)
    more = sheet.plan.steps or sheet.plan.again
    page = _template().render(
        title=summary.title(sheet, base),
        about=summary.about(sheet, base),
        heads={name: _plain(base.phrases[head]) for name, head in HEADS.items()},
        stops=summary.stops(sheet, base),
        honest=summary.honest(sheet, base),
        glance=summary.glance(sheet, base),
        instead=beside.instead(sheet, base),
        picture=Markup(draw(year_of(sheet), base)),
        key=phrase(base, "plan-sheet-key"),
        swipe=phrase(base, "plan-sheet-swipe"),
        forecast=_forecast(sheet, base),
        steps=[_step(step, parts, base) for step, parts in steps],
        again=summary.again(sheet, base) if more else "",
        tasks=tasks(sheet, base),
        compared=_compared(sheet, base),
        beyond=beside.beyond(sheet, base),
        sowing=beside.sowing(sheet, base),
        bank=beside.bank(sheet, base),
        know=summary.know(sheet, base),
        not_used=summary.not_used(sheet, base),
        cautions=summary.cautions(sheet, base),
        basis=summary.basis(sheet, base),
    )
    return str(page) + "\n"


def _plain(head: str) -> str:
    """A heading of the terminal in ordinary letters."""
    return head.capitalize() if head.isupper() or head.replace(",", "").isupper() else head


def _step(sheet: StepSheet, parts: list[Part], base: KnowledgeBase) -> dict[str, Any]:
    step = sheet.step
    return {
        "number": step.number,
        "head": span(step.window),
        "product": step.product.name,
        "why": f"{against(step, base)} {window(step, base)}",
        "parts": [(phrase(base, f"plan-part-{name}"), texts) for name, texts in parts],
    }


def _forecast(sheet: Sheet, base: KnowledgeBase) -> dict[str, Any] | None:
    if sheet.forecast is None:
        return None
    return {
        "word": summary.forecast_word(sheet, base),
        "days": [summary.forecast_day(day, base) for day in sheet.forecast.days],
    }


def _compared(sheet: Sheet, base: KnowledgeBase) -> dict[str, Any] | None:
    if not sheet.rows:
        return None
    heads, *rows = cells(sheet.rows, base)
    return {
        "heads": heads.all(),
        "rows": [
            {
                "way": row.way,
                "chosen": found.name == "plan",
                "cells": list(zip(heads.rest(), row.rest(), strict=True)),
            }
            for row, found in zip(rows, sheet.rows, strict=True)
        ],
        "notes": notes(sheet.rows, base),
        "note": phrase(base, "plan-compare-note"),
    }
