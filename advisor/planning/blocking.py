"""Why a product has no day in a plan: which limit left none, looked at one after the other.

`planner` asks it for every product that fits; the answer names the first limit after which no day
was left. It chooses nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator

from advisor.model import Product
from advisor.planning.labels import day_open, per_year
from advisor.planning.plan import Blocked
from advisor.planning.setup import Setup

Test = Callable[[dt.date], bool]


def blocked(setup: Setup) -> Iterator[Blocked]:
    """The products without a day, each with the limit that left none."""
    for product in setup.products:
        tests = list(_tests(setup, product))
        own = [test for limit, test in tests if limit in {"yearly", "interval", "covered"}]
        days = zip(setup.dates, setup.gains(product), strict=True)
        if any(gain is not None and all(test(date) for test in own) for date, gain in days):
            continue
        left = list(setup.dates)
        counts = [("all", len(left))]
        for limit, test in tests:
            left = [date for date in left if test(date)]
            counts.append((limit, len(left)))
            if not left:
                yield Blocked(product, limit, tuple(counts))
                break


def _tests(setup: Setup, product: Product) -> Iterator[tuple[str, Test]]:
    """What a day must pass, in the order in which a person would look."""

    def season(date: dt.date) -> bool:
        return bool(setup.hits(product, date))

    def temperature(date: dt.date) -> bool:
        return setup.killing.legal(product, date)

    most, used = per_year(product, setup.request.weeds), setup.behind.used(product)

    def yearly(date: dt.date) -> bool:
        return used.get(date.year, 0) < most

    first = setup.behind.first_free(product)

    def interval(date: dt.date) -> bool:
        return (date - setup.request.start).days >= first

    def covered(date: dt.date) -> bool:
        return not setup.has_preventer(product, date)

    yield "season", season
    yield "temperature", temperature
    yield "covered", covered
    yield "yearly", yearly
    yield "interval", interval
    for why in ("at-work", "seeding", "days", "mowing"):
        yield why, _open_but_for(setup, product, why)


def _open_but_for(setup: Setup, product: Product, why: str) -> Test:
    def test(date: dt.date) -> bool:
        return day_open(setup.request, product, date) != why

    return test
