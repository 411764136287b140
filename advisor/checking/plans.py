"""K209: for every weed there is a plan in cool-season and in warm-season turf, or a reason why not;
and every product and every grass has its place in some plan.

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
    for product in base.products.values():
        if not has_use(base, planners, product.id):
            message = f"no plan can use {product.id} on any weed, grass and region"
            hint = "see which weeds and grasses it lists, and when"
            yield subject.pages.problem("K209", message, product.place.path, "id", hint=hint)
    for grass in base.turf.values():
        if not any(has_plan_on(base, planners, weed, grass.id) for weed in base.weeds):
            message = f"no weed can be planned for in {grass.id}"
            path = str(subject.folder / "turf.yaml")
            yield subject.pages.problem("K209", message, path, "turf", grass.id, at_key=True)


def has_plan(base: KnowledgeBase, planners: Mapping[str, Planner], weed: str, season: str) -> bool:
    """Whether a weed can be sprayed at least once, in some grass of the season, in some region."""
    grasses = [g.id for g in base.turf.values() if g.season == season and not g.members]
    return any(has_plan_on(base, planners, weed, grass) for grass in grasses)


def has_plan_on(
    base: KnowledgeBase, planners: Mapping[str, Planner], weed: str, grass: str
) -> bool:
    """Whether a weed can be sprayed at least once in a grass, in some region, by whomever."""
    return any(
        planners[region]
        .plan(Request((weed,), region, START, grass, most=1, homeowner=homeowner))
        .steps
        for homeowner in (True, False)
        for region in base.regions
    )


def has_use(base: KnowledgeBase, planners: Mapping[str, Planner], name: str) -> bool:
    """Whether some plan uses a product; what kills the grass may be used on spots."""
    product = base.products[name]
    grasses = product.turf_tolerant or tuple(base.turf)
    return any(
        planner.plan(
            Request(
                (weed,),
                region,
                START,
                grass,
                most=1,
                products=(name,),
                homeowner=False,
                spot_kill=True,
            )
        ).steps
        for weed in (*product.controls, *product.suppresses)
        for grass in grasses
        for region, planner in planners.items()
    )
