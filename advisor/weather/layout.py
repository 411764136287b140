"""What the columns of a weather file hold, and in which units.

`reading` asks it about the header line. Two layouts are known: a plain one with units in the header
(`temp_max [F]`), and that of daily station files (DATE, PRCP, TMAX, TMIN, AWND), which writes no
units; which of its three sets of units a file uses is told by how its numbers are written, and
where that leaves a doubt the file is refused. It reads no rows into records.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from advisor.names import did_you_mean
from advisor.problem import Problem, ProblemsFound, printable
from advisor.units import Amount, UnitError

PLAIN, TENTHS, METRIC, STANDARD = "plain", "station-tenths", "station-metric", "station-standard"
UNITS: Final[dict[str, dict[str, tuple[str, Fraction]]]] = {
    TENTHS: {"temp": ("C", Fraction(1, 10)), "rain": ("mm", Fraction(1, 10)),
             "wind": ("m/s", Fraction(1, 10))},
    METRIC: {"temp": ("C", Fraction(1)), "rain": ("mm", Fraction(1)),
             "wind": ("m/s", Fraction(1))},
    STANDARD: {"temp": ("F", Fraction(1)), "rain": ("in", Fraction(1)),
               "wind": ("mph", Fraction(1))},
}  # fmt: skip
"""Units of the station layout: as archived (tenths), and the two exports of the web service."""
ASKED: Final[dict[str, str]] = {
    TENTHS: "tenths", METRIC: "metric", STANDARD: "standard",
}  # fmt: skip
STATION_COLUMNS: Final = {"PRCP": "rain", "TMAX": "temp_max", "TMIN": "temp_min", "AWND": "wind"}
HOTTEST_F: Final = 134
"""The highest temperature ever measured; a whole number beyond it is no F but tenths of C."""

DIMENSIONS: Final = {
    "temp": ("temperature", "F"),
    "rain": ("length", "in"),
    "wind": ("speed", "mph"),
    "humidity": ("share", "share"),
}
NAMES: Final[dict[str, str]] = {
    name: column
    for column, names in {
        "date": "date day",
        "time": "time hour",
        "temp_max": "temp_max tmax max_temp high",
        "temp_min": "temp_min tmin min_temp low",
        "temp": "temp temperature air_temp",
        "rain": "rain precipitation precip prcp",
        "wind": "wind wind_speed awnd",
        "humidity": "humidity relative_humidity rel_humidity rh",
    }.items()
    for name in names.split()
}
_HEADER = re.compile(r"(?P<name>[^\[\](){}]*?)\s*(?:[\[(](?P<unit>[^\[\](){}]*)[\])])?")


@dataclass(frozen=True, slots=True)
class Column:
    """Where a measured thing stands, and how its numbers become F, in, mph or a share."""

    index: int
    factor: Fraction
    offset: Fraction
    flags: int | None = None

    def value(self, number: Fraction) -> float:
        """The number in the unit the records keep."""
        return float(number * self.factor + self.offset)


@dataclass(frozen=True, slots=True)
class Layout:
    """The columns of a file by what they hold."""

    kind: str
    date: int
    time: int | None
    station: int | None
    columns: Mapping[str, Column]
    unread: tuple[str, ...]


def layout_of(
    path: str, header: Sequence[str], rows: Iterable[Sequence[str]], units: str | None
) -> Layout:
    """What the header says, and for a station file without units what its numbers show.

    Args:
        path: the file, for its problems.
        header: the first line.
        rows: the lines after it; read only where the units have to be told from them.
        units: `tenths`, `metric` or `standard`, where somebody says which it is; else None.

    Raises:
        ProblemsFound: if it cannot be used.
    """
    return _Header(path, header).layout(rows, units)


class _Header:
    """Reads one header line and notes what is wrong with it."""

    def __init__(self, path: str, header: Sequence[str]) -> None:
        self.path = path
        self.header = [cell.strip() for cell in header]
        self.problems: list[Problem] = []

    def layout(self, rows: Iterable[Sequence[str]], units: str | None) -> Layout:
        station = {name: i for i, name in enumerate(self.header) if name in STATION_COLUMNS}
        if "DATE" in self.header and station:
            return self._station(station, rows, units)
        return self._plain()

    def problem(self, code: str, message: str, hint: str = "") -> None:
        self.problems.append(Problem(self.path, 1, 0, code, message, hint))

    def stop(self) -> None:
        if self.problems:
            raise ProblemsFound(self.problems)

    # ---- units in the header -------------------------------------------------------------------

    def _plain(self) -> Layout:
        found: dict[str, tuple[int, str]] = {}
        unread = []
        for index, cell in enumerate(self.header):
            parts = _HEADER.fullmatch(cell)
            name = re.sub(r"[\s-]+", "_", (parts["name"] if parts else cell).strip().lower())
            column = NAMES.get(name)
            if column is None:
                unread.append(cell)
            elif column in found:
                other = self.header[found[column][0]]
                self.problem("W103", f"`{other}` and `{_shown(cell)}` both give the {column}")
            else:
                found[column] = (index, (parts["unit"] or "").strip() if parts else "")
        if "date" not in found:
            hint = did_you_mean("date", [cell.lower() for cell in self.header])
            self.problem("W102", "no column gives the date", hint or "Name one of them date.")
        columns = {
            name: self._column(name, index, unit)
            for name, (index, unit) in found.items()
            if name not in ("date", "time")
        }
        if not columns:
            hint = "Known: " + ", ".join(dict.fromkeys(NAMES.values()))
            self.problem("W102", "no column holds weather that is read here", hint)
        if "time" in found and "temp" not in columns and {"temp_max", "temp_min"} & set(columns):
            hint = "Name it temp where it is the temperature at that time."
            self.problem("W103", "an hourly file has no highs and lows", hint)
        self.stop()
        time = found["time"][0] if "time" in found else None
        return Layout(PLAIN, found["date"][0], time, None, columns, tuple(unread))

    def _column(self, name: str, index: int, unit: str) -> Column:
        dimension, wanted = DIMENSIONS[name.partition("_")[0]]
        shown = _shown(self.header[index])
        try:
            if unit:
                return _converting(index, unit, Fraction(1), dimension, wanted)
            self.problem("W103", f"`{shown}` has no unit", _unit_hint(name))
        except UnitError as error:
            message = f"`{shown}`: {error.message}"
            self.problem("W103", message, error.hint or _unit_hint(name))
        return Column(index, Fraction(1), Fraction(0))

    # ---- the station layout --------------------------------------------------------------------

    def _station(
        self, station: Mapping[str, int], rows: Iterable[Sequence[str]], units: str | None
    ) -> Layout:
        kind = self._said(units) if units else self._told_by_numbers(station, rows)
        self.stop()
        assert kind is not None
        columns = {}
        for name, index in station.items():
            column = STATION_COLUMNS[name]
            dimension, wanted = DIMENSIONS[column.partition("_")[0]]
            unit, share = UNITS[kind][column.partition("_")[0]]
            flags = f"{name}_ATTRIBUTES"
            at = self.header.index(flags) if flags in self.header else None
            made = _converting(index, unit, share, dimension, wanted)
            columns[column] = Column(index, made.factor, made.offset, at)
        used = {*station, "DATE", "STATION", *(f"{name}_ATTRIBUTES" for name in station)}
        unread = tuple(cell for cell in self.header if cell not in used)
        at = self.header.index("STATION") if "STATION" in self.header else None
        return Layout(kind, self.header.index("DATE"), None, at, columns, unread)

    def _said(self, units: str) -> str | None:
        kinds = {said: kind for kind, said in ASKED.items()}
        if units not in kinds:
            self.problem("W104", f"there are no units `{units}`", "Known: " + ", ".join(kinds))
        return kinds.get(units)

    def _told_by_numbers(
        self, station: Mapping[str, int], rows: Iterable[Sequence[str]]
    ) -> str | None:
        """Which set of units a station file uses.

        Temperatures with a decimal point are the metric export, whole ones beside rain or wind
        with decimals the standard export. Where nothing has a decimal point, rain or wind says it
        is the archive's own tenths, for both exports always write those with decimals; so does a
        temperature beyond any in F.
        """
        seen: dict[str, list[str]] = {"temp": [], "other": []}
        for row in rows:
            for name, index in station.items():
                cell = row[index].strip() if index < len(row) else ""
                if re.fullmatch(r"[-+]?[0-9]+(\.[0-9]*)?", cell):
                    seen["temp" if name in ("TMAX", "TMIN") else "other"].append(cell)
        temps, others = seen["temp"], seen["other"]
        if any("." in cell for cell in temps):
            return METRIC
        if any("." in cell for cell in others):
            if temps:
                return STANDARD
        elif others or any(abs(int(cell)) > HOTTEST_F for cell in temps):
            return TENTHS
        hint = "Say which: tenths, metric or standard; or write them in the header, as TMAX [F]."
        self.problem("W104", "the numbers do not show which units the file uses", hint)
        return None


def _converting(index: int, unit: str, share: Fraction, dimension: str, wanted: str) -> Column:
    """A column whose numbers are this share of a unit, turned into the wanted unit."""
    low, high = Amount(Fraction(0), Fraction(1), dimension, unit, unit).exact(wanted)
    return Column(index, (high - low) * share, low)


def _unit_hint(name: str) -> str:
    unit = {"rain": "in", "wind": "mph", "humidity": "%"}.get(name, "F")
    return f"Write {name} [{unit}], or another unit of the same sort."


def _shown(cell: str) -> str:
    return printable(cell)[:40]
