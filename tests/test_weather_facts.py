"""What a weather file adds to the facts of a call, and what holds of every file.

More rows never widen a fact, other units never change one, a missing day is never a dry one; where
the caller and the file cannot both be right, both are reported. Reading files is in test_weather.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import math
from fractions import Fraction
from pathlib import Path

import pytest
from example_calls import knowledge
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from advisor.call import load_call, load_weather_of, parse_call
from advisor.fact import TOLD, WEATHER, FactSet
from advisor.facts import gather
from advisor.problem import ProblemsFound
from advisor.terms import Options, Span
from advisor.weather.days import TEMPS_F
from advisor.weather.reading import parse_weather, read_weather
from advisor.weather.record import Weather
from advisor.weather.spraying import WEEK, at_spraying, dry_side, rain_before
from advisor.when import parse_when
from cli.main import app

DATA = Path(__file__).parent / "data" / "weather"
SEATTLE = DATA / "seattle-2015.csv"


def read(text: str) -> Weather:
    return parse_weather(text, "w.csv")


# ---- facts of a spraying ------------------------------------------------------------------------

HEADER = "date,temp_max [F],temp_min [F],rain [in],wind [mph]\n"


def daily(days: dict[str, str]) -> Weather:
    return read(HEADER + "".join(f"{date},{cells}\n" for date, cells in days.items()))


def noted(weather: Weather, sprayed: str) -> dict[str, object]:
    return {n.fact: n.value for n in at_spraying(weather, parse_when(sprayed))}


def test_hourly_rows_narrow_what_daily_rows_leave_open() -> None:
    """The same real day read hourly says more of every fact than its daily summary, and no other
    thing."""
    hourly = read_weather(DATA / "newark-2013-02.csv")
    summary = Weather("d.csv", "plain", days=hourly.by_day)
    for time in ("2013-02-12 10:00", "2013-02-13 15:00", "2013-02-12 morning"):
        fine, coarse = noted(hourly, time), noted(summary, time)
        for fact in ("air_temp", "high_next_days", "low_next_nights", "rain_past_2_weeks"):
            one, other = fine[fact], coarse[fact]
            assert isinstance(one, Span)
            assert isinstance(other, Span)
            assert one.within(other), fact
        assert fine["air_temp"] != coarse["air_temp"]
        assert "delta_t" in fine
        assert "delta_t" not in coarse


def test_facts_of_a_real_spraying() -> None:
    """At noon on 12 February 2013 the air at Newark is that of its row; a night just above
    freezing leaves it open whether the grass was frosted."""
    found = noted(read_weather(DATA / "newark-2013-02.csv"), "2013-02-12 12:00")
    row = "2013-02-12,12,44.06,48.87,21.86"
    assert row in (DATA / "newark-2013-02.csv").read_text(encoding="utf-8")
    air = found["air_temp"]
    assert isinstance(air, Span)
    assert (air.low, air.high) == pytest.approx((41.06, 47.06))
    assert "frost" not in found


def full_call(weather: str = "", **more: str) -> str:
    """A call of one spraying; `more` are further lines."""
    lines = ["reported: 2026-06-20", "weed: ground-ivy", "product: larkmoor-broadleaf"]
    lines += ["treatment:", "  - sprayed: 2026-06-10 10:00"]
    lines += [f"    {line}" for line in more.get("in_treatment", "").split("\n") if line]
    lines += [more["events"]] if "events" in more else []
    return "\n".join(lines) + "\n" + weather


def facts_of(text: str, weather: Weather | None) -> FactSet:
    base = knowledge()
    return gather(parse_call(text, "call.yaml", base), base, weather)


JUNE = {
    f"2026-06-{d:02}": f"{75 + d % 5},{55 + d % 3},{0.3 if d in (6, 12) else 0},4"
    for d in range(1, 21)
}


def test_the_file_fills_in_what_nobody_told() -> None:
    """Dry hours, air and rain come from the file, and say so with file, line and day."""
    found = facts_of(full_call(), daily(JUNE)).of_applications[0]
    assert found["dry_hours_after"].value == Span(0, 62)
    assert found["dry_hours_before"].value == Span(0, 106)
    origin = found["air_temp"].origin
    assert (origin.how, "w.csv:11 (2026-06-10)" in origin.words) == (WEATHER, True)
    told_none = full_call(events="events: [{watered: none}]")
    found = facts_of(told_none, daily(JUNE)).of_applications[0]
    assert found["dry_hours_after"].value == Span(38, 62)
    assert found["dry_hours_before"].value == Span(82, 106)
    assert "w.csv:13 (2026-06-12): 0.3 inch of rain" in found["dry_hours_after"].origin.words


def test_told_and_measured_rain_narrow_each_other() -> None:
    """Rain told for a morning and measured on that day is rain of that morning."""
    text = full_call(events="events: [{watered: none}, {rained: 2026-06-12 morning}]")
    found = facts_of(text, daily(JUNE))
    assert found.of_applications[0]["dry_hours_after"].value == Span(44, 49)
    assert found.conflicts == ()


@pytest.mark.parametrize(
    ("event", "kept", "value"),
    [
        ("rained: 2026-06-16", WEATHER, Span(38, 62)),  # rain that nobody noticed
        ("rained: 2026-06-10 afternoon", "worked out", Span(2, 8)),  # rain the station missed
        ("rained: none", "worked out", Span(168, 1440)),
    ],
)
def test_rain_that_does_not_agree_is_reported(event: str, kept: str, value: Span) -> None:
    """The nearer rain is kept, or that there was none; the other account is reported beside it."""
    found = facts_of(full_call(events=f"events: [{{watered: none}}, {{{event}}}]"), daily(JUNE))
    after = found.of_applications[0]["dry_hours_after"]
    assert (after.origin.how, after.value) == (kept, value)
    (conflict,) = [c for c in found.conflicts if c.fact == "dry_hours_after"]
    assert conflict.kept.value == value
    assert {WEATHER, "worked out"} == {conflict.kept.origin.how, conflict.other.origin.how}


def test_a_felt_temperature_is_compared() -> None:
    """What was felt stands where the file allows it; where it does not, both are reported."""
    agreed = facts_of(full_call(in_treatment="felt: {air: 66 F}"), daily(JUNE))
    assert agreed.of_applications[0]["air_temp"].value == Span(66, 66)
    assert agreed.conflicts == ()
    apart = facts_of(full_call(in_treatment="felt: {air: 40 F}"), daily(JUNE))
    assert apart.of_applications[0]["air_temp"].value == Span(40, 40)
    (conflict,) = apart.conflicts
    assert (conflict.fact, conflict.kept.origin.how) == ("air_temp", TOLD)
    assert conflict.other.origin.how == WEATHER


def test_the_ground_by_its_rain() -> None:
    """Half an inch in three days leaves no dry ground; two dry weeks without a sprinkler no soggy
    one; a sprinkler nobody spoke of leaves it open."""
    soaked = JUNE | {"2026-06-09": "75,55,0.8,4"}
    ground = facts_of(full_call(), daily(soaked)).of_applications[0]["soil_moisture"].value
    assert ground == Options.of("moist", "wet")
    dry = {
        f"2026-{m:02}-{d:02}": "80,60,0,4"
        for m, last in ((5, 31), (6, 20))
        for d in range(1, last + 1)
    }
    dry_call = full_call(weather="site: {irrigation: {days_per_week: 0}}\n")
    ground = facts_of(dry_call, daily(dry)).of_applications[0]["soil_moisture"].value
    assert ground == Options.of("dry", "moist")
    ground = facts_of(full_call(), daily(dry)).of_applications[0]["soil_moisture"].value
    assert ground == Options.of("dry", "moist", "wet")


def test_today_by_the_file() -> None:
    """Wind, dry time and heat of the day of the call come from the file where it reaches so far."""
    later = JUNE | {f"2026-06-{d}": f"91,70,{0.4 if d == 22 else 0},9" for d in range(20, 24)}
    text = full_call(weather="site: {irrigation: {days_per_week: 0}}\n")
    found = facts_of(text, daily(later)).of_call
    assert found["heat_ahead"].value == Span(85 - 94, 85 - 88)
    assert found["dry_hours_ahead"].value == Span(24, 72)
    assert found["wind_now"].value == Span(0, 36)
    found = facts_of(text, daily(JUNE)).of_call
    assert found["heat_ahead"].origin.how != WEATHER
    open_sprinkler = facts_of(full_call(), daily(later)).of_call["dry_hours_ahead"].value
    assert open_sprinkler == Span(0, 72)


def test_a_file_with_holes_keeps_what_the_month_allows() -> None:
    """Where days after the spraying are missing, the month still says how hot they can have been;
    a measured day outside of that counts, and nobody is said to be wrong."""
    text = full_call(weather="site: {region: lake-plain}\n")
    usual = facts_of(text, None).of_applications[0]["high_next_days"].value
    holes = {date: cells for date, cells in JUNE.items() if date != "2026-06-12"}
    found = facts_of(text, daily(holes)).of_applications[0]["high_next_days"].value
    assert isinstance(usual, Span)
    assert found == Span(76 - 3, usual.high)
    odd = facts_of(text, daily(JUNE | {"2026-06-11": "112,80,0,4"}))
    high = odd.of_applications[0]["high_next_days"].value
    assert high == Span(109, 115)
    assert [c for c in odd.conflicts if c.fact == "high_next_days"] == []


def test_weeks_of_rain_and_cold_nights() -> None:
    """The rain of two weeks is summed, and the nights after found, with the margin of a lawn."""
    days = {f"2026-05-{d}": "70,50,0.1,4" for d in range(25, 32)} | JUNE
    found = noted(daily(days), "2026-06-10 10:00")
    rain = found["rain_past_2_weeks"]
    assert isinstance(rain, Span)
    assert rain.low == pytest.approx(0.1 * 4 + 0.3)
    assert rain.high == pytest.approx(0.1 * 5 + 0.3)
    assert found["low_next_nights"] == Span(55 - 3, 55 + 3)
    assert found["high_next_days"] == Span(77 - 3, 78 + 3)


# ---- the call file names it ---------------------------------------------------------------------


def test_a_call_names_a_file_beside_it(tmp_path: Path) -> None:
    """The file is looked for beside the call; one that is missing is a problem at its line."""
    base = knowledge()
    rows = "".join(f"{date},{cells}\n" for date, cells in JUNE.items())
    (tmp_path / "june.csv").write_text(HEADER + rows)
    path = tmp_path / "call.yaml"
    path.write_text(full_call(weather="weather: june.csv\n"))
    weather = load_weather_of(load_call(path, base))
    assert weather is not None
    assert (weather.name, len(weather.days)) == ("june.csv", 20)
    path.write_text(full_call(weather="weather: jume.csv\n"))
    with pytest.raises(ProblemsFound) as found:
        load_weather_of(load_call(path, base))
    (problem,) = found.value.problems
    assert (problem.path, problem.line, problem.code) == (path.as_posix(), 6, "C108")
    assert "june.csv" in problem.hint
    assert load_weather_of(parse_call(full_call(), "x.yaml", base)) is None


def test_a_call_from_standard_input_looks_in_the_working_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a call file the weather file is looked for where the command was given."""
    (tmp_path / "june.csv").write_text("date,rain [in]\n2026-06-10,0.5\n")
    monkeypatch.chdir(tmp_path)
    call = parse_call(full_call(weather="weather: june.csv\n"), "<stdin>", knowledge())
    weather = load_weather_of(call)
    assert weather is not None
    assert weather.name == "june.csv"


def test_diagnose_reads_the_file_beside_the_call(tmp_path: Path) -> None:
    """The command quotes the file in its answer, reports rows it skipped and exits with 0; a file
    that is not there is a wrong call."""
    rows = "".join(f"{date},{cells}\n" for date, cells in JUNE.items())
    (tmp_path / "june.csv").write_text(f"{HEADER}{rows}2026-06-01,70,50,0,4\n")
    path = tmp_path / "call.yaml"
    path.write_text(full_call(weather="weather: june.csv\n", events="events: [{watered: none}]"))
    done = CliRunner().invoke(app, ["diagnose", "--json", str(path)], catch_exceptions=False)
    facts = json.loads(done.stdout)["facts"]["applications"][0]
    assert (done.exit_code, facts["dry_hours_after"]["high"]) == (0, 62)
    assert "june.csv:13 (2026-06-12)" in facts["dry_hours_after"]["origin"]
    assert f"{tmp_path.as_posix()}/june.csv:22:0: error W203" in done.stderr
    (tmp_path / "june.csv").unlink()
    gone = CliRunner().invoke(app, ["diagnose", str(path)], catch_exceptions=False)
    assert (gone.exit_code, gone.stdout) == (1, "")
    assert f"{path.as_posix()}:7:10: error C108" in gone.stderr


# ---- what holds of every file -------------------------------------------------------------------

MORE_DATA = (
    *("air_temp", "wind", "high_next_days", "low_next_nights", "rain_past_2_weeks", "soil_temp"),
    *("dry_hours_before", "dry_hours_after", "dry_hours_ahead", "wind_now", "soil_moisture"),
    *("frost", "rainfast_margin", "label_cold_margin", "label_heat_margin", "water_in_delay"),
)


def rows_of(name: str) -> tuple[str, list[str]]:
    header, *rows = (DATA / name).read_text(encoding="utf-8").splitlines()
    return header, rows


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from([("seattle-2015.csv", "2015-05-20 10:00"), ("seattle-2015.csv", "2015-03-14")]),
    st.sets(st.integers(60, 211)),
    st.sets(st.integers(60, 211)),
)
def test_more_days_never_widen_a_fact(
    case: tuple[str, str], holes: set[int], more: set[int]
) -> None:
    """Whatever rows are missing, a file with more of them missing says no more of any fact."""
    name, sprayed = case
    header, rows = rows_of(name)

    def without(gone: set[int]) -> FactSet:
        kept = [row for n, row in enumerate(rows) if n not in gone]
        text = (
            "reported: 2015-06-05\nproduct: larkmoor-broadleaf\nsite: {irrigation: "
            f"{{days_per_week: 0}}}}\ntreatment: [{{sprayed: {sprayed}}}]\n"
        )
        return facts_of(text, parse_weather("\n".join([header, *kept]), name))

    fewer, whole = without(holes | more), without(holes)
    for fact in MORE_DATA:
        for one, other in (
            (whole.of_applications[0], fewer.of_applications[0]),
            (whole.of_call, fewer.of_call),
        ):
            if fact in one:
                small, large = one[fact].value, other[fact].value
                assert small.within(large), (fact, small, large)


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_more_hours_never_widen_a_fact(data: st.DataObject) -> None:
    """The same of an hourly record whose readings move no faster than their rates."""
    temp, wind, rows = 50.0, 5.0, []
    for n in range(24 * 5):
        temp += data.draw(st.sampled_from([-5, -2, 0, 2, 5]))
        wind = max(0.0, wind + data.draw(st.sampled_from([-8, 0, 8])))
        rain = data.draw(st.sampled_from([0, 0, 0, 0, 0.02, 0.2]))
        temp = min(max(temp, 0), 100)
        rows.append(f"2026-06-{8 + n // 24:02},{n % 24},{temp},{min(wind, 40)},{rain}")
    gone = data.draw(st.sets(st.integers(1, len(rows) - 2), max_size=30))
    header = "date,hour,temp [F],wind [mph],rain [in]"
    whole = read("\n".join([header, *rows]))
    fewer = read("\n".join([header, *(r for n, r in enumerate(rows) if n not in gone)]))
    sprayed = data.draw(st.sampled_from(["2026-06-10 10:00", "2026-06-10 10:20", "2026-06-10"]))
    one, other = noted(whole, sprayed), noted(fewer, sprayed)
    for fact, value in other.items():
        if isinstance(value, Span):
            small = one[fact]
            assert isinstance(small, Span)
            assert value.low - 1e-6 <= small.low, fact
            assert small.high <= value.high + 1e-6, fact
        else:
            assert one.get(fact) == value


UNITS = {
    "rain [mm]": ("rain [cm]", Fraction(1, 10), 0),
    "temp_max [C]": ("temp_max [F]", Fraction(9, 5), 32),
    "temp_min [C]": ("temp_min [F]", Fraction(9, 5), 32),
    "wind [m/s]": ("wind [km/h]", Fraction(18, 5), 0),
}


@pytest.mark.parametrize("columns", [[c] for c in UNITS] + [[*UNITS]], ids=str)
def test_the_units_of_a_file_never_change_an_answer(columns: list[str]) -> None:
    """A record written in other units gives the very same days and the very same facts."""
    table = [*csv.reader(io.StringIO(SEATTLE.read_text(encoding="utf-8")))]
    for column in columns:
        at = table[0].index(column)
        name, factor, offset = UNITS[column]
        table[0][at] = name
        for row in table[1:]:
            exact = Fraction(row[at]) * factor + offset
            row[at] = f"{float(exact):.6f}"
            assert Fraction(row[at]) == exact
    converted = read("\n".join(",".join(row) for row in table))
    plain = read_weather(SEATTLE)
    assert converted.days == plain.days
    for sprayed in ("2015-04-11 09:00", "2015-05-20 morning"):
        assert noted(converted, sprayed) == noted(plain, sprayed)


@given(st.sets(st.integers(1, 210), min_size=1))
@settings(max_examples=30, deadline=None)
def test_a_missing_day_never_becomes_a_dry_one(gone: set[int]) -> None:
    """A day without a row may have rained any amount, so that dry time and sums stay open there."""
    header, rows = rows_of("seattle-2015.csv")
    kept = [row for n, row in enumerate(rows) if n not in gone]
    weather = parse_weather("\n".join([header, *kept]), "s.csv")
    assert (weather.missing, len(weather.rains)) == (len(gone), 212 + 2)
    for n in gone:
        date = dt.date(2015, 1, 1) + dt.timedelta(days=n)
        assert weather.rains[n + 1].amount == Span(0, math.inf)
        noon = parse_when(f"{date} 12:00")
        assert dry_side(weather, noon, "after")[0].low == 0
        assert rain_before(weather, parse_when(f"{date} 24:00"), WEEK).high == math.inf
        assert weather.temperatures(date) == (TEMPS_F, TEMPS_F)
