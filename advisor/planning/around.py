"""What belongs around a step: mowing and watering to skip, when to look, the mix, what stops it.

Works out dates from the label for one step of a plan; the words are `render`'s. It moves no step.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from advisor.dose.asking import GRANULE, Ask, Wanting, matter_of
from advisor.dose.exact import OUTPUT, UNITS
from advisor.dose.mixing import Mix, make
from advisor.model import KnowledgeBase, Product, Stop, Weed
from advisor.planning.labels import mowing_in_the_way, must_stick, through_leaf
from advisor.planning.plan import PlanStep
from advisor.planning.request import Days, Request

DRY_DAYS = 1
"""Whole days without water on either side of a leaf spray (the causes wet-before and wet-after)."""
PREVENTER_LOOK_DAYS = (28, 49)
"""Days after the first seedlings come up at which gaps in a barrier show (common practice)."""
WATER_PER_1000 = {"ordinary": Fraction(1), "waxy": Fraction(2), "hairy": Fraction(2)}
"""Gallons of spray per 1,000 ft2 that a mix is worked out for where the label allows it: leaves
that shed drops want more (common practice)."""
YOUNG_GRASS_DAYS = 180
"""Grass sown longer ago is lawn like the rest (common practice)."""
WEATHER_STOPS = ("windy", "rain-coming")
HEAT_STOPS = ("too-hot-to-spray", "too-cold-to-spray")
LAWN_STOPS = ("seedling-turf", "label-interval", "label-yearly-limit")
WATER_STOP = "near-water"


@dataclass(frozen=True)
class Around:
    """Dates around a step, reckoned from its best day.

    Attributes:
        last_mowing: the last day to mow before it; None if the label sets no wait.
        next_mowing: the first day to mow after it.
        skip_mowing: the caller's mowing days that fall in between.
        last_water: the last day to water before a leaf spray; None for granules.
        next_water: the first day to water after what works on the leaf; None for a preventer.
        skip_water: the caller's watering days that fall in between.
        water_in_by: the day by which a preventer is watered in; None for a leaf spray.
        look: when the result can be judged.
        seed_from: the first day on which grass seed may be sown after it.
        sown_before: days on which grass was sown so lately that it is young yet.
    """

    last_mowing: dt.date | None
    next_mowing: dt.date | None
    skip_mowing: tuple[dt.date, ...]
    last_water: dt.date | None
    next_water: dt.date | None
    skip_water: tuple[dt.date, ...]
    water_in_by: dt.date | None
    look: Days
    seed_from: dt.date
    sown_before: tuple[dt.date, ...] = ()


def around(step: PlanStep, request: Request) -> Around:
    """The dates around a step."""
    product, day = step.product, step.day
    before, after = math.ceil(product.mow_before_h / 24), math.ceil(product.mow_after_h / 24)
    on_leaf, sticks = through_leaf(product), must_stick(product)
    dry = [day + dt.timedelta(days=n) for n in range(0 if sticks else -DRY_DAYS, DRY_DAYS + 1)]
    water_in = None
    if product.water_in_days is not None:
        water_in = _days(day, product.water_in_days)
    return Around(
        last_mowing=_days(day, -before) if before else None,
        next_mowing=_days(day, after) if after else None,
        skip_mowing=tuple(mowing_in_the_way(request, product, day)),
        last_water=_days(day, -DRY_DAYS - 1) if on_leaf and not sticks else None,
        next_water=_days(day, DRY_DAYS + 1) if on_leaf else None,
        skip_water=tuple(d for d in dry if on_leaf and d.weekday() in request.water_weekdays),
        water_in_by=water_in,
        look=_look(step),
        seed_from=_days(day, product.seed_after_days),
        sown_before=tuple(
            sown for sown in request.seeding if 0 <= (day - sown).days < YOUNG_GRASS_DAYS
        ),
    )


def _look(step: PlanStep) -> Days:
    """When a step can be judged: a preventer once the crop it is for should be up."""
    crop = step.against[0].crop if step.against else None
    if step.by_soil and crop is not None:
        up = max(crop.first, step.day)
        return Days(_days(up, PREVENTER_LOOK_DAYS[0]), _days(up, PREVENTER_LOOK_DAYS[1]))
    full = step.product.full_days
    return Days(_days(step.day, full.low), _days(step.day, full.high))


def _days(day: dt.date, days: float) -> dt.date:
    return day + dt.timedelta(days=math.ceil(days))


def mix_of(step: PlanStep, request: Request, base: KnowledgeBase) -> Mix:
    """The mix for 1,000 ft2; on spots, for a gallon of spray."""
    product = step.product
    weed = max(
        (t.weed for t in step.against if product.rate_for(t.weed.id) == step.rate),
        key=lambda weed: weed.id == step.against[0].weed.id,
        default=step.against[0].weed,
    )
    spot = product.kind == "non-selective"
    spray = product.formulation != GRANULE
    output = _output(product, weed) if spray and not spot else None
    return make(
        Ask(
            main=Wanting(product, None if spot else _top_rate(step)),
            weed=weed,
            turf=None if spot or request.turf is None else base.turf[request.turf],
            area=None if spot else Fraction(1),
            tank=(Fraction(1) if spot else output) if spray else None,
            output=output,
            spot=spot,
        ),
        base,
    )


def _output(product: Product, weed: Weed) -> Fraction:
    """Gallons per 1,000 ft2: what suits the leaf, or the label's nearest to it."""
    wanted = WATER_PER_1000[weed.leaf_surface]
    if product.water is None:
        return wanted
    low, high = product.water.exact(OUTPUT)
    return min(max(wanted, low), high)


def _top_rate(step: PlanStep) -> Fraction | None:
    if step.rate is None:
        return None
    return step.rate.amount.exact(UNITS[f"{matter_of(step.product)}-per-area"])[1]


def stops_of(step: PlanStep, request: Request, base: KnowledgeBase) -> Sequence[Stop]:
    """The stops that would call a step off on its day."""
    names = list(WEATHER_STOPS if through_leaf(step.product) else WEATHER_STOPS[:1])
    if step.product.temperature is not None:
        names += HEAT_STOPS
    if any(base.sites[f].near_water for f in request.features):
        names.append(WATER_STOP)
    if request.seeding:
        names.append(LAWN_STOPS[0])
    names += LAWN_STOPS[1:]
    return [base.stops[name] for name in names if name in base.stops]
