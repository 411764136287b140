"""Degree days against every published worked example at hand, and what holds of all of them.

Sources are named beside the figures. Nothing here counts over a weather file; see test_growth.
"""

from __future__ import annotations

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.degree_days import METHODS, Recipe, average, ends_raised, running, single_sine
from advisor.terms import Span

temperatures = st.floats(-60, 130)


@pytest.mark.parametrize(
    ("high", "low", "base", "expected"),
    [
        (74, 52, 50, 13),  # Use growing degree days to better time your applications (Purdue)
        (58, 40, 50, 0),  # the same: -1, counted as nothing
        (70, 50, 50, 10),  # Agronomy 541 (Iowa State)
        (75, 27, 50, 1),  # Crabgrass note, Kent County 2008: 75/27 F is one degree day
    ],
)
def test_average(high: float, low: float, base: float, expected: float) -> None:
    """The simple average gives the published worked days."""
    assert average(high, low, base) == expected


MCMASTER_TABLE_1 = [
    (20, 10, 15.0, 15.0),
    (10, 1, 5.5, 5.5),
    (8, -2, 3.0, 4.0),
    (6, 0, 3.0, 3.0),
    (10, 5, 7.5, 7.5),
    (5, -5, 0.0, 2.5),
    (-2, -7, 0.0, 0.0),
    (-5, -10, 0.0, 0.0),
    (10, -2, 4.0, 5.0),
    (15, 2, 8.5, 8.5),
]
"""High, low (C), first and second reading of the formula at base 0 C: table 1 of Growing
degree-days: one equation, two interpretations (Agricultural and Forest Meteorology, 1997)."""


@pytest.mark.parametrize(("high", "low", "first", "second"), MCMASTER_TABLE_1)
def test_both_published_readings(high: float, low: float, first: float, second: float) -> None:
    """The two readings of the simple formula give the two columns of the published table."""
    assert average(high, low, 0) == first
    assert ends_raised(high, low, 0) == second


@pytest.mark.parametrize(
    ("high", "low", "expected"),
    [
        (90, 65, 25.5),  # Growing degree days (Waushara County)
        (72, 46, 11.0),  # the same
        (63, 42, 6.5),  # the same
        (87, 63, 24.5),  # Corn growing degree days (Ohio)
        (92, 68, 27.0),  # mean of 77 in Growing degree days (Midwestern Regional Climate Center)
        (90, 48, 18.0),  # the same page's definition
        (40, 30, 0.0),  # Agronomy 541 (Iowa State): no day is below 0 ...
        (110, 90, 36.0),  # ... or above 36
    ],
)
def test_capped(high: float, low: float, expected: float) -> None:
    """Both cut-offs, 86 and 50 F, give the published worked days."""
    assert ends_raised(high, low, 50, 86) == expected


def test_capped_days_add_up() -> None:
    """Three published days sum to the published 43."""
    days = [(90, 65), (72, 46), (63, 42)]
    spans = [(Span(high, high), Span(low, low)) for high, low in days]
    recipe = Recipe("ends-raised", 50, 86)
    assert list(running(spans, recipe)) == [Span(25.5, 25.5), Span(36.5, 36.5), Span(43, 43)]


ZALOM_TABLE_7 = [
    (96, 110, 35.00),
    (91, 105, 35.00),
    (45, 54, 0.0),
    (38, 50, 0.0),
    (60, 80, 15.00),
    (75, 88, 26.50),
    (50, 82, 11.85),
    (45, 70, 5.31),
    (60, 100, 22.82),
    (75, 95, 28.91),
    (50, 101, 18.95),
    (48, 95, 16.96),
]
"""Low, high (F) and the single sine's degree days between 55 and 90 F: table 7 of Degree-days: the
calculation and use of heat units in pest management (University of California, 1983)."""


@pytest.mark.parametrize(("low", "high", "expected"), ZALOM_TABLE_7)
def test_single_sine(low: float, high: float, expected: float) -> None:
    """The single sine with a horizontal cut-off gives the published table to two decimals."""
    assert round(single_sine(high, low, 55, 90), 2) == expected


OJAI_2016 = [
    (7.8, 19.4, 2.72),
    (4.4, 22.2, 3.51),
    (3.3, 18.9, 2.05),
    (1.1, 16.1, 0.94),
    (18.3, 28.9, 11.60),
    (10.6, 34.4, 10.50),
    (13.9, 36.1, 12.50),
    (15.0, 37.2, 13.31),
    (10.6, 38.9, 11.71),
    (14.4, 39.4, 13.49),
]
"""Low, high (C) and degree days between 12 and 33 C: days of the University of California's
calculator for Ojai, 2016."""


@pytest.mark.parametrize(("low", "high", "expected"), OJAI_2016)
def test_the_calculators_days(low: float, high: float, expected: float) -> None:
    """The single sine gives what the university's calculator printed, to two decimals."""
    assert round(single_sine(high, low, 12, 33), 2) == expected


@pytest.mark.parametrize(
    ("low", "high", "by_average", "by_cap", "by_sine"),
    [
        (40, 70, 5.0, 10.0, 7.54),
        (30, 60, 0.0, 5.0, 2.54),
        (45, 65, 5.0, 7.5, 6.09),
        (40, 58, 0.0, 4.0, 2.38),
        (38, 54, 0.0, 2.0, 0.87),
        (52, 74, 13.0, 13.0, 13.0),
        (60, 92, 26.0, 23.0, 26.0),
    ],
)
def test_the_same_day_by_three_methods(
    low: float, high: float, by_average: float, by_cap: float, by_sine: float
) -> None:
    """One day is three different totals, which is why a threshold keeps its method."""
    assert average(high, low, 50) == by_average
    assert ends_raised(high, low, 50, 86) == by_cap
    assert round(single_sine(high, low, 50), 2) == by_sine


def test_a_published_triangle_lies_near_the_sine() -> None:
    """45/70 F above 55 F is 4.50 by the single triangle of the same table, 5.31 by the sine."""
    assert (70 - 55) ** 2 / (2 * (70 - 45)) == 4.5
    assert round(single_sine(70, 45, 55), 2) == 5.31


# ---- what holds of all of them ------------------------------------------------------------------


@given(temperatures, temperatures, temperatures, st.floats(1, 60), st.sampled_from([*METHODS]))
def test_a_day_is_never_negative_and_never_above_the_cap(
    one: float, other: float, base: float, above: float, name: str
) -> None:
    """Between base and cap no day adds less than nothing or more than the band is wide."""
    added = METHODS[name](max(one, other), min(one, other), base, base + above)
    assert -1e-9 <= added <= above + 1e-9


@given(temperatures, temperatures, temperatures, st.sampled_from([*METHODS]))
def test_the_methods_agree_on_a_day_above_the_base(
    one: float, other: float, shift: float, name: str
) -> None:
    """Where the whole day is warm, all methods give its mean above the base."""
    high, low = max(one, other), min(one, other)
    base = low - abs(shift)
    assert METHODS[name](high, low, base, None) == pytest.approx((high + low) / 2 - base, abs=1e-9)


@given(temperatures, temperatures, temperatures, st.sampled_from([*METHODS]))
def test_degrees_do_not_matter(one: float, other: float, base: float, name: str) -> None:
    """A day in C adds five ninths of the same day in F."""

    def celsius(f: float) -> float:
        return (f - 32) / 1.8

    high, low = max(one, other), min(one, other)
    in_f = METHODS[name](high, low, base, None)
    in_c = METHODS[name](celsius(high), celsius(low), celsius(base), None)
    assert in_c * 1.8 == pytest.approx(in_f, abs=1e-6)


@given(
    st.tuples(temperatures, temperatures).map(sorted),
    st.tuples(temperatures, temperatures).map(sorted),
    st.floats(0, 1),
    st.floats(0, 1),
    temperatures,
    st.sampled_from([*METHODS]),
)
def test_an_uncertain_day_holds_every_day_it_may_have_been(
    highs: list[float], lows: list[float], at: float, to: float, base: float, name: str
) -> None:
    """Whatever high and low a day had inside what is known, its degree days lie in the interval."""
    known = Recipe(name, base).of_day(Span(*highs), Span(*lows))
    high = highs[0] + at * (highs[1] - highs[0])
    low = lows[0] + to * (lows[1] - lows[0])
    if low <= high:
        added = METHODS[name](high, low, base, None)
        assert known.low - 1e-6 <= added <= known.high + 1e-6


@given(st.lists(st.tuples(temperatures, temperatures).map(sorted), min_size=1, max_size=20))
def test_totals_never_fall(days: list[list[float]]) -> None:
    """The running total is the sum of the days and never falls."""
    recipe = Recipe("single-sine", 50, 86)
    spans = [(Span(high, high), Span(low, low)) for low, high in days]
    found = [total.low for total in running(spans, recipe)]
    expected = accumulate(single_sine(high, low, 50, 86) for low, high in days)
    assert found == pytest.approx(list(expected))
    assert found == sorted(found)
