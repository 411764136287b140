"""The inverse of a mix: what somebody put in the can and how far it went, as a rate.

`derive.dose` sets the rate against the label. Everything is an interval and stays one; where nobody
knows how far the spray went, the readings that remain possible are kept side by side.
"""

from __future__ import annotations

from collections.abc import Iterable

from advisor.dose import sprayer
from advisor.dose.exact import Pair
from advisor.units import Amount


def over(amount: Pair, reach: Pair) -> Pair | None:
    """An amount on an area or in some water; None where the area or the water may be nothing."""
    return None if reach[0] <= 0 else (amount[0] / reach[1], amount[1] / reach[0])


def times(one: Pair, other: Pair) -> Pair:
    """The product of two intervals above zero: what a strength comes to at an output."""
    return one[0] * other[0], one[1] * other[1]


def hull(readings: Iterable[Pair]) -> Pair:
    """The least interval that holds every reading."""
    found = list(readings)
    return min(low for low, _ in found), max(high for _, high in found)


def fluid(amount: Amount) -> Amount:
    """Ounces of a liquid, which people measure in a cup, as the fluid ounces they are."""
    if amount.unit.partition("/")[0] != "oz":
        return amount
    _, slash, below = amount.unit.partition("/")
    dimension = amount.dimension.replace("mass", "volume", 1)
    return Amount(amount.low, amount.high, dimension, f"fl oz{slash}{below}", amount.text)


def put_out(flow: Pair, rated_at: Pair, pressure: Pair | None, pace: Pair, swath: Pair) -> Pair:
    """Spray per 1,000 ft2 of a nozzle or a wand, in gal.

    Args:
        flow: gal a minute at the pressure it is rated at.
        rated_at: that pressure, in psi.
        pressure: the pressure it ran at; None takes the flow as it is.
        pace: walking speed in mph.
        swath: width covered, in feet.
    """
    if pressure is not None:
        flow = (
            sprayer.flow(flow[0], rated_at[1], pressure[0]),
            sprayer.flow(flow[1], rated_at[0], pressure[1]),
        )
    return (
        sprayer.output(flow[0], pace[1], swath[1]),
        sprayer.output(flow[1], pace[0], swath[0]),
    )
