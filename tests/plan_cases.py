"""Plans for the tests: one knowledge base, planners by region, requests with few words.

Shared by the tests of planning and of what is shown of plans. Plans that are not for a call know
eleven products only, so that a product added to the knowledge base changes no test. It judges
nothing.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from typing import Any

from example_calls import PATHS, diagnosis, knowledge

from advisor.planning.from_call import Refused, request_from
from advisor.planning.plan import Plan
from advisor.planning.planner import Planner
from advisor.planning.request import Request
from advisor.planning.sheet import Sheet, gather

ELEVEN = (
    "larkmoor-broadleaf",
    "fellmark-ester",
    "kettlebrook-quinclorac",
    "reedholm-sedge",
    "stonecroft-preventer",
    "harrowgate-early",
    "cinderwick-total",
    "oatmere-grass",
    "palewater-white",
    "quickfell-spot",
    "tallowdene-ester",
)
BASE = replace(knowledge(), products={name: knowledge().products[name] for name in ELEVEN})


@cache
def planner(region: str = "lake-plain") -> Planner:
    """A planner for the usual weather of a region."""
    return Planner(BASE, region)


@cache
def whole_planner(region: str) -> Planner:
    """A planner that knows every product."""
    return Planner(knowledge(), region)


def day(text: str) -> dt.date:
    """A date."""
    return dt.date.fromisoformat(text)


def asked(
    *weeds: str, region: str = "lake-plain", start: str = "2026-09-01", **more: Any
) -> Request:
    """A request; turf is tall fescue where nothing else is said."""
    more = {"turf": "tall-fescue", **more}
    return Request(weeds, region, day(start), **more)


def plan(*weeds: str, **more: Any) -> Plan:
    """The plan for a request."""
    request = asked(*weeds, **more)
    return planner(request.region).plan(request)


def steps(found: Plan) -> list[tuple[str, str]]:
    """The steps of a plan as days and products."""
    return [(str(step.day), step.product.id) for step in found.steps]


@cache
def requested(name: str) -> Request | Refused:
    """The request of an example call; one that tells no region is put into Lake Plain."""
    found = diagnosis(name)
    return request_from(found, knowledge(), "lake-plain" if found.call.region is None else None)


@cache
def sheet(name: str, comparing: bool = False) -> Sheet:
    """Everything there is to say of the plan for an example call."""
    found = diagnosis(name)
    request = requested(name)
    assert isinstance(request, Request)
    of = whole_planner(request.region)
    return gather(of, of.plan(request), knowledge(), found=found, comparing=comparing)


def sheet_of(*weeds: str, **more: Any) -> Sheet:
    """Everything there is to say of the plan for a request."""
    request = asked(*weeds, **more)
    of = planner(request.region)
    return gather(of, of.plan(request), BASE)


REFUSED = [name for name in PATHS if isinstance(requested(name), Refused)]
"""Example calls of which no plan can be made: their weed is in doubt."""
PLANNED = [name for name in PATHS if name not in REFUSED]
