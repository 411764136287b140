"""A weather file as a page: its rows, a picture, days to spray, heat, how far the weeds are.

What `cameback weather` prints. Every sentence is the knowledge base's; nothing is worked out here.
"""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from advisor.growth import Dated, came
from advisor.heat import SOIL
from advisor.model import KnowledgeBase
from advisor.render.layout import BOLD, Page
from advisor.render.say import phrase, title
from advisor.render.weather_picture import SPRAY_MARKS, picture
from advisor.spray_days import DAMP_AIR, DRY_AIR, ENDS, SprayDay
from advisor.terms import Span, Truth
from advisor.units import show
from advisor.weather_report import Report, Stage

VERDICTS: Final = {Truth.SHOWN: "good", Truth.OPEN: "perhaps", Truth.RULED_OUT: "no"}
SOIL_WORDS: Final = {Truth.SHOWN: "warm", Truth.OPEN: "maybe", Truth.RULED_OUT: "not"}


def weather_page(found: Report, base: KnowledgeBase, page: Page) -> str:
    """The whole report as text."""
    _file(found, base, page)
    _picture(found, base, page)
    _spraying(found, base, page)
    _heat(found, base, page)
    _weeds(found, base, page)
    return str(page)


def _file(found: Report, base: KnowledgeBase, page: Page) -> None:
    weather = found.weather
    page.head(phrase(base, "weather-head-file"))
    page.text(
        phrase(
            base,
            "weather-rows",
            file=weather.name,
            rows=str(weather.rows),
            kind="hourly" if weather.hourly else "daily",
            first=str(weather.first),
            last=str(weather.last),
            read=str(weather.rows - len(weather.skipped)),
            skipped=str(len(weather.skipped)),
            missing=str(weather.missing),
        )
    )
    page.text(phrase(base, f"weather-{weather.layout}"))
    if weather.covers[1] != 24:
        hour = f"{int(weather.covers[1]):02}:{round(weather.covers[1] % 1 * 60):02}"
        page.text(phrase(base, "weather-covers", hour=hour))
    if weather.doubtful:
        page.text(phrase(base, "weather-doubtful", count=str(weather.doubtful)))
    if weather.unread:
        page.text(phrase(base, "weather-unread", columns=", ".join(weather.unread)))


def _picture(found: Report, base: KnowledgeBase, page: Page) -> None:
    drawn = picture(found.days, found.spraying, page.width)
    page.head(phrase(base, "weather-head-picture"))
    page.lines.extend(drawn.lines)
    days = "a day" if drawn.days_a_column == 1 else f"{drawn.days_a_column} days, the best of them"
    page.text(phrase(base, "weather-step", days=days))
    page.text(phrase(base, "weather-marks"))


def _spraying(found: Report, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "weather-head-spray"))
    suits = show(base.heat.suits.temperature, "F")
    page.text(phrase(base, "weather-suits", temperature=suits))
    for days in _runs(found.spraying):
        verdict = phrase(base, f"weather-{VERDICTS[days[0].suits]}")
        said = f"{_dates(days)}: {verdict}"
        if days[0].hours:
            said += " " + phrase(base, "weather-hours", hours=_hours(days[0].hours))
        if days[0].reasons:
            said += " - " + ", ".join(reason(name, base) for name in days[0].reasons)
        style = BOLD if days[0].suits is Truth.SHOWN else ""
        page.item(SPRAY_MARKS[days[0].suits], said, style=style)
    counts = {
        name: str(sum(day.suits is truth for day in found.spraying))
        for truth, name in VERDICTS.items()
    }
    page.text(phrase(base, "weather-counts", **counts))


def _runs(days: Iterable[SprayDay]) -> Iterator[list[SprayDay]]:
    """Days in a row of which the same is to be said."""
    for _, run in itertools.groupby(days, key=lambda d: (d.suits, d.reasons, d.hours)):
        yield list(run)


def _dates(days: Sequence[SprayDay]) -> str:
    first, last = days[0].date, days[-1].date
    if first == last:
        return str(first)
    return f"{first} to {last:%m-%d}" if first.year == last.year else f"{first} to {last}"


def _hours(hours: Sequence[int]) -> str:
    """Hours of the day in runs: 6:00 to 10:00, 14:00."""
    runs: list[list[int]] = []
    for hour in hours:
        if runs and runs[-1][-1] == hour - 1:
            runs[-1].append(hour)
        else:
            runs.append([hour])
    return ", ".join(
        f"{run[0]}:00" if len(run) == 1 else f"{run[0]}:00 to {run[-1]}:00" for run in runs
    )


def reason(name: str, base: KnowledgeBase) -> str:
    """What stands against a day, in words."""
    if name in (DRY_AIR, DAMP_AIR, ENDS):
        return phrase(base, f"weather-{name}")
    return base.stops[name].title if name in base.stops else base.causes[name].title


def _heat(found: Report, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "weather-head-heat", start=str(found.counted[0].start)))
    for counted in found.counted:
        recipe = counted.recipe
        page.text(
            phrase(
                base,
                f"weather-{recipe.method}",
                above=f"{recipe.base:g}",
                below=f"{recipe.cap:g}" if recipe.cap is not None else "",
                total=_total(counted.total),
            )
        )
    page.text(phrase(base, "weather-soil", soil=show(found.soil, "F")))


def _total(total: Span) -> str:
    low, high = round(total.low), round(total.high)
    return str(low) if low == high else f"{low} to {high}"


def _weeds(found: Report, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "weather-head-weeds", day=str(found.last)))
    for stage in found.stages:
        page.text(title(stage.weed.name), style=BOLD)
        lines = [*_events(stage, found.last, base), *_soil(stage, base)]
        for line in lines or [phrase(base, "weather-no-figures", weed=stage.weed.name)]:
            page.item("-", line, 4)


def _events(stage: Stage, day: dt.date, base: KnowledgeBase) -> Iterator[str]:
    """One line an event, by all the totals published for it."""
    for event in dict.fromkeys(dated.threshold.event for dated in stage.events):
        found = [dated for dated in stage.events if dated.threshold.event == event]
        when = came(found, event)
        by = [d for d in found if d.threshold.measured != SOIL] or found
        first = when.first if when else by[0].first
        last = when.last if when else by[0].last
        says = _sentence(by[0].threshold.says)
        if last is not None and day >= last:
            said = phrase(base, "weather-came", says=says, first=str(first), last=str(last))
        elif first is None or day < first:
            said = phrase(base, "weather-not-yet", says=says)
        else:
            said = phrase(base, "weather-may-have-come", says=says, first=str(first))
        yield f"{said} ({phrase(base, 'weather-by', totals=_totals(by))})"


def _totals(by: Iterable[Dated]) -> str:
    parts = []
    for dated in by:
        threshold = dated.threshold
        where = "" if threshold.measured != SOIL else " in the soil"
        parts.append(f"{threshold.written}{where}, {threshold.source or threshold.basis}")
    return "; ".join(parts)


def _soil(stage: Stage, base: KnowledgeBase) -> Iterator[str]:
    for mean, truth in stage.soil:
        says, degrees = _sentence(mean.says), show(mean.mean, "F")
        yield phrase(base, f"weather-soil-{SOIL_WORDS[truth]}", says=says, mean=degrees)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
