"""The command on a weather file: its page, its picture, its document, its exit codes.

Runs the command itself on the real records of `tests/data/weather` and on small files; what the
figures are is tested where they are made.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path
from typing import Any

import pytest
from example_calls import ROOT, knowledge
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from advisor.growth import season_start
from advisor.render.layout import Page
from advisor.render.weather_document import weather_document
from advisor.render.weather_page import weather_page
from advisor.render.weather_picture import picture
from advisor.schema import Schemas
from advisor.spray_days import SprayDay, spray_days
from advisor.terms import Span, Truth
from advisor.weather.days import Day
from advisor.weather.reading import parse_weather, read_weather
from advisor.weather.record import Weather
from advisor.weather_report import report
from advisor.yamlfile import read_text
from cli.main import app

DATA = Path(__file__).parent / "data" / "weather"
SEATTLE = DATA / "seattle-2015.csv"
DEMO = ROOT / "knowledge" / "examples" / "lake-plain-2026.csv"
FILES = [*sorted(DATA.glob("*.csv")), DEMO]


def run(*words: str) -> tuple[int, str, str]:
    """Exit code, standard output, standard error."""
    found = CliRunner().invoke(app, ["weather", *words], catch_exceptions=False)
    return found.exit_code, found.stdout, found.stderr


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def daily(rows: list[str]) -> Weather:
    header = "date,temp_max [F],temp_min [F],rain [in],wind [mph]\n"
    return parse_weather(header + "\n".join(rows), "w.csv")


# ---- the page -----------------------------------------------------------------------------------


def test_the_page_of_a_real_file() -> None:
    """The page says what was read, shows the days, counts the heat and follows the weeds."""
    code, page, errors = run(str(SEATTLE), "--to", "2015-05-10", "--weed", "smooth-crabgrass")
    assert (code, errors) == (0, "")
    said = " ".join(page.split())
    assert "212 daily rows from 2015-01-01 to 2015-07-31; 212 read, 0 skipped" in said
    assert "Mean of the day above 50 F: 236 degree days F" in said
    assert "yes, from a day between 2015-03-26 and 2015-05-07" in said
    assert "Dandelion" not in page
    marks = re.search(r"^ +spray ([o~x]{28})$", page, re.MULTILINE)
    assert marks is not None
    assert f"{marks[1].count('o')} good, {marks[1].count('~')} perhaps" in page


def test_skipped_rows_are_reported_and_no_failure() -> None:
    """A bad row goes to the error stream with its place and reason; the file is answered all the
    same."""
    path = DATA / "newark-2013-02.csv"
    code, page, errors = run(str(path))
    assert code == 0
    assert "216 hourly rows" in page
    assert "215 read, 1 skipped" in " ".join(page.split())
    assert f"{path.as_posix()}:101:5: error W205: `1048.36058` is not possible for wind" in errors
    assert errors.splitlines()[-1] == "1 problem"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["missing.csv"], 1, "there is no such file"),
        ([str(SEATTLE), "--from", "2016-01-01"], 2, "the file has none of these days"),
        ([str(SEATTLE), "--from", "2015-05-01", "--to", "2015-04-01"], 2, "comes after"),
        ([str(SEATTLE), "--from", "May 1"], 2, "is no day"),
        ([str(SEATTLE), "--weed", "dandylion"], 2, "nearest valid name: dandelion"),
        ([str(SEATTLE), "--region", "lake-plane"], 2, "nearest valid name: lake-plain"),
    ],
)
def test_what_cannot_be_shown(words: list[str], code: int, says: str) -> None:
    """A file or an option that cannot be used is refused with its reason and exit code."""
    found = run(*words)
    assert found[:2] == (code, "")
    assert says in found[2]


def test_units_can_be_told_on_the_command_line(tmp_path: Path) -> None:
    """A station file that shows no units is read once they are told."""
    path = tmp_path / "x.csv"
    path.write_text("STATION,DATE,TMAX,TMIN\nX,2026-01-01,50,30\n")
    assert run(str(path))[0] == 1
    code, page, _ = run(str(path), "--file-units", "standard")
    assert (code, "A station file in US units" in page) == (0, True)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
@pytest.mark.parametrize("width", [40, 80])
def test_no_line_is_too_wide(path: Path, width: int) -> None:
    """The page fits the terminal, whatever its width, and needs nothing but ASCII."""
    weather = read_weather(path)
    for first in (None, weather.first):
        page = weather_page(report(weather, knowledge(), first=first), knowledge(), Page(width))
        assert [line for line in page.splitlines() if len(line) > width] == []
        assert page.isascii()


# ---- the picture --------------------------------------------------------------------------------


def test_the_picture() -> None:
    """Each column runs from the low to the high of its day; what is not known has a mark."""
    dates = [day(f"2026-05-{n:02}") for n in range(1, 5)]
    days = [
        Day(dates[0], 2, Span(78, 78), Span(52, 52), Span(0, 0)),
        Day(dates[1], 3, Span(61, 61), Span(59, 59), Span(0.3, 0.3)),
        Day(dates[2], 0),
        Day(dates[3], 4, Span(70, 70), Span(50, 50), Span(1.2, 1.2)),
    ]
    marks = [Truth.SHOWN, Truth.OPEN, Truth.OPEN, Truth.RULED_OUT]
    judged = [SprayDay(*pair) for pair in zip(dates, marks, strict=True)]
    drawn = picture(days, judged, 80)
    assert drawn.days_a_column == 1
    assert drawn.lines == (
        "     75 |",
        "     70 |  |",
        "     65 |  |",
        "     60 || |",
        "     55 || |",
        "     50 | ?|",
        "   rain  :?#",
        "  spray o~~x",
        "        May 1",
    )


def test_a_day_read_in_part_is_not_drawn_as_known() -> None:
    """A day of which only the evening was read can have been anything at noon."""
    rows = [f"2026-05-01,{h},60" for h in range(20, 24)]
    rows += [f"2026-05-{d:02},{h},{50 + h}" for d in (2, 3) for h in range(24)]
    weather = parse_weather("date,hour,temp [F]\n" + "\n".join(rows), "w.csv")
    drawn = picture([*weather.by_day.values()], [], 80)
    assert [line[8:9] for line in drawn.lines[:-3]] == [" "] * (len(drawn.lines) - 4) + ["?"]


@given(st.integers(1, 800), st.integers(40, 88))
@settings(max_examples=60, deadline=None)
def test_any_number_of_days_fits(count: int, width: int) -> None:
    """However many days there are, the picture is no wider than the page and leaves none out."""
    days = [
        Day(day("2025-01-01") + dt.timedelta(days=n), n + 2, Span(60 + n % 30, 60 + n % 30),
            Span(40 + n % 9, 40 + n % 9), Span(0, 0))
        for n in range(count)
    ]  # fmt: skip
    drawn = picture(days, [], width)
    assert max(len(line) for line in drawn.lines) <= width
    columns = -(-count // drawn.days_a_column)
    assert drawn.lines[-2] == "  spray " + "?" * columns


# ---- the days to spray --------------------------------------------------------------------------


def verdict(rows: list[str], date: str) -> SprayDay:
    return spray_days(daily(rows), day(date), day(date), knowledge())[0]


CALM = [f"2026-05-{n:02},70,50,0,4" for n in range(1, 21)]


@pytest.mark.parametrize(
    ("change", "suits", "reasons"),
    [
        ({}, Truth.SHOWN, ()),
        ({10: "70,50,0.3,4"}, Truth.RULED_OUT, ("wet-before",)),
        ({9: "70,50,0.3,4"}, Truth.OPEN, ("wet-before",)),
        ({11: "70,50,0.3,4"}, Truth.OPEN, ("rain-coming",)),
        ({8: "70,50,0.3,4", 12: "70,50,0.3,4"}, Truth.SHOWN, ()),
        ({10: "70,50,0,22"}, Truth.RULED_OUT, ("windy",)),
        ({10: "70,50,0,"}, Truth.OPEN, ("windy",)),
        ({10: "92,60,0,4"}, Truth.RULED_OUT, ("too-hot-to-spray",)),
        ({10: "44,30,0,4", 11: "45,30,0,4"}, Truth.RULED_OUT, ("too-cold-to-spray",)),
        ({11: ",,,"}, Truth.OPEN, ("rain-coming", "too-hot-to-spray")),
    ],
)
def test_what_stands_against_a_day(
    change: dict[int, str], suits: Truth, reasons: tuple[str, ...]
) -> None:
    """Rain on the day or around it, wind, heat and cold decide as the stops have them; what is not
    known leaves it open."""
    rows = [f"2026-05-{n:02},{change[n]}" if n in change else CALM[n - 1] for n in range(1, 21)]
    found = verdict(rows, "2026-05-10")
    assert (found.suits, tuple(sorted(found.reasons))) == (suits, reasons)


def test_a_file_that_ends_cannot_tell() -> None:
    """Of the last day nobody knows whether it stayed dry after it."""
    assert verdict(CALM, "2026-05-20") == SprayDay(day("2026-05-20"), Truth.OPEN, ("ends",))


def test_the_calm_hours_of_a_windy_day() -> None:
    """A day of an hourly file is as good as its best hours, and names them."""
    rows = [
        f"2026-05-{d:02},{h},65,50,{4 if h in (7, 8, 9) else 20},0"
        for d in range(1, 5)
        for h in range(24)
    ]
    header = "date,hour,temp [F],humidity [%],wind [mph],rain [in]\n"
    weather = parse_weather(header + "\n".join(rows), "w.csv")
    (found,) = spray_days(weather, day("2026-05-02"), day("2026-05-02"), knowledge())
    assert (found.suits, found.hours) == (Truth.SHOWN, (7, 8, 9))
    dry = parse_weather(header + "\n".join(rows).replace(",65,50,", ",85,10,"), "w.csv")
    (found,) = spray_days(dry, day("2026-05-02"), day("2026-05-02"), knowledge())
    assert (found.suits, "dry-air" in found.reasons) == (Truth.RULED_OUT, True)


# ---- the document -------------------------------------------------------------------------------


def checked(document: dict[str, Any]) -> None:
    """Hold a document to its schema."""
    text = json.dumps(document, ensure_ascii=False)
    problems = Schemas(ROOT / "schemas").check("weather", read_text(text, "weather.json"))
    assert [p.text() for p in problems] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_documents_fit_their_schema(path: Path) -> None:
    """The JSON document of every file is as its schema has it."""
    checked(weather_document(report(read_weather(path), knowledge()), knowledge()))


def test_the_command_prints_only_the_document() -> None:
    """With --json the standard output is the document and nothing else."""
    code, out, _ = run(str(DATA / "newark-2013-02.csv"), "--json", "--region", "lake-plain")
    document = json.loads(out)
    checked(document)
    assert (code, document["region"], len(document["file"]["skipped"])) == (0, "lake-plain", 1)
    assert document["file"]["skipped"][0]["line"] == 101


def test_the_south_counts_from_its_own_new_year() -> None:
    """In the southern half of the globe heat is counted from half a year later."""
    base = knowledge()
    weather = daily([f"2026-10-{n:02},75,55,0,4" for n in range(1, 21)])
    found = report(weather, base, region=base.regions["south-downs"])
    assert found.counted[0].start == day("2026-07-02")
    crabgrass = base.heat.thresholds["crabgrass-starts-ohio"]
    assert season_start(crabgrass, day("2026-10-20"), south=True) == day("2026-07-02")
