"""Wet bulb, Delta T and the warmth of the soil, worked out from what a station measures.

Used by the facts about a spraying and by the weather page. Both are estimates and come with the
width their source gives; nothing here reads files or knows what a figure means for a weed.
"""

from __future__ import annotations

import math

from advisor.terms import Span

DRIEST, DAMPEST = 0.05, 0.99
"""Relative humidity between which the wet-bulb formula holds."""
WET_BULB_ERROR_C = Span(-1.2, 1.0)
"""How far the formula lies from the exact wet bulb, from 5 to 45 C. Its source says -1.0 to 0.65;
in desert air it is a little more."""
COOLEST_F = 41.0
"""Below it the formula is off by more where the air is dry; a cooler Delta T is a smaller one."""
SOIL_WIDTH_F = 8.0
"""How far the soil at seeding depth can be from the week's mean air: sun, shade, wet, thatch."""
SOIL_FLOOR_F = 40.0
"""Under snow or frozen sod the soil keeps above the air; up to this warm can't be told apart."""


def wet_bulb_c(temp_c: float, humidity: float) -> float:
    """The wet-bulb temperature at sea level, for a relative humidity of 0.05 to 0.99.

    References:
        Wet-bulb temperature from relative humidity and air temperature, Journal of Applied
        Meteorology and Climatology, 2011.
    """
    rh = humidity * 100
    return (
        temp_c * math.atan(0.151977 * math.sqrt(rh + 8.313659))
        + math.atan(temp_c + rh)
        - math.atan(rh - 1.676331)
        + 0.00391838 * rh * math.sqrt(rh) * math.atan(0.023101 * rh)
        - 4.686035
    )


def delta_t_f(temp: Span, humidity: Span) -> Span:
    """How far the wet bulb lies below the air (F), from air (F) and relative humidity (a share).

    It grows with the warmth and shrinks with the damp, so the ends of one come from the ends of the
    others. Air damper than the formula reaches may be saturated, where the difference is nothing.
    """
    lowest = _difference_c(temp.low, humidity.high) + WET_BULB_ERROR_C.low
    highest = _difference_c(max(temp.high, COOLEST_F), humidity.low) + WET_BULB_ERROR_C.high
    doubtful = humidity.high > DAMPEST or temp.low < COOLEST_F
    low = 0.0 if doubtful else max(0.0, lowest)
    return Span(low * 1.8, max(low, highest) * 1.8)


def _difference_c(temp_f: float, humidity: float) -> float:
    temp_c = (temp_f - 32) / 1.8
    return temp_c - wet_bulb_c(temp_c, min(max(humidity, DRIEST), DAMPEST))


def soil_f(week_air: Span) -> Span:
    """The soil's daily mean at one to four inches (F), from the mean air of the week before.

    A running mean of the air follows turf soil in every season without snow; the width is what
    sun, shade, wet and thatch can make of it.
    """
    low, high = week_air.low - SOIL_WIDTH_F, week_air.high + SOIL_WIDTH_F
    return Span(low, max(high, SOIL_FLOOR_F) if low < 32 else high)
