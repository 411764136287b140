"""K209: for every weed there is a plan in cool-season and in warm-season turf, or a reason why not.

A plan needs a product that lists the weed and that some grass of the season stands, and a day that
suits. Where there is none, the weed's file says under `exempt` what to do instead.

PASS:
    # weeds/quackgrass.yaml
    exempt:
      - {code: K209, about: [cool-season], because: It is too close a kin of the lawn grass.}
      - {code: K209, about: [warm-season], because: It is too close a kin of the lawn grass.}

FAIL:
    exempt:
      - {code: K209, about: [cool-season], because: It is too close a kin of the lawn grass.}
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from advisor.checking.subject import Subject
from advisor.model import KnowledgeBase
from advisor.planning.planner import Planner
from advisor.planning.request import Request
from advisor.problem import Problem

SEASONS = ("cool", "warm")
START = dt.date(2027, 1, 1)
"""The first day of the plans that are tried; they look ahead for more than a year."""


def check(subject: Subject) -> Iterator[Problem]:
    """The weeds and seasons without a plan."""
    base = subject.base
    planners = {name: Planner(base, name) for name in base.regions}
    for weed in base.weeds.values():
        for season in SEASONS:
            turf = f"{season}-season"
            if has_plan(base, planners, weed.id, season) or subject.excused(
                "K209", weed.exempt, {turf}
            ):
                continue
            message = f"no product on the shelf makes a plan for {weed.id} in {turf} turf"
            hint = "list it on a label, or say under `exempt` why nothing can be sprayed there"
            path = weed.place.path
            yield subject.pages.problem("K209", message, path, "id", hint=hint)


def has_plan(base: KnowledgeBase, planners: Mapping[str, Planner], weed: str, season: str) -> bool:
    """Whether a weed can be sprayed at least once, in some grass of the season, in some region."""
    grasses = [g.id for g in base.turf.values() if g.season == season and not g.members]
    return any(
        planner.plan(Request((weed,), region, START, grass, most=1, homeowner=homeowner)).steps
        for homeowner in (True, False)
        for grass in grasses
        for region, planner in planners.items()
    )
