"""Everything there is to say of one plan, gathered once for the page, the document and the files.

`cli` asks for it and hands it to a renderer. It works nothing out itself and holds no words.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.diagnosis import Diagnosis, StopFinding
from advisor.dose.mixing import Mix
from advisor.model import KnowledgeBase, Stop, Weed
from advisor.planning.around import Around, around, mix_of, stops_of
from advisor.planning.beyond import Care, SiteWord, Slot, care, site_words, slots
from advisor.planning.compare import Row, compare
from advisor.planning.forecast import Forecast, forecast
from advisor.planning.from_call import alive_seen
from advisor.planning.instead import Instead, instead
from advisor.planning.plan import Plan, PlanStep
from advisor.planning.planner import Planner
from advisor.planning.seasons import Seasons
from advisor.planning.seedbank import SeedYear, seed_years
from advisor.terms import Truth
from advisor.weather.record import Weather


@dataclass(frozen=True)
class StepSheet:
    """One step with what belongs around it."""

    step: PlanStep
    around: Around
    mix: Mix
    stops: tuple[Stop, ...]


@dataclass(frozen=True)
class Sheet:
    """A plan and everything beside it.

    Attributes:
        stops: what the call shows must not be done now.
        told_alive: whether somebody saw how much is alive.
        rows: other ways side by side; empty where that was not asked for.
        instead: what else can be done of the weeds that the plan does little to.
        past: the steps whose windows had passed by today.
    """

    plan: Plan
    seasons: Seasons
    steps: tuple[StepSheet, ...]
    stops: tuple[StopFinding, ...]
    told_alive: bool
    site: tuple[SiteWord, ...]
    care: tuple[Care, ...]
    slots: tuple[Slot, ...]
    seeds: tuple[tuple[Weed, tuple[SeedYear, ...]], ...]
    rows: tuple[Row, ...]
    forecast: Forecast | None
    instead: tuple[Instead, ...] = ()
    past: tuple[PlanStep, ...] = ()
    today: dt.date | None = None

    @property
    def title(self) -> str:
        """The call's reference, else empty."""
        return self.plan.request.reference


def gather(
    planner: Planner,
    plan: Plan,
    base: KnowledgeBase,
    *,
    found: Diagnosis | None = None,
    coming: Weather | None = None,
    comparing: bool = False,
    intended: Sequence[tuple[dt.date, str]] = (),
    today: dt.date | None = None,
) -> Sheet:
    """Gather what there is to say of a plan.

    Args:
        planner: the planner that made it.
        plan: the plan.
        base: the knowledge base.
        found: the diagnosis it was made from.
        coming: the weather forecast.
        comparing: whether other ways are wanted beside it.
        intended: what the customer means to do.
        today: the day on which the plan is read, if that matters.
    """
    request = plan.request
    weeds = [base.weeds[name] for name in request.weeds]
    return Sheet(
        plan=plan,
        seasons=planner.seasons,
        steps=tuple(
            StepSheet(
                step,
                around(step, request),
                mix_of(step, request, base),
                tuple(stops_of(step, request, base)),
            )
            for step in plan.steps
        ),
        stops=tuple(s for s in found.stops if s.truth is Truth.SHOWN) if found else (),
        told_alive=found is not None and alive_seen(found) is not None,
        site=tuple(site_words(plan, base)),
        care=tuple(care(plan, base, found)),
        slots=tuple(slots(plan, base, planner.seasons)),
        seeds=tuple((w, tuple(seed_years(w))) for w in weeds if w.germinates is not None),
        rows=tuple(compare(planner, plan, intended)) if comparing else (),
        forecast=forecast(plan, coming, base) if coming else None,
        instead=tuple(instead(plan, base)),
        past=tuple(s for s in plan.steps if today is not None and s.window.last < today),
        today=today,
    )
