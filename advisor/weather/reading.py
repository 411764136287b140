"""Reads weather files: daily or hourly rows of a CSV file into a `Weather`.

`call` and the weather command start here. A row that cannot be right is skipped with a problem at
its line and the rest is read; a value that is left out stays unknown. Nothing is filled in,
averaged or concluded here.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Final, NoReturn

from advisor.dates import YEARS, midnight
from advisor.names import nearest
from advisor.problem import Problem, ProblemsFound, printable
from advisor.terms import Span
from advisor.weather.days import CALENDAR_DAY, TEMPS_F, WINDS_MPH, Day
from advisor.weather.hours import Hour
from advisor.weather.layout import PLAIN, Layout, layout_of
from advisor.weather.record import Weather

LIMIT_BYTES: Final = 50_000_000
MOST_RAIN_IN: Final = {"day": 75.0, "hour": 16.0}
"""More than has ever been measured in the time."""
TRACE = Span(0.0, 0.005)
"""Rain too little to measure."""
NOTHING: Final = frozenset({"", "na", "n/a", "nan", "null", "none", "m", "-", "-9999", "9999"})
"""How files write that a value is missing."""
_DATE = re.compile(r"([0-9]{4})([-/]?)([0-9]{1,2})\2([0-9]{1,2})(?:[T ]+(.+))?")
_CLOCK = re.compile(r"([0-9]{1,2})(?::([0-9]{2})(?::([0-9]{2})(?:\.0+)?)?)?")
_NUMBER = re.compile(r"[-+]?(?:[0-9]{1,15}\.?[0-9]{0,20}|\.[0-9]{1,20})(?:[eE][-+]?[0-9]{1,2})?")
_READ_OFF = re.compile(r"([01][0-9]|2[0-4])([0-5][0-9])")
_LIMITS: Final = {"temp": TEMPS_F, "wind": WINDS_MPH, "humidity": Span(0.0, 1.005)}


def read_weather(path: Path, *, units: str | None = None, shown_as: str | None = None) -> Weather:
    """Read a weather file.

    Args:
        path: the file.
        units: `tenths`, `metric` or `standard`, for a station file that does not show it.
        shown_as: what its problems call it.

    Raises:
        ProblemsFound: if there is no such file or no row of it can be read.
    """
    shown = path.as_posix() if shown_as is None else shown_as
    try:
        if not path.is_file():
            raise ProblemsFound([_no_file(path, shown)])
        with path.open("rb") as file:
            content = file.read(LIMIT_BYTES + 1)
    except OSError as error:
        why = (error.strerror or "the system gives no reason").lower()
        _refuse(shown, "K003", f"the file cannot be read: {why}")
    return parse_weather(content, shown, units=units)


def parse_weather(content: bytes | str, path: str, *, units: str | None = None) -> Weather:
    """Read weather from memory, as `read_weather` does from a file."""
    if len(content) > LIMIT_BYTES:
        _refuse(path, "K004", "the file is too large", f"at most {LIMIT_BYTES:,} bytes are read")
    try:
        text = content.decode("utf-8-sig") if isinstance(content, bytes) else content
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1 if isinstance(content, bytes) else 0
        raise ProblemsFound(
            [Problem(path, line, 0, "K005", "the file is not UTF-8", "save the file as UTF-8")]
        ) from None
    rows = _rows(text, path)
    header = next(rows, (0, []))[1]
    if not header:
        _refuse(path, "K007", "the file is empty")
    if len(header) == 1 and {";", "\t"} & set(header[0]):
        _refuse(path, "W101", "the cells are not separated by commas", "Save it as a CSV file.")
    found = list(rows)
    layout = layout_of(path, header, (cells for _, cells in found), units)
    return _Rows(path, layout).weather(found)


def _rows(text: str, path: str) -> Iterator[tuple[int, list[str]]]:
    """The rows that hold anything, each with the line it ends on."""
    reader = csv.reader(io.StringIO(text, newline=""))
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield reader.line_num, cells
    except csv.Error as error:
        raise ProblemsFound(
            [Problem(path, reader.line_num, 0, "W101", f"not a CSV file: {error}")]
        ) from None


def _refuse(path: str, code: str, message: str, hint: str = "") -> NoReturn:
    raise ProblemsFound([Problem(path, 0, 0, code, message, hint)])


def _no_file(path: Path, shown: str) -> Problem:
    if path.exists():
        return Problem(shown, 0, 0, "K002", "this is not an ordinary file")
    try:
        close = nearest(path.name, (entry.name for entry in path.parent.iterdir()))
    except OSError:
        close = ""
    hint = f"nearest name in that folder: {close}" if close else ""
    return Problem(shown, 0, 0, "K001", "there is no such file", hint)


class _BadRowError(Exception):
    """A row that cannot be right: code, column from 1 (0: the row), why, and what is right."""


class _Rows:
    """Reads the rows of one file in their order."""

    def __init__(self, path: str, layout: Layout) -> None:
        self.path = path
        self.layout = layout
        self.skipped: list[Problem] = []
        self.days: dict[dt.date, Day] = {}
        self.hours: list[Hour] = []
        self.doubtful = 0
        self.read_off: set[float] = set()
        self._last: dt.datetime | None = None
        self._station: str | None = None
        self._seen: set[dt.datetime] = set()

    def weather(self, rows: Sequence[tuple[int, list[str]]]) -> Weather:
        """All that can be read of the rows."""
        for line, cells in rows:
            try:
                self._row(line, cells)
            except _BadRowError as bad:
                code, column, message, *hint = bad.args
                self.skipped.append(Problem(self.path, line, column, code, message, *hint))
        if not self.days and not self.hours:
            shown = self.skipped[:5] or [
                Problem(self.path, 0, 0, "W105", "the file has no rows below its header")
            ]
            raise ProblemsFound(shown)
        unread = self.layout.unread
        if self.days:  # means of a day say nothing of the hour of spraying
            unread += tuple(name for name in ("temp", "humidity") if name in self.layout.columns)
        return Weather(
            self.path, self.layout.kind, self.days, tuple(self.hours), len(rows),
            tuple(self.skipped), unread, self.doubtful, self._covers(),
        )  # fmt: skip

    def _covers(self) -> tuple[float, float]:
        if not self.read_off:
            return CALENDAR_DAY
        return min(self.read_off) - 24, max(self.read_off)

    def _row(self, line: int, cells: list[str]) -> None:
        needed = [self.layout.date, *(c.index for c in self.layout.columns.values())]
        if max(needed) >= len(cells):
            raise _BadRowError("W201", 0, "the row has fewer cells than the header")
        self._same_station(cells)
        moment, hourly = self._moment(cells)
        if self._last is not None and hourly != bool(self.hours):
            expected = "a time" if self.hours else "no time"
            raise _BadRowError("W202", 0, f"the rows before have {expected} of day")
        self._in_order(moment, hourly)
        if hourly:
            self.hours.append(self._hour(line, moment, cells))
        else:
            self.days[moment.date()] = self._day(line, moment.date(), cells)
        self._last = moment
        self._seen.add(moment)

    def _same_station(self, cells: list[str]) -> None:
        at = self.layout.station
        if at is None or at >= len(cells):
            return
        name = cells[at].strip()
        self._station = self._station or name
        if name != self._station:
            message = f"the row is of station {_short(name)}; the file begins with {self._station}"
            raise _BadRowError("W206", at + 1, message, "Keep one station in a file.")

    # ---- when ----------------------------------------------------------------------------------

    def _moment(self, cells: list[str]) -> tuple[dt.datetime, bool]:
        """The time of a row, and whether it has a time of day."""
        at = self.layout.date
        found = _DATE.fullmatch(cells[at].strip())
        if found is None:
            message = f"`{_short(cells[at])}` is no date"
            raise _BadRowError("W202", at + 1, message, "Write YYYY-MM-DD.")
        try:
            day = dt.date(int(found[1]), int(found[3]), int(found[4]))
        except ValueError:
            message = f"`{_short(cells[at])}` is no day of the calendar"
            raise _BadRowError("W202", at + 1, message) from None
        if day.year not in YEARS:
            raise _BadRowError("W202", at + 1, f"{day} is outside the years 1950 to 2150")
        time = self.layout.time
        if time is None:
            said = found[5]
            return midnight(day) + _clock(said, at) if said else midnight(day), bool(said)
        if time >= len(cells):
            raise _BadRowError("W201", 0, "the row has fewer cells than the header")
        return midnight(day) + _clock(cells[time], time), True

    def _in_order(self, moment: dt.datetime, hourly: bool) -> None:
        shown = f"{moment:%Y-%m-%d %H:%M}" if hourly else f"{moment:%Y-%m-%d}"
        if moment in self._seen:
            raise _BadRowError("W203", 0, f"{shown} comes a second time")
        if self._last is not None and moment < self._last:
            raise _BadRowError("W203", 0, f"{shown} comes after a later row")

    # ---- what was measured ---------------------------------------------------------------------

    def _day(self, line: int, date: dt.date, cells: list[str]) -> Day:
        high, low = self._span("temp_max", cells), self._span("temp_min", cells)
        if high and low and low.low > high.high:
            raise _BadRowError("W205", 0, "the low of the day is above its high")
        rain = self._rain(cells, "day")
        return Day(date, line, high, low, rain, self._span("wind", cells))

    def _hour(self, line: int, moment: dt.datetime, cells: list[str]) -> Hour:
        damp = self._value("humidity", cells)
        return Hour(
            moment, line, self._value("temp", cells), self._rain(cells, "hour"),
            self._value("wind", cells), None if damp is None else min(damp, 1.0),
        )  # fmt: skip

    def _span(self, name: str, cells: list[str]) -> Span | None:
        value = self._value(name, cells)
        return None if value is None else Span(value, value)

    def _rain(self, cells: list[str], period: str) -> Span | None:
        column = self.layout.columns.get("rain")
        if column is None:
            return None
        if cells[column.index].strip().upper() == "T" or self._flag(column.flags, cells, 0) == "T":
            return TRACE
        value = self._value("rain", cells)
        if value is None:
            return None
        if not 0 <= value <= MOST_RAIN_IN[period]:
            message = f"`{_short(cells[column.index])}` of rain is not possible in one {period}"
            raise _BadRowError("W205", column.index + 1, message)
        return Span(value, value)

    def _value(self, name: str, cells: list[str]) -> float | None:
        """A number in the unit of the records; None where the file leaves it out or doubts it."""
        column = self.layout.columns.get(name)
        if column is None:
            return None
        text = cells[column.index].strip()
        if text.lower() in NOTHING:
            return None
        if _NUMBER.fullmatch(text) is None:
            raise _BadRowError("W204", column.index + 1, f"`{_short(text)}` is no number")
        if column.flags is not None:
            self._note_time(self._flag(column.flags, cells, 3))
            if self._flag(column.flags, cells, 1):
                self.doubtful += 1  # it failed the archive's own checks
                return None
        value = column.value(Fraction(text))
        limits = _LIMITS.get(name.partition("_")[0])
        if limits is not None and not limits.low <= value <= limits.high:
            message = f"`{_short(text)}` is not possible for {name.replace('_', ' ')}"
            hint = "" if self.layout.kind == PLAIN else "Check the units of the file."
            raise _BadRowError("W205", column.index + 1, message, hint)
        return value

    def _flag(self, at: int | None, cells: list[str], number: int) -> str:
        """One of the flags beside a value: measurement, quality, source, time it was read off."""
        flags = cells[at].split(",") if at is not None and at < len(cells) else []
        return flags[number].strip() if number < len(flags) else ""

    def _note_time(self, text: str) -> None:
        found = _READ_OFF.fullmatch(text)
        if found:
            hours = int(found[1]) + int(found[2]) / 60
            self.read_off.add(hours or 24.0)


def _clock(text: str, at: int) -> dt.timedelta:
    """A time of day; 24:00 is the next midnight."""
    found = _CLOCK.fullmatch(text.strip())
    if found is None:
        message = f"`{_short(text)}` is no time of day"
        raise _BadRowError("W202", at + 1, message, "Write 13 or 13:00, in local time.")
    hour, minute, second = (int(part or 0) for part in found.groups())
    length = dt.timedelta(hours=hour, minutes=minute, seconds=second)
    if minute > 59 or second > 59 or length > dt.timedelta(hours=24):
        raise _BadRowError("W202", at + 1, f"`{_short(text)}` is no time of day")
    return length


def _short(text: str) -> str:
    shown = printable(text.strip())
    return shown if len(shown) <= 30 else shown[:27] + "..."
