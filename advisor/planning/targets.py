"""What a plan aims at: a perennial that lives all along, or one year's crop of an annual.

An annual's plants of this year and of the next are two crops: killing the one does nothing to the
other. For each crop it is worked out when its seed comes up and when its plants die by themselves.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from advisor.model import Season, Weed
from advisor.planning.request import Alive, Days, Request
from advisor.planning.seasons import ANNUALS, Seasons

LEAST_DAYS_LEFT = 21
"""An annual that dies by itself sooner than this is not worth a spray (common practice)."""
LEAST_DAYS_SEEN = 45
"""A crop counts if so many days of its germination lie in the horizon, or all of them."""
WHOLE: Alive = (1.0, 1.0, 1.0)


@dataclass(frozen=True)
class Target:
    """A weed, or one crop of an annual weed.

    Attributes:
        weed: the weed.
        name: how it is called in a plan.
        leaf: the days on which a leaf spray meets its leaves.
        crop: when its seed comes up; None where that is not what is planned against.
        survivors: share alive at the start (low, expected, high).
        resisted: actives that its plants were found to stand.
        seasons: the weed's year at the place.
    """

    weed: Weed
    name: str
    leaf: frozenset[dt.date]
    crop: Days | None
    survivors: Alive
    resisted: frozenset[str]
    seasons: Seasons

    def season(self, date: dt.date) -> Season:
        """The season of the weed on a date."""
        return self.seasons.of(self.weed, date)

    def stages(self, date: dt.date) -> frozenset[str]:
        """The stages its plants can be in on a date."""
        return self.seasons.stages(self.weed, self.crop, date)


def targets(request: Request, weed: Weed, seasons: Seasons) -> list[Target]:
    """The targets of one weed within the horizon."""
    told = request.alive.get(weed.id, WHOLE)
    stands = request.resisted.get(weed.id, frozenset())
    if weed.life_cycle not in ANNUALS or weed.germinates is None:
        leaf = frozenset(d for d in _seen(request) if seasons.leafy(weed, d))
        return [Target(weed, weed.name, leaf, None, told, stands, seasons)]
    horizon = request.horizon
    result = []
    for crop in seasons.crops(weed, horizon):
        dies = seasons.death(weed, crop)
        seen = (horizon.last - crop.first).days + 1
        if dies < horizon.first + dt.timedelta(days=LEAST_DAYS_LEFT):
            continue
        if seen < LEAST_DAYS_SEEN and crop.last > horizon.last:
            continue
        up = crop.first <= horizon.first
        leaf = frozenset(d for d in _seen(request) if crop.first <= d <= dies)
        name = f"{weed.name} of {crop.first.year}"
        alive = told if up else WHOLE
        result.append(Target(weed, name, leaf, crop, alive, stands, seasons))
    return result


def _seen(request: Request) -> list[dt.date]:
    """The horizon, and the days before it on which something was done."""
    return [*(done.date for done in request.done), *request.dates]
