"""What follows from a fact by the label alone: margins over what the label asks, rates of one kind.

Where the caller is asked for hours, degrees, days, volume or dose, these facts follow at once;
`questions` uses that to see what an answer would change. It knows labels and intervals, and no
call.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from advisor.derive.label import Label
from advisor.terms import Span


@dataclass(frozen=True, slots=True)
class Follows:
    """A fact that follows from another: which, how, and where a bound of it lies in that other."""

    fact: str
    of: Callable[[Span], Span]
    back: Callable[[float], tuple[float, ...]]


def following(name: str, label: Label) -> Iterator[Follows]:
    """The facts that follow from a fact under a label."""
    if name == "dry_hours_after" and label.rainfast_h is not None:
        yield _above("rainfast_margin", label.rainfast_h)
    if name == "air_temp" and label.temperature is not None:
        yield _above("label_cold_margin", label.temperature.low)
        yield _below("label_heat_margin", label.temperature.high)
    product = label.product
    if name == "days_watched" and product is not None:
        yield _judged(product.full_days)
    if name == "spray_volume" and product is not None and product.water is not None:
        least = product.water.to("gal/1000 ft2").low
        if least > 0:
            yield _times("volume_of_min", 1 / least)
    if name == "rate_of_min" and label.rate is not None and label.rate.low > 0:
        yield _times("rate_of_max", float(label.rate.low / label.rate.high))


def _above(fact: str, asked: float) -> Follows:
    return Follows(
        fact, lambda s: Span(s.low - asked, s.high - asked), lambda bound: (bound + asked,)
    )


def _below(fact: str, limit: float) -> Follows:
    """The margin below a limit; it runs the other way, so its bounds belong to the other side."""
    return Follows(
        fact,
        lambda s: Span(limit - s.high, limit - s.low),
        lambda bound: (math.nextafter(limit - bound, math.inf),),
    )


def _judged(full: Span) -> Follows:
    return Follows(
        "judge_margin",
        lambda s: Span(s.low - full.high, s.high - full.low),
        lambda bound: (bound + full.low, bound + full.high),
    )


def _times(fact: str, factor: float) -> Follows:
    return Follows(
        fact, lambda s: Span(s.low * factor, s.high * factor), lambda bound: (bound / factor,)
    )
