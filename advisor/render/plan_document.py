"""A plan as a JSON document, described by schemas/plan.schema.json.

For programs that take plans from this one. The format has a version; a key is never dropped or
given another meaning without raising it.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from advisor.model import KnowledgeBase
from advisor.planning.compare import Row
from advisor.planning.forecast import Forecast
from advisor.planning.from_call import Refused
from advisor.planning.plan import Expected, Plan
from advisor.planning.request import Days
from advisor.planning.sheet import Sheet, StepSheet
from advisor.planning.targets import Target
from advisor.render import plan_beside as beside
from advisor.render import plan_summary as summary
from advisor.render.measured import System
from advisor.render.mix_document import mix_document
from advisor.render.plan_words import against, step_parts, window
from advisor.render.say import phrase

FORMAT = "cameback-plan"
VERSION = 1
CAUTIONS = ("label", "local", "gear", "people", "weather", "water")


def refused_document(why: Refused, base: KnowledgeBase) -> dict[str, Any]:
    """Why no plan can be made, as plain data."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "refused": {
            "why": why.why,
            "says": phrase(base, f"plan-refused-{why.why}"),
            "until": why.stop.stop.until if why.stop else None,
        },
    }


def plan_document(sheet: Sheet, base: KnowledgeBase) -> dict[str, Any]:
    """The whole plan as plain data."""
    plan = sheet.plan
    request = plan.request
    return {
        "format": FORMAT,
        "version": VERSION,
        "refused": None,
        "call": request.reference or None,
        "asked": {
            "weeds": list(request.weeds),
            "region": request.region,
            "turf": request.turf,
            "features": list(request.features),
            "days": _days(request.horizon),
            "done": [
                {"day": str(d.date), "product": d.product, "went_wrong": list(d.causes)}
                for d in request.done
            ],
            "seeding": [str(day) for day in request.seeding],
        },
        "stops": summary.stops(sheet, base),
        "outlook": [
            {
                "weed": word.weed.id,
                "level": word.level,
                "reasons": [limit.because for limit in word.limits],
                "label_suppresses_only": word.suppressed_only,
            }
            for word in sheet.site
        ],
        "targets": [_target(t, plan) for t in plan.targets],
        "left_alone": [t.name for t in plan.left_alone],
        "beaten": plan.beaten,
        "control": _rounded(plan.control),
        "gain": _rounded(plan.gain) if plan.gain > float("-inf") else None,
        "by_count": [_rounded(c) for c in plan.by_count],
        "steps": [_step(step, base) for step in sheet.steps],
        "again": None
        if plan.again is None
        else {
            "day": str(plan.again.day),
            "product": plan.again.product.id,
            "control": _rounded(plan.again.control),
        },
        "products": [p.id for p in plan.products],
        "barred": [{"product": b.product.id, "why": b.why} for b in plan.barred],
        "blocked": [
            {"product": b.product.id, "limit": b.limit, "days_left": dict(b.left)}
            for b in plan.blocked
        ],
        "beyond": beside.beyond(sheet, base),
        "sowing": [
            {
                "season": _days(slot.season),
                "open": [_days(run) for run in slot.open],
                "closed_by": slot.closed_by.id if slot.closed_by else None,
            }
            for slot in sheet.slots
        ],
        "seed_in_soil": [
            {
                "weed": weed.id,
                "years": [
                    {"year": request.start.year + y.year, "low": _rounded(y.low),
                     "high": _rounded(y.high)}
                    for y in years
                ],
            }
            for weed, years in sheet.seeds
        ],
        "instead": [
            {
                "weed": other.weed.id,
                "sprayed": other.sprayed,
                "products": [p.id for p in other.products],
                "licensed": [p.id for p in other.licensed],
                "spot": [p.id for p in other.spot],
            }
            for other in sheet.instead
        ],
        "past": [step.number for step in sheet.past],
        "compared": [_row(row) for row in sheet.rows],
        "forecast": _forecast(sheet.forecast),
        "climate": plan.climate,
        "cautions": [base.phrases[f"caution-{name}"] for name in CAUTIONS],
    }  # fmt: skip


def _target(target: Target, plan: Plan) -> dict[str, Any]:
    return {
        "name": target.name,
        "weed": target.weed.id,
        "comes_up": _days(target.crop) if target.crop else None,
        "alive_now": _range(Expected(*target.survivors)),
        "alive_at_end": _range(plan.alive[target.name]),
        "weight": _rounded(plan.weights[target.name]),
    }


def _step(sheet: StepSheet, base: KnowledgeBase) -> dict[str, Any]:
    step, near = sheet.step, sheet.around
    return {
        "number": step.number,
        "day": str(step.day),
        "window": _days(step.window),
        "product": step.product.id,
        "rate": step.rate.amount.text if step.rate else None,
        "suits": _rounded(step.suits),
        "against": [t.name for t in step.against],
        "says": [against(step, base), window(step, base)],
        "parts": dict(step_parts(sheet, base)),
        "mix": mix_document(sheet.mix, base, System.US),
        "last_mowing": _day(near.last_mowing),
        "next_mowing": _day(near.next_mowing),
        "skip_mowing": [str(day) for day in near.skip_mowing],
        "last_water": _day(near.last_water),
        "next_water": _day(near.next_water),
        "skip_water": [str(day) for day in near.skip_water],
        "water_in_by": _day(near.water_in_by),
        "look": _days(near.look),
        "seed_from": str(near.seed_from),
        "alive_after": {name: _range(left) for name, left in step.alive.items()},
        "late": _rounded(step.late),
        "if_missed": None
        if step.if_missed is None
        else {"day": str(step.if_missed.day), "lost": _rounded(step.if_missed.lost)},
        "stops": [stop.id for stop in sheet.stops],
    }


def _row(row: Row) -> dict[str, Any]:
    return {
        "way": row.name,
        "possible": row.plan is not None,
        "days": [str(s.day) for s in row.plan.steps] if row.plan else [],
        "control": _rounded(row.plan.control) if row.plan else None,
        "alive": {n: _range(e) for n, e in row.plan.alive.items()} if row.plan else {},
        "used": [
            {"product": u.product.id, "amount": _rounded(float(u.amount)), "unit": u.unit,
             "cost": None if u.cost is None else round(u.cost, 2)}
            for u in row.used
        ],
        "cost": None if row.cost is None else round(row.cost, 2),
        "breaks": list(row.breaks),
        "reseed": _days(row.reseed) if row.reseed else None,
    }  # fmt: skip


def _forecast(found: Forecast | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "step": found.step.number,
        "word": found.word,
        "day": _day(found.day),
        "days": [
            {
                "day": str(day.date),
                "verdict": day.verdict,
                "reasons": list(day.reasons),
                "hours": list(day.hours),
                "in_window": day.in_window,
            }
            for day in found.days
        ],
    }


def _range(left: Expected) -> dict[str, float]:
    return {
        "low": _rounded(left.low),
        "expected": _rounded(left.expected),
        "high": _rounded(left.high),
    }


def _days(days: Days) -> dict[str, str]:
    return {"first": str(days.first), "last": str(days.last)}


def _day(date: dt.date | None) -> str | None:
    return None if date is None else str(date)


def _rounded(number: float) -> float:
    return round(number, 6)
