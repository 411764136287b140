"""Which days and hours of a weather file suited a leaf spray, and what stood against the others.

Asks the stops of the knowledge base about the wind, the rain and the heat of each day, as they are
asked about the day of a call; the weather page shows the verdicts. A day of an hourly file is as
good as its best hour. It knows no product: a label overrides all of it.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from advisor.dates import midnight
from advisor.heat import Suits
from advisor.model import Cause, KnowledgeBase, Rule, Stop
from advisor.terms import Options, Span, Truth, Value
from advisor.weather.days import WINDS_MPH
from advisor.weather.physics import delta_t_f
from advisor.weather.rain import LEAST_IN
from advisor.weather.record import DAMP, Weather
from advisor.weather.spraying import dry_side, wind_at_lawn
from advisor.when import When

HOURS: Final = range(6, 20)
"""The hours of a day in which people spray."""
WET: Final = "wet-before"
"""The cause that tells how long before a spraying it must have been dry."""
DRY_AIR, DAMP_AIR, ENDS = "dry-air", "damp-air", "ends"
"""Reasons that are no stops or causes: the air too dry or too damp, the end of the file."""
MOST_REASONS: Final = 3
SPRAYED: Final = Options.of("amine", "ester", "salt", "suspension", "dry-flowable")
"""The formulations that go through a sprayer."""
GRANULES: Final = Options.of("granule")
RAIN: Final = "rain-coming"
_DAY = dt.timedelta(days=1)
_RANK = {Truth.SHOWN: 2, Truth.OPEN: 1, Truth.RULED_OUT: 0}


@dataclass(frozen=True, slots=True)
class SprayDay:
    """A day: whether it suited (shown, perhaps, not), why not, and at which hours it did."""

    date: dt.date
    suits: Truth
    reasons: tuple[str, ...] = ()
    hours: tuple[int, ...] = ()


def spray_days(
    weather: Weather,
    first: dt.date,
    last: dt.date,
    base: KnowledgeBase,
    formulations: Options = SPRAYED,
) -> tuple[SprayDay, ...]:
    """The verdict on every day from the first to the last.

    With GRANULES for granules that must stick to wet leaves: water before does them no harm.
    """
    rules = tuple(_rules(base))
    days = (first + n * _DAY for n in range((last - first).days + 1))
    return tuple(_judged(weather, day, rules, base.heat.suits, formulations) for day in days)


def _judged(
    weather: Weather,
    date: dt.date,
    rules: tuple[tuple[str, Rule], ...],
    suits: Suits,
    formulations: Options,
) -> SprayDay:
    times = list(_times(weather, date))
    found = [_against(weather, when, rules, suits, formulations) for when in times]
    verdicts = [_verdict(against) for against in found]
    best = max(verdicts, key=_RANK.__getitem__)
    if best is Truth.SHOWN:
        good = [t.low.hour for t, v in zip(times, verdicts, strict=True) if v is best]
        return SprayDay(date, best, hours=tuple(good) if weather.hourly else ())
    counted = Counter(
        reason
        for against, verdict in zip(found, verdicts, strict=True)
        if verdict is best
        for reason, truth in against.items()
        if truth is Truth.SHOWN or best is Truth.OPEN
    )
    reasons = [reason for reason, _ in counted.most_common(MOST_REASONS)]
    if best is Truth.OPEN and date + 2 * _DAY > weather.last:
        reasons = [ENDS]
    return SprayDay(date, best, tuple(reasons))


def _verdict(against: Mapping[str, Truth]) -> Truth:
    if Truth.SHOWN in against.values():
        return Truth.RULED_OUT
    return Truth.OPEN if against else Truth.SHOWN


def _times(weather: Weather, date: dt.date) -> Iterator[When]:
    """The hours to judge; of a daily file the one stretch in which people spray."""
    start = midnight(date)
    if not weather.hourly:
        opens, closes = (start + dt.timedelta(hours=h) for h in (HOURS[0], HOURS[-1] + 1))
        yield When(opens, closes)
        return
    for hour in HOURS:
        moment = start + dt.timedelta(hours=hour)
        yield When(moment, moment)


def _against(
    weather: Weather,
    when: When,
    rules: tuple[tuple[str, Rule], ...],
    suits: Suits,
    formulations: Options,
) -> dict[str, Truth]:
    """What stands against spraying at a time, certainly or possibly."""
    values = _values(weather, when, suits) | {"formulation": formulations}
    found: dict[str, Truth] = {}
    for stop, rule in rules:
        truth = _truth(rule, values)
        if truth is not Truth.RULED_OUT and found.get(stop) is not Truth.SHOWN:
            found[stop] = truth
    day = weather.by_day.get(when.first_day)
    if not weather.hourly and day and day.rain and day.rain.low >= LEAST_IN:
        # at whichever hour it fell; granules on wet leaves mind only what comes after them
        found[RAIN if formulations == GRANULES else WET] = Truth.SHOWN
    return found if formulations == GRANULES else found | _by_air(weather, when, suits)


def _by_air(weather: Weather, when: When, suits: Suits) -> dict[str, Truth]:
    """What the dryness of the air does to drops, where the file has the humidity."""
    damp = weather.humidity(when.low, when.high)
    if damp == DAMP:
        return {}
    delta_t = delta_t_f(weather.air(when.low, when.high), damp)
    if delta_t.low > suits.delta_t_never:
        return {DRY_AIR: Truth.SHOWN}
    if delta_t.low > suits.delta_t.high:
        return {DRY_AIR: Truth.OPEN}
    return {DAMP_AIR: Truth.OPEN} if delta_t.high < suits.delta_t.low else {}


def _values(weather: Weather, when: When, suits: Suits) -> dict[str, Value]:
    """What the stops ask about the time, for a leaf spray on open lawn."""
    start = midnight(when.first_day)
    high = weather.highest(start, start + 2 * _DAY)
    limits = suits.temperature
    return {
        "acts_through": Options.of("leaf"),
        "wind_now": wind_at_lawn(_wind(weather, when)),
        "dry_hours_before": dry_side(weather, when, "before")[0],
        "dry_hours_ahead": dry_side(weather, when, "after")[0],
        "heat_ahead": Span(limits.high - high.high, limits.high - high.low),
        "cold_ahead": Span(high.low - limits.low, high.high - limits.low),
    }


def _wind(weather: Weather, when: When) -> Span:
    """The wind of the hour; of a daily record the day's mean, for a calm hour can be chosen."""
    if weather.hourly:
        return weather.wind(when.low, when.high)
    day = weather.by_day.get(when.first_day)
    return day.wind if day is not None and day.wind is not None else WINDS_MPH


def _rules(base: KnowledgeBase) -> Iterator[tuple[str, Rule]]:
    """The rules of the stops and on rain before that the weather alone decides."""
    known = {"wind_now", "dry_hours_before", "dry_hours_ahead", "heat_ahead", "cold_ahead"}
    owners: list[Stop | Cause] = [*base.stops.values()]
    if WET in base.causes:
        owners.append(base.causes[WET])
    for owner in owners:
        for rule in owner.rules:
            if rule.facts & known and rule.facts <= known | {"acts_through", "formulation"}:
                yield owner.id, rule


def _truth(rule: Rule, values: Mapping[str, Value]) -> Truth:
    """What a rule is on the values: its best clause, which is as good as its worst condition."""
    return max(
        (
            min((c.truth(values[c.fact]) for c in clause.conditions), key=_RANK.__getitem__)
            for clause in rule.clauses
        ),
        key=_RANK.__getitem__,
    )
