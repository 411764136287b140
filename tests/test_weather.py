"""Weather files: what is read, what is refused, and what the file says of a spraying.

Real records come from `tests/data/weather`, whose README says what was cut from where; the wet bulb
is held against its source's example and against psychrolib. What the warmth does to a weed is in
test_growth.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import math
import re
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.problem import CODES, ProblemsFound
from advisor.terms import Span
from advisor.weather.days import wind_in_day
from advisor.weather.hours import RATES
from advisor.weather.physics import WET_BULB_ERROR_C, delta_t_f, soil_f, wet_bulb_c
from advisor.weather.rain import Rain, dry_after, dry_before, total
from advisor.weather.reading import parse_weather, read_weather
from advisor.weather.record import Weather
from advisor.weather.spraying import dry_side
from advisor.when import parse_when

DATA = Path(__file__).parent / "data" / "weather"
SEATTLE = DATA / "seattle-2015.csv"
HOURLY = ("newark-2013-02.csv", "kennedy-2013-05.csv", "kennedy-2013-fall.csv")


def moment(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


def read(text: str, **options: str) -> Weather:
    return parse_weather(text, "w.csv", **options)


def refused(text: str, **options: str) -> tuple[str, str]:
    """Code and message of the problem with a file that cannot be used."""
    with pytest.raises(ProblemsFound) as found:
        read(text, **options)
    return found.value.problems[0].code, found.value.problems[0].message


# ---- the plain layout ---------------------------------------------------------------------------


def test_a_daily_file_with_units_in_its_header() -> None:
    """Each value is turned from the unit of its column into F, inches and mph."""
    weather = read(
        "date,temp_max [C],temp_min [C],rain [mm],wind [km/h],note\n"
        "2026-05-01,20,10,25.4,16.09344,windy\n"
    )
    day = weather.days[dt.date(2026, 5, 1)]
    assert (day.high, day.low) == (Span(68, 68), Span(50, 50))
    assert (day.rain, day.wind) == (Span(1, 1), Span(10, 10))
    assert (weather.layout, weather.unread, weather.skipped) == ("plain", ("note",), ())


def test_an_hourly_file() -> None:
    """With a time of day the rows are hours, whether in a column of its own or behind the date."""
    rows = "temp [F],humidity [%],wind [mph],rain [in]\n"
    apart = read(f"date,hour,{rows}2026-05-01,13,61,50,5,0\n2026-05-01,24:00,60,55,4,0.1\n")
    behind = read(f"date,{rows}2026-05-01T13:00,61,50,5,0\n2026-05-02 00:00,60,55,4,0.1\n")
    assert apart.hours == behind.hours
    times = [moment("2026-05-01T13:00"), moment("2026-05-02T00:00")]
    assert [h.moment for h in apart.hours] == times
    assert (apart.hours[0].humidity, apart.hours[1].rain) == (0.5, Span(0.1, 0.1))


@pytest.mark.parametrize("cell", ["", "NA", "NaN", "M", "-9999", " "])
def test_a_value_left_out_is_unknown(cell: str) -> None:
    """However a file writes that nothing was measured, the day has no such value, never zero."""
    weather = read(f"date,temp_max [F],rain [in]\n2026-05-01,70,{cell}\n")
    assert weather.days[dt.date(2026, 5, 1)].rain is None
    assert weather.rains[1].amount == Span(0, math.inf)


def test_a_trace_of_rain_is_next_to_nothing() -> None:
    """A trace is too little to measure, not a missing value."""
    weather = read("date,rain [in]\n2026-05-01,T\n")
    assert weather.days[dt.date(2026, 5, 1)].rain == Span(0, 0.005)


@pytest.mark.parametrize(
    ("text", "code", "says"),
    [
        ("", "K007", "empty"),
        ("date,rain [in]\n", "W105", "no rows"),
        ("rain [in]\n1\n", "W102", "no column gives the date"),
        ("date,snow [in]\n2026-05-01,1\n", "W102", "no column holds weather"),
        ("date,rain\n2026-05-01,1\n", "W103", "has no unit"),
        ("date,rain [mph]\n2026-05-01,1\n", "W103", "is a speed"),
        ("date,rain [foo]\n2026-05-01,1\n", "W103", "not a unit"),
        ("date,rain [in],precip [mm]\n2026-05-01,1,1\n", "W103", "both give the rain"),
        ("date,hour,temp_max [F]\n2026-05-01,1,1\n", "W103", "no highs and lows"),
        ("date;rain [in]\n2026-05-01;1\n", "W101", "not separated by commas"),
        ("date,rain [in]\n2026-13-01,1\n", "W202", "no day of the calendar"),
    ],
)
def test_files_that_cannot_be_used(text: str, code: str, says: str) -> None:
    """A file without a date, a unit or a readable row is refused with its reason."""
    found = refused(text)
    assert (found[0], says in found[1]) == (code, True), found


@pytest.mark.parametrize(
    ("row", "code", "column", "says"),
    [
        ("2026-05-02", "W201", 0, "fewer cells"),
        ("05/02/2026,1,60,5", "W202", 1, "no date"),
        ("2026-02-30,1,60,5", "W202", 1, "no day of the calendar"),
        ("2026-05-01,1,60,5", "W203", 0, "a second time"),
        ("2026-04-30,1,60,5", "W203", 0, "after a later row"),
        ("2026-05-02,x,60,5", "W204", 2, "no number"),
        ('2026-05-02,"1,5",60,5', "W204", 2, "no number"),
        ("2026-05-02,-1,60,5", "W205", 2, "not possible in one day"),
        ("2026-05-02,90,60,5", "W205", 2, "not possible in one day"),
        ("2026-05-02,1,170,5", "W205", 3, "not possible for temp max"),
        ("2026-05-02,1,60,1048.36", "W205", 4, "not possible for wind"),
    ],
)
def test_a_bad_row_is_skipped(row: str, code: str, column: int, says: str) -> None:
    """A row that cannot be right gives file, line, cell and reason; the rest is read."""
    header = "date,rain [in],temp_max [F],wind [mph]\n"
    weather = read(f"{header}2026-05-01,0,70,5\n{row}\n2026-05-03,0,72,6\n")
    (problem,) = weather.skipped
    assert (problem.path, problem.line, problem.column, problem.code) == ("w.csv", 3, column, code)
    assert says in problem.message
    assert (weather.rows, sorted(d.day for d in weather.days)) == (3, [1, 3])


def test_a_low_above_the_high_is_a_bad_row() -> None:
    """A day whose low is above its high is skipped."""
    weather = read("date,temp_max [F],temp_min [F]\n2026-05-01,60,50\n2026-05-02,50,60\n")
    assert [p.code for p in weather.skipped] == ["W205"]


def test_every_code_is_registered() -> None:
    """Each code of a weather problem has its one-line meaning."""
    source = Path(__file__).parents[1] / "advisor" / "weather"
    used = {
        code
        for path in source.glob("*.py")
        for code in re.findall(r'"(W[0-9]{3})"', path.read_text(encoding="utf-8"))
    }
    assert used == {code for code in CODES if code.startswith("W")}


def test_a_file_in_another_encoding_is_refused() -> None:
    """Bytes that are not UTF-8 are refused with the line they stand on."""
    with pytest.raises(ProblemsFound) as found:
        parse_weather(b"date,rain [in]\n2026-05-01,1\n2026-05-02,\xe9\n", "w.csv")
    assert [(p.code, p.line) for p in found.value.problems] == [("K005", 3)]


def test_a_missing_file_names_the_nearest(tmp_path: Path) -> None:
    """A file that is not there is a problem that names one nearly called so."""
    (tmp_path / "lake-plain-2027.csv").write_text("date,rain [in]\n2026-05-01,1\n")
    with pytest.raises(ProblemsFound) as found:
        read_weather(tmp_path / "lake-plain-2072.csv")
    (problem,) = found.value.problems
    assert (problem.code, "lake-plain-2027.csv" in problem.hint) == ("K001", True)


# ---- the station layout -------------------------------------------------------------------------

FEET = Fraction("0.3048")


def station_file(unit: str) -> str:
    """The Seattle record as the station layout writes it, in one of its three sets of units."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["STATION", "NAME", "DATE", "AWND", "PRCP", "TMAX", "TMIN"])
    for row in csv.DictReader(io.StringIO(SEATTLE.read_text(encoding="utf-8"))):
        c = {k: float(row[f"{k} [C]"]) for k in ("temp_max", "temp_min")}
        mm, speed = float(row["rain [mm]"]), float(row["wind [m/s]"])
        if unit == "tenths":
            cells = [f"{round(x * 10):5d}" for x in (speed, mm, c["temp_max"], c["temp_min"])]
        elif unit == "metric":
            cells = [f"{x:.1f}" for x in (speed, mm, c["temp_max"], c["temp_min"])]
        else:
            fahrenheit = [f"{x * 1.8 + 32:.0f}" for x in c.values()]
            cells = [f"{speed / 0.44704:.2f}", f"{mm / 25.4:.2f}", *fahrenheit]
        writer.writerow(["XX000000001", "A STATION, US", row["date"].replace("/", "-"), *cells])
    return out.getvalue()


@pytest.mark.parametrize(
    ("unit", "layout", "near"),
    [
        ("tenths", "station-tenths", 1e-9),
        ("metric", "station-metric", 1e-9),
        ("standard", "station-standard", 0.51),
    ],
)
def test_the_units_of_a_station_file_are_told_by_its_numbers(
    unit: str, layout: str, near: float
) -> None:
    """The archive's tenths and both exports of one record are told apart and read alike."""
    plain, weather = read_weather(SEATTLE), read(station_file(unit))
    assert (weather.layout, len(weather.days), weather.skipped) == (layout, 212, ())
    for date, day in plain.days.items():
        other = weather.days[date]
        for one, same, share in ((day.high, other.high, 1), (day.rain, other.rain, 50)):
            assert one is not None
            assert same is not None
            assert same.low == pytest.approx(one.low, abs=near / share)


def test_a_station_file_that_shows_no_units_is_refused() -> None:
    """Whole temperatures that could be F or tenths of C are refused until somebody says which."""
    text = "STATION,DATE,TMAX,TMIN\nX,2026-01-01,50,30\n"
    assert refused(text)[0] == "W104"
    day = read(text, units="standard").days[dt.date(2026, 1, 1)]
    assert day.high == Span(50, 50)
    day = read(text, units="tenths").days[dt.date(2026, 1, 1)]
    assert day.high == Span(41, 41)
    day = read(text.replace("TMAX", "TMAX [F]").replace("TMIN", "TMIN [F]")).days[
        dt.date(2026, 1, 1)
    ]
    assert day.low == Span(30, 30)


def test_flags_of_the_archive() -> None:
    """A value that failed the archive's checks is unknown, a trace is next to nothing, and the time
    of reading says which hours a row covers."""
    weather = read(
        "STATION,DATE,PRCP,PRCP_ATTRIBUTES,TMAX,TMAX_ATTRIBUTES\n"
        'X,2026-05-01,0,"T,,W,0700",250,",,W,0700"\n'
        'X,2026-05-02,102,",X,W,0700",251,",,W,0700"\n'
        'X,2026-05-03,102,",,W,0700",251,",,W,0700"\n'
    )
    days = list(weather.days.values())
    assert [day.rain for day in days] == [Span(0, 0.005), None, Span(10.2 / 25.4, 10.2 / 25.4)]
    assert (weather.doubtful, weather.covers) == (1, (-17.0, 7.0))
    assert weather.rains[3].start - weather.rains[1].start == 48
    sprayed = parse_when("2026-05-02 06:00")
    assert dry_side(weather, sprayed, "after")[0] == Span(0, 25)


def test_rows_of_another_station_are_skipped() -> None:
    """One file is one station; rows of a second one are skipped with their own reason."""
    rows = ["A,2026-05-01,1.0,20.1", "A,2026-05-02,0.0,21.5", "B,2026-05-03,0.0,20.3"]
    weather = read("STATION,DATE,PRCP,TMAX\n" + "\n".join(rows) + "\n")
    assert [(p.code, p.line) for p in weather.skipped] == [("W206", 4)]


# ---- real records -------------------------------------------------------------------------------


def test_the_impossible_wind_is_found() -> None:
    """The published wind of 1,048 mph costs one row and nothing else."""
    weather = read_weather(DATA / "newark-2013-02.csv")
    assert [(p.line, p.column, p.code) for p in weather.skipped] == [(101, 5, "W205")]
    assert (weather.rows, len(weather.hours)) == (216, 215)


def test_missing_and_repeated_hours() -> None:
    """The hour that comes twice is skipped; a gap of the record stays open and rains any amount."""
    weather = read_weather(DATA / "kennedy-2013-fall.csv")
    assert [p.message for p in weather.skipped] == ["2013-11-03 01:00 comes a second time"]
    gaps = [r for r in weather.rains[1:-1] if r.amount.high == math.inf]
    assert len(gaps) > 0
    middle = (weather.rains[0].end + weather.rains[-1].start) / 2
    assert all(gap.end - gap.start >= 2 for gap in gaps), middle
    day = weather.by_day[dt.date(2013, 10, 25)]
    assert day.rain is not None
    assert day.rain.high == math.inf


def test_hours_written_from_one_to_twenty_four() -> None:
    """24:00 is the next midnight, so that a typical year's file has every hour once."""
    weather = read_weather(DATA / "greensboro-typical-july.csv")
    assert (len(weather.hours), weather.skipped) == (168, ())
    assert weather.hours[23].moment == moment("1981-07-02T00:00")


def test_readings_hardly_ever_move_faster_than_the_rates() -> None:
    """In the real records at most one step in fifty is faster than the rate between readings."""
    for name in ("temp", "wind", "humidity"):
        steps = []
        for file in HOURLY:
            hours = read_weather(DATA / file).hours
            for one, other in pairwise(hours):
                a, b = getattr(one, name), getattr(other, name)
                if None not in (a, b) and other.moment - one.moment == dt.timedelta(hours=1):
                    steps.append(abs(b - a))
        assert sum(step > RATES[name] for step in steps) <= len(steps) / 50, name


def test_the_wind_of_an_hour_lies_in_what_the_mean_of_its_day_allows() -> None:
    """No hour of the real records is outside what the mean wind of its day leaves possible."""
    for file in HOURLY:
        weather = read_weather(DATA / file)
        for date, day in weather.by_day.items():
            for hour in weather.hours:
                if hour.moment.date() == date and day.wind and hour.wind is not None:
                    allowed = wind_in_day(day.wind)
                    assert allowed.low <= hour.wind <= allowed.high


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(HOURLY), st.data())
def test_a_reading_left_out_lies_in_what_the_others_allow(file: str, data: st.DataObject) -> None:
    """Take an hour out of a real record: what is left still allows what was measured in it."""
    weather = read_weather(DATA / file)
    n = data.draw(st.integers(1, len(weather.hours) - 2))
    hour = weather.hours[n]
    fewer = Weather(
        weather.path, weather.layout, hours=(*weather.hours[:n], *weather.hours[n + 1 :])
    )
    around = weather.hours[n - 1 : n + 2]
    steps = [
        abs(b.temp - a.temp) / ((b.moment - a.moment) / dt.timedelta(hours=1))
        for a, b in pairwise(around)
        if a.temp is not None and b.temp is not None
    ]
    if hour.temp is not None and len(steps) == 2 and max(steps) <= RATES["temp"]:
        allowed = fewer.air(hour.moment, hour.moment)
        assert allowed.low - 1e-6 <= hour.temp <= allowed.high + 1e-6


# ---- physics ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("temp", "humidity", "expected"),
    [
        (20, 0.50, 13.70),  # the paper's own example, 13.7 C
        (10, 0.70, 6.96),
        (15, 0.80, 12.73),
        (18, 0.65, 13.82),
        (24, 0.50, 17.14),
        (25, 0.60, 19.50),
        (28, 0.40, 18.82),
        (30, 0.50, 22.30),
        (30, 0.30, 18.37),
        (35, 0.20, 19.30),
    ],
)
def test_wet_bulb(temp: float, humidity: float, expected: float) -> None:
    """The wet bulb follows the formula of Wet-bulb temperature from relative humidity and air
    temperature (Journal of Applied Meteorology and Climatology, 2011)."""
    assert round(wet_bulb_c(temp, humidity), 2) == expected


@settings(deadline=None)
@given(st.floats(5, 43), st.floats(0.05, 0.99))
def test_wet_bulb_against_an_independent_hand(temp: float, humidity: float) -> None:
    """From 5 to 43 C, beyond which nobody sprays, the formula is off psychrolib's exact one by no
    more than the error counted with."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    exact = psychrolib.GetTWetBulbFromRelHum(temp, humidity, 101325)
    error = wet_bulb_c(temp, humidity) - exact
    assert WET_BULB_ERROR_C.low <= error <= WET_BULB_ERROR_C.high


def test_delta_t_on_a_real_week() -> None:
    """In every hour of a typical July week the exact Delta T lies in the interval worked out."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    for hour in read_weather(DATA / "greensboro-typical-july.csv").hours:
        assert hour.temp is not None
        assert hour.humidity is not None
        celsius = (hour.temp - 32) / 1.8
        exact = celsius - psychrolib.GetTWetBulbFromRelHum(celsius, hour.humidity, 101325)
        known = delta_t_f(Span(hour.temp, hour.temp), Span(hour.humidity, hour.humidity))
        assert known.low <= exact * 1.8 <= known.high


@settings(deadline=None)
@given(
    st.tuples(st.floats(20, 112), st.floats(20, 112)).map(sorted),
    st.tuples(st.floats(0.05, 1), st.floats(0.05, 1)).map(sorted),
    st.floats(0, 1),
    st.floats(0, 1),
)
def test_delta_t_of_an_uncertain_hour(
    temps: list[float], damps: list[float], at: float, to: float
) -> None:
    """Whatever air and humidity were inside what is known, their exact Delta T lies in the
    interval."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    known = delta_t_f(Span(*temps), Span(*damps))
    celsius = (temps[0] + at * (temps[1] - temps[0]) - 32) / 1.8
    damp = damps[0] + to * (damps[1] - damps[0])
    exact = (celsius - psychrolib.GetTWetBulbFromRelHum(celsius, damp, 101325)) * 1.8
    assert known.low - 0.01 <= exact <= known.high + 0.01


def test_the_soil_is_an_estimate() -> None:
    """The soil is the week's mean air, give or take; frozen sod may be warmer than the air."""
    assert soil_f(Span(60, 64)) == Span(52, 72)
    assert soil_f(Span(10, 12)) == Span(2, 40)


# ---- rain ---------------------------------------------------------------------------------------


def rains(*periods: tuple[float, float, float, float]) -> list[Rain]:
    return [Rain(start, end, Span(low, high)) for start, end, low, high in periods]


def test_hours_to_rain() -> None:
    """Daily rain leaves a day's width, hourly rain hours, and nothing certain leaves it open."""
    daily = rains((0, 24, 0, 0), (24, 48, 0.3, 0.3), (48, 72, 0, 0))
    assert dry_after(daily, 10, 10).hours == Span(14, 38)
    assert dry_before(daily, 60, 60).hours == Span(12, 36)
    hourly = rains(*((h, h + 2, 0.3, 0.3) if h == 20 else (h, h + 2, 0, 0) for h in range(48)))
    assert dry_after(hourly, 10, 10).hours == Span(10, 12)
    assert dry_after(hourly, 8, 11).hours == Span(9, 14)
    assert dry_after(daily, 60, 60).hours == Span(math.inf, math.inf)


def test_little_rain_counts_once_it_adds_up() -> None:
    """Three wet hours of 0.02 in are rain, by the end of the second; one alone is none."""
    one = rains((10, 12, 0.02, 0.02), (20, 22, 0, 0))
    assert dry_after(one, 0, 0).hours == Span(math.inf, math.inf)
    three = rains(*((h, h + 2, 0.02, 0.02) for h in (10, 11, 12)))
    assert dry_after(three, 0, 0).hours == Span(10, 13)


def test_a_period_that_may_hold_rain_only_opens_the_near_end() -> None:
    """A missing day may have been wet: the dry time may have ended there, but need not have."""
    known = rains((0, 24, 0, 0), (24, 48, 0, math.inf), (48, 72, 0.5, 0.5))
    assert dry_after(known, 12, 12).hours == Span(12, 60)
    assert dry_after(rains((0, 24, 0.5, 0.5)), 10, 12).hours == Span(0, math.inf)


def test_sums_of_rain() -> None:
    """A day that lies inside counts whole, one on the edge counts from none to all."""
    daily = rains((0, 24, 0.1, 0.1), (24, 48, 0.3, 0.3), (48, 72, 0.2, 0.2))
    assert total(daily, Span(0, 0), Span(60, 60)).low == pytest.approx(0.4)
    assert total(daily, Span(0, 0), Span(60, 60)).high == pytest.approx(0.6)


@given(
    st.lists(st.sampled_from([0.0, 0.01, 0.03, 0.2]), min_size=4, max_size=40),
    st.integers(0, 39),
    st.integers(0, 3),
)
def test_dry_hours_read_backwards(amounts: list[float], first: int, length: int) -> None:
    """The dry time before a moment is the dry time after it with time turned round."""
    known = [Rain(h, h + 1, Span(a, a)) for h, a in enumerate(amounts)]
    turned = [Rain(-h - 1, -h, Span(a, a)) for h, a in reversed([*enumerate(amounts)])]
    before = dry_before(known, first, first + length)
    assert before.hours == dry_after(turned, -first - length, -first).hours


@settings(max_examples=200)
@given(
    st.lists(st.sampled_from([0.0, 0.01, 0.03, 0.2]), min_size=4, max_size=40),
    st.integers(0, 36),
    st.sets(st.integers(0, 39)),
)
def test_a_missing_period_never_narrows_the_dry_time(
    amounts: list[float], at: int, missing: set[int]
) -> None:
    """What is known with periods missing holds all that is known without them missing."""
    whole = [Rain(h, h + 1, Span(a, a)) for h, a in enumerate(amounts)]
    holes = [
        Rain(r.start, r.end, Span(0, math.inf)) if n in missing else r for n, r in enumerate(whole)
    ]
    for look in (dry_after, dry_before):
        assert look(whole, at, at).hours.within(look(holes, at, at).hours)
