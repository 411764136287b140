"""Facts about when: season and stage of the weed, gaps between sprayings, time watched.

Feeds the timing and prevention rules. Dates of the weeds' calendar are north-temperate and moved
to the region; where the region is not told they are taken as give or take two weeks.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from advisor.account import Application, Call
from advisor.derive.label import Label, label_of
from advisor.derive.weather import germination_by_heat, stage_by_heat
from advisor.fact import KNOWLEDGE, WEATHER, WORKED_OUT, Gathering, Origin, narrowed
from advisor.model import DayOfYear, KnowledgeBase, Product, Region, Stretch, Weed
from advisor.terms import Options, Span, Truth
from advisor.weather.record import Weather
from advisor.when import When, days_between, order

REGION_UNKNOWN_DAYS = 14
GERMINATION_SPREAD_DAYS = 7
STAGE_SPREAD_DAYS = 21
SEEDING_DAYS = 120
LONGEST_LOOKBACK = dt.timedelta(days=730)


def timing_facts(
    call: Call,
    number: int,
    label: Label,
    base: KnowledgeBase,
    into: Gathering,
    weather: Weather | None = None,
) -> None:
    """Season, stage, gap to the spraying before, and the preventer's days, of one application."""
    application = call.applications[number]
    count = Span(number + 1, number + 1)
    into.add("application_number", count, Origin(WORKED_OUT, "order of the sprayings", firm=True))
    weed = base.weeds.get(call.weed or call.weed_treated or "")
    if application.sprayed is None:
        return
    if weed is not None:
        _season(call, application.sprayed, weed, base, application.line, into)
        _stage(call, application.sprayed, weed, base, application.line, into)
        if weather is not None:
            region = base.regions.get(call.region or "")
            stage_by_heat(weed, application.sprayed, weather, region, base, into)
        _germination(call, application.sprayed, weed, base, application.line, into, weather)
    if number > 0:
        _gap_to_last(call, number, label, weed, into)
    if label.product is not None and label.product.residual_days is not None:
        _barrier(call, application, label.product, into)


def weed_days(call: Call, sprayed: When, base: KnowledgeBase) -> Iterator[DayOfYear]:
    """The days of the weeds' own calendar that the spraying may have fallen on."""
    region = base.regions.get(call.region or "")
    margin = dt.timedelta(days=0 if region else REGION_UNKNOWN_DAYS)
    first, last = sprayed.low.date() - margin, last_day(sprayed) + margin
    days = min((last - first).days, 366)
    for n in range(days + 1):
        date = first + dt.timedelta(days=n)
        yield region.weed_day(date) if region else DayOfYear.of(date)


def last_day(when: When) -> dt.date:
    """The last day of an interval; one that ends at midnight ends on the day before."""
    return (when.high - dt.timedelta(microseconds=1 if when.high > when.low else 0)).date()


def _exact(when: When) -> bool:
    """Whether the day is known."""
    return when.high - when.low <= dt.timedelta(days=1)


def _season(
    call: Call, sprayed: When, weed: Weed, base: KnowledgeBase, line: int, into: Gathering
) -> None:
    seasons = {weed.season_on(day).fit for day in weed_days(call, sprayed, base)}
    words = f"{weed.name} sprayed {sprayed.text}"
    into.add(
        "season_fit",
        Options(frozenset(seasons)),
        Origin(KNOWLEDGE, words, (line,), _exact(sprayed)),
    )


def season_shares(
    call: Call, sprayed: When, weed: Weed, base: KnowledgeBase, fits: frozenset[str]
) -> list[float]:
    """The weed's season shares on the days that the spraying may have fallen on, in these fits."""
    seasons = [weed.season_on(day) for day in weed_days(call, sprayed, base)]
    return [s.share for s in seasons if s.fit in fits]


def _stage(
    call: Call, sprayed: When, weed: Weed, base: KnowledgeBase, line: int, into: Gathering
) -> None:
    flowers = weed.calendar.get("flowers")
    if flowers is None:
        return
    days = [day.ordinal for day in weed_days(call, sprayed, base)]
    possible = {"seedling", "vegetative", "dormant"}
    if any(_near(day, flowers, STAGE_SPREAD_DAYS, STAGE_SPREAD_DAYS) for day in days):
        possible |= {"flowering", "after-bloom", "seeding"}
    if any(_near(day, flowers, 0, SEEDING_DAYS) for day in days):
        possible |= {"after-bloom", "seeding"}
    words = f"{weed.name} flowers {_written(flowers)} in a north-temperate year"
    into.add("stage", Options(frozenset(possible)), Origin(KNOWLEDGE, words, (line,)))


def _near(day: int, stretch: Stretch, before: int, after: int) -> bool:
    """Whether a day of the year lies in a stretch widened by days on both sides."""
    into_it = (day - stretch.first.ordinal + before) % 365
    return into_it <= stretch.days - 1 + before + after


def _written(stretch: Stretch) -> str:
    first, last = stretch.first, stretch.last
    return f"{first.month:02}-{first.day:02} to {last.month:02}-{last.day:02}"


def germination_start(weed: Weed, region: Region | None, near: dt.date) -> dt.date | None:
    """The day germination starts in the region, in the year that puts it nearest to a date."""
    if weed.germinates is None:
        return None
    shift = 0
    if region is not None:
        shift = region.shift_days - (182 if region.hemisphere == "south" else 0)
    starts = [
        weed.germinates.first.in_year(year) + dt.timedelta(days=shift)
        for year in range(near.year - 1, near.year + 3)
    ]
    return min(starts, key=lambda start: abs((start - near).days))


def _germination(
    call: Call,
    sprayed: When,
    weed: Weed,
    base: KnowledgeBase,
    line: int,
    into: Gathering,
    weather: Weather | None,
) -> None:
    """By this year's warmth where the weather file settles it, else by the calendar as well."""
    region = base.regions.get(call.region or "")
    start = germination_start(weed, region, sprayed.low.date())
    if start is None:
        return
    if weather and germination_by_heat(weed, sprayed, start, weather, region, base, into):
        return
    margin = GERMINATION_SPREAD_DAYS + (0 if region else REGION_UNKNOWN_DAYS)
    low = (sprayed.low.date() - start).days - margin
    high = (last_day(sprayed) - start).days + margin
    if (
        into.origin("germination_lateness").how == WEATHER
        and narrowed(into.span("germination_lateness"), Span(low, high)) is None
    ):
        return  # an unusual year: what was measured counts
    words = f"sprayed {sprayed.text}; {weed.name} starts to come up about {start}"
    into.add(
        "germination_lateness", Span(low, high), Origin(KNOWLEDGE, words, (line,), _exact(sprayed))
    )


def _gap_to_last(call: Call, number: int, label: Label, weed: Weed | None, into: Gathering) -> None:
    here, before = call.applications[number], call.applications[number - 1]
    if here.sprayed is None or before.sprayed is None:
        return
    days = days_between(before.sprayed, here.sprayed)
    words = f"sprayed {before.sprayed.text}, then {here.sprayed.text}"
    lines = (before.line, here.line)
    if label.interval_days is not None:
        margin = Span(days.low - label.interval_days, days.high - label.interval_days)
        said = f"{words}; the label asks {label.interval_days:g} days"
        into.add("interval_margin", margin, Origin(WORKED_OUT, said, lines))
    if weed is not None:
        latest = weed.retreatments.interval_days[1]
        late = Span(days.low - latest, days.high - latest)
        said = f"{words}; {weed.name} wants it within {latest} days"
        into.add("retreat_lateness", late, Origin(WORKED_OUT, said, lines))


def _barrier(call: Call, application: Application, product: Product, into: Gathering) -> None:
    sprayed = application.sprayed
    if sprayed is None or product.residual_days is None:
        return
    looks = [look for look in call.looks if order(look.on, sprayed) is not Truth.SHOWN]
    if not looks:
        return
    gone = days_between(sprayed, looks[0].on)
    left = Span(product.residual_days.low - gone.high, product.residual_days.high - gone.low)
    lasts = f"{product.residual_days.low:g} to {product.residual_days.high:g} days"
    words = f"put down {sprayed.text}, seen {looks[0].on.text}; it lasts {lasts}"
    lines = (application.line, looks[0].line)
    firm = _exact(sprayed) and _exact(looks[0].on)
    into.add("barrier_days_left", left, Origin(WORKED_OUT, words, lines, firm))


def _judged(call: Call, on: When) -> Application | None:
    """The application that a look judges: the last one not made after it, if its day is known."""
    for application in reversed(call.applications):
        if application.sprayed is None:
            return None
        if order(on, application.sprayed) is not Truth.SHOWN:
            return application
    return None


def watching_facts(call: Call, base: KnowledgeBase, weed: Weed | None, into: Gathering) -> None:
    """How long it was watched after the spraying judged, and how many it still wants."""
    look = call.looks[-1] if call.looks else None
    on = look.on if look else reported(call)
    judged = _judged(call, on)
    if judged is not None and judged.sprayed is not None:
        passed = days_between(judged.sprayed, on)
        days = Span(max(passed.low, 0), max(passed.high, 0))
        firm = _exact(judged.sprayed) and _exact(on)
        words = f"sprayed {judged.sprayed.text}, looked {on.text}"
        lines = (judged.line, *((look.line,) if look else ()))
        into.add("days_watched", days, Origin(WORKED_OUT, words, lines, firm))
    label = label_of(call, judged or (call.applications or (None,))[-1], base)
    if label.product is not None and into.known("days_watched"):
        days, told = into.span("days_watched"), into.origin("days_watched")
        full = label.product.full_days
        margin = Span(days.low - full.high, days.high - full.low)
        said = f"{told.words}; {label.product.name} needs {full.low:g} to {full.high:g} days"
        into.add("judge_margin", margin, Origin(told.how, said, told.lines, told.firm))
    if weed is not None and call.applications:
        low, high = weed.retreatments.applications
        made = len(call.applications)
        words = f"{weed.name} usually takes {low} to {high}; {made} told"
        origin = Origin(KNOWLEDGE, words, firm=True)
        into.add("applications_short", Span(low - made, high - made), origin)


def reported(call: Call) -> When:
    """The day of the call as an interval."""
    start = dt.datetime.combine(call.reported, dt.time())
    return When(start, start + dt.timedelta(days=1), str(call.reported))
