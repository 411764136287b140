"""A weather report as a JSON document, described by schemas/weather.schema.json.

For programs that take answers from this one. What is not known is null, an end that nothing limits
is null too; the format has a version, and a key is never dropped or given another meaning without
raising it.
"""

from __future__ import annotations

import math
from typing import Any

from advisor.degree_days import Recipe
from advisor.growth import Dated
from advisor.heat import SoilMean
from advisor.model import KnowledgeBase
from advisor.problem import Problem
from advisor.render.weather_page import VERDICTS, reason
from advisor.spray_days import SprayDay
from advisor.terms import Span, Truth
from advisor.weather.days import Day
from advisor.weather_report import Report

FORMAT = "cameback-weather"
VERSION = 1


def weather_document(found: Report, base: KnowledgeBase) -> dict[str, Any]:
    """The whole report as plain data; temperatures in F, rain in inches, wind in mph."""
    weather = found.weather
    return {
        "format": FORMAT,
        "version": VERSION,
        "file": {
            "path": weather.path,
            "layout": weather.layout,
            "hourly": weather.hourly,
            "first": str(weather.first),
            "last": str(weather.last),
            "rows": weather.rows,
            "skipped": [_problem(p) for p in weather.skipped],
            "missing_days": weather.missing,
            "doubtful_values": weather.doubtful,
            "columns_not_read": list(weather.unread),
        },
        "region": found.region.id if found.region else None,
        "from": str(found.first),
        "to": str(found.last),
        "days": [
            _day(day, judged, base) for day, judged in zip(found.days, found.spraying, strict=True)
        ],
        "heat": [
            {**_recipe(c.recipe), "start": str(c.start), "total": _span(c.total)}
            for c in found.counted
        ],
        "soil": _span(found.soil),
        "weeds": [
            {
                "weed": stage.weed.id,
                "events": [_event(e, found) for e in stage.events],
                "soil": [_mean(mean, truth) for mean, truth in stage.soil],
            }
            for stage in found.stages
        ],
    }


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "line": problem.line,
        "cell": problem.column,
        "code": problem.code,
        "message": problem.message,
    }


def _day(day: Day, judged: SprayDay, base: KnowledgeBase) -> dict[str, Any]:
    return {
        "date": str(day.date),
        "line": day.line or None,
        "high": _span(day.high),
        "low": _span(day.low),
        "rain": _span(day.rain),
        "wind": _span(day.wind),
        "spray": VERDICTS[judged.suits],
        "reasons": [{"id": name, "says": reason(name, base)} for name in judged.reasons],
        "hours": list(judged.hours),
    }


def _recipe(recipe: Recipe) -> dict[str, Any]:
    return {"method": recipe.method, "base": recipe.base, "cap": recipe.cap}


def _event(event: Dated, found: Report) -> dict[str, Any]:
    threshold = event.threshold
    return {
        "id": threshold.id,
        "event": threshold.event,
        "says": threshold.says,
        "status": event.on(found.last).value,
        "first": None if event.first is None else str(event.first),
        "last": None if event.last is None else str(event.last),
        "start": str(event.start),
        "total": _span(event.total),
        "threshold": _span(threshold.heat),
        "written": threshold.written,
        **_recipe(threshold.recipe),
        "measured": threshold.measured,
        "source": threshold.source or threshold.basis,
    }


def _mean(mean: SoilMean, truth: Truth) -> dict[str, Any]:
    return {
        "id": mean.id,
        "event": mean.event,
        "says": mean.says,
        "status": truth.value,
        "mean": _span(mean.mean),
        "way": mean.way,
        "source": mean.source or mean.basis,
    }


def _span(known: Span | None) -> dict[str, float | None] | None:
    if known is None:
        return None
    low, high = (None if math.isinf(end) else round(end, 6) for end in (known.low, known.high))
    return {"low": low, "high": high}
