"""The coming days against the next step of a plan: go, wait or no, and why.

Judges every day of a forecast as the weather page does, with the label's temperatures in place of
the usual ones, and says which day of the step's window to take. It moves no step.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from advisor.model import KnowledgeBase
from advisor.planning.labels import must_stick, through_leaf
from advisor.planning.plan import Plan, PlanStep
from advisor.spray_days import GRANULES, SPRAYED, SprayDay, spray_days
from advisor.terms import Truth
from advisor.weather.record import Weather

GO, WAIT, NO_GO = "go", "wait", "no-go"
EARLY, LATE = "early", "late"
WIND = "windy"
VERDICTS = {Truth.SHOWN: GO, Truth.OPEN: WAIT, Truth.RULED_OUT: NO_GO}


@dataclass(frozen=True)
class ForecastDay:
    """A coming day: the verdict, the reasons against it, the hours that suit, in the window."""

    date: dt.date
    verdict: str
    reasons: tuple[str, ...]
    hours: tuple[int, ...]
    in_window: bool


@dataclass(frozen=True)
class Forecast:
    """The coming days for one step.

    `word` is go, wait or no-go, or `early` and `late` where no coming day lies in the window;
    `day` is the day it speaks of, None where there is none.
    """

    step: PlanStep
    days: tuple[ForecastDay, ...]
    word: str
    day: dt.date | None
    source: str


def forecast(plan: Plan, weather: Weather, base: KnowledgeBase) -> Forecast | None:
    """The coming days against the first step whose window they have not passed."""
    step = next((s for s in plan.steps if s.window.last >= weather.first), None)
    if step is None:
        return None
    label = base
    if step.product.temperature is not None:
        suits = replace(base.heat.suits, temperature=step.product.temperature)
        label = replace(base, heat=replace(base.heat, suits=suits))
    what = GRANULES if must_stick(step.product) else SPRAYED
    judged = spray_days(weather, weather.first, weather.last, label, what)
    days = tuple(_day(d, step) for d in judged)
    word, day = _word(days, step, weather.last)
    return Forecast(step, days, word, day, weather.name)


def _day(found: SprayDay, step: PlanStep) -> ForecastDay:
    inside = step.window.holds(found.date)
    verdict, reasons = VERDICTS[found.suits], found.reasons
    if not through_leaf(step.product):  # rain and cold are nothing to a preventer
        reasons = tuple(reason for reason in reasons if reason == WIND)
        verdict = WAIT if reasons else GO
    return ForecastDay(found.date, verdict, reasons, found.hours, inside)


def _word(
    days: tuple[ForecastDay, ...], step: PlanStep, last: dt.date
) -> tuple[str, dt.date | None]:
    inside = [day for day in days if day.in_window]
    if not inside:
        return (EARLY, step.window.first) if last < step.window.first else (LATE, None)
    for verdict in (GO, WAIT):
        first = next((day.date for day in inside if day.verdict == verdict), None)
        if first is not None:
            return verdict, first
    return NO_GO, None
