"""`cameback plan` as it is typed: options, files, refusals, mistakes, exit codes.

Runs the command in this process. What a plan holds is tested elsewhere; here it is that every
option reaches the plan, and that whatever cannot be read ends with what is right.
"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest
from example_calls import PATHS
from icalendar import Calendar
from typer.testing import CliRunner, Result

from cli import plans
from cli.main import app

ROOT = Path(__file__).resolve().parents[1]
BARE = ("--weed", "ground-ivy", "--region", "lake-plain", "--from", "2026-09-29")
LAWN = (*BARE, "--turf", "tall-fescue", "--product", "fellmark-ester")
ANY = (*BARE, "--turf", "tall-fescue")


@pytest.fixture(autouse=True)
def cache(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Keep the knowledge base's copy out of the home folder."""
    monkeypatch.setenv("CAMEBACK_CACHE", str(tmp_path_factory.getbasetemp() / "kept"))


def run(*words: str) -> Result:
    """Run `cameback plan`."""
    return CliRunner().invoke(app, ["plan", *words])


def document(*words: str) -> dict[str, Any]:
    """The document that `--json` prints."""
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return dict(json.loads(result.stdout))


def days(found: dict[str, Any]) -> list[str]:
    """The days of the steps."""
    return [step["day"] for step in found["steps"]]


# ---- options -------------------------------------------------------------------------------------


def test_a_weed_and_a_place_are_enough() -> None:
    """The page of a plan comes out, with two dated steps."""
    result = run(*LAWN)
    assert result.exit_code == 0
    assert "STEP 1: Oct 1 to 4, 2026" in result.stdout
    assert "STEP 2: Oct 29 to Nov 1, 2026" in result.stdout
    assert result.stderr == ""


def test_without_a_day_it_starts_today() -> None:
    """The first day of the plan is today."""
    found = document("--weed", "dandelion", "--region", "lake-plain", "--days", "5")
    assert found["asked"]["days"]["first"] == str(dt.date.today())


@pytest.mark.parametrize("name", PATHS)
def test_every_example_call_gets_an_answer(name: str) -> None:
    """A plan or a reason why there is none: exit code 0 and a document either way."""
    found = document(str(PATHS[name]))
    assert (found["refused"] is None) == ("steps" in found)


def test_several_weeds_features_and_days() -> None:
    """Weeds, features and the number of days are those told, each once."""
    found = document(*LAWN, "--weed", "wild-violet", "--weed", "ground-ivy", "--feature", "shade",
                     "--days", "300")  # fmt: skip
    assert found["asked"]["weeds"] == ["ground-ivy", "wild-violet"]
    assert found["asked"]["features"] == ["shade"]
    assert found["asked"]["days"] == {"first": "2026-09-29", "last": "2027-07-25"}


def test_only_the_products_asked_for_are_used() -> None:
    """With one product named no other is planned."""
    found = document(*ANY, "--product", "larkmoor-broadleaf")
    assert {step["product"] for step in found["steps"]} == {"larkmoor-broadleaf"}


def test_most_caps_the_number() -> None:
    """With one application wanted there is one."""
    assert len(document(*LAWN, "--most", "1")["steps"]) == 1
    assert document(*LAWN, "--most", "0")["steps"] == []


def test_days_that_do_not_suit() -> None:
    """No step lies in them, a single day or a run."""
    found = document(*LAWN, "--not", "2026-09-29", "--not", "2026-09-30..2026-10-10")
    assert days(found)[0] > "2026-10-10"


def test_mowing_and_watering_are_skipped_or_kept() -> None:
    """Skipped days are named; with mowing kept no step lies next to one."""
    found = document(*LAWN, "--mow", "fri", "--water", "Wed,Thursday")
    assert found["steps"][0]["skip_mowing"] == ["2026-10-02"]
    assert found["steps"][0]["skip_water"] == ["2026-09-30", "2026-10-01"]
    kept = document(*LAWN, "--mow", "fri", "--keep-mowing")
    assert all(step["skip_mowing"] == [] for step in kept["steps"])
    for day in days(kept):
        near = [dt.date.fromisoformat(day) + dt.timedelta(days=n) for n in (-1, 0, 1)]
        assert all(d.weekday() != 4 for d in near)


def test_sowing_is_kept_clear() -> None:
    """Seed on September 25 keeps triclopyr away for 42 days."""
    found = document(*LAWN, "--seed", "2026-09-25")
    assert days(found)[0] >= "2026-11-06"
    assert found["asked"]["seeding"] == ["2026-09-25"]


def test_what_was_done_counts() -> None:
    """The second step of the plan is the first one left, under its own number."""
    whole = document(*LAWN)
    done = f"{whole['steps'][0]['day']}:fellmark-ester"
    rest = document(*LAWN, "--done", done)
    assert days(rest) == days(whole)[1:]
    assert rest["steps"][0]["number"] == 2


def test_what_went_wrong_counts_too() -> None:
    """A first spray that was washed off takes one more spray."""
    well = document(*LAWN, "--done", "2026-10-01:fellmark-ester")
    badly = document(*LAWN, "--done", "2026-10-01:fellmark-ester:washed-off")
    assert len(badly["steps"]) > len(well["steps"])
    assert badly["asked"]["done"][0]["went_wrong"] == ["washed-off"]


def test_a_share_left_is_taken() -> None:
    """60 % for all weeds, or for one of them."""
    both = document(*LAWN, "--weed", "wild-violet", "--left", "60%", "--left", "wild-violet:30 %")
    alive = {t["weed"]: t["alive_now"]["expected"] for t in both["targets"]}
    assert alive == {"ground-ivy": 0.6, "wild-violet": 0.3}


def test_the_patient_and_the_licensed() -> None:
    """Patience never sprays sooner; a license opens the licensed product."""
    hasty, patient = document(*ANY, "--days", "500"), document(*ANY, "--days", "500", "--patient")
    assert days(patient) >= days(hasty)
    assert "tallowdene-ester" in {b["product"] for b in hasty["barred"]}
    assert "tallowdene-ester" not in {b["product"] for b in document(*ANY, "--pro")["barred"]}


def test_spots_may_lose_their_grass() -> None:
    """Quackgrass gets a plan only where the grass may die with it."""
    words = ("--weed", "quackgrass", "--region", "lake-plain", "--from", "2026-08-20")
    assert document(*words)["steps"] == []
    assert len(document(*words, "--spot-kill")["steps"]) == 2


def test_other_ways_and_what_is_intended() -> None:
    """Rows come out with --compare, and with --intend the customer's own days."""
    assert document(*LAWN)["compared"] == []
    ways = [row["way"] for row in document(*LAWN, "--compare")["compared"]]
    assert ways[0] == "intended"
    assert ways[-1] == "plan"
    meant = document(*LAWN, "--intend", "2026-11-20:larkmoor-broadleaf")["compared"][0]
    assert meant["days"] == ["2026-11-20"]


def test_weeds_and_a_place_beside_a_call() -> None:
    """A call without a region is planned with one given; another weed joins its own."""
    call = str(PATHS["violet-it-came-back"])
    assert document(call)["refused"]["why"] == "no-region"
    found = document(call, "--region", "lake-plain", "--weed", "ground-ivy")
    assert found["asked"]["weeds"] == ["wild-violet", "ground-ivy"]


# ---- files ---------------------------------------------------------------------------------------


def test_a_calendar_and_a_sheet_are_written(tmp_path: Path) -> None:
    """Both files are whole, and the page is printed all the same."""
    ics, html = tmp_path / "plan.ics", tmp_path / "plan.html"
    result = run(*LAWN, "--ics", str(ics), "--html", str(html))
    assert result.exit_code == 0
    assert "STEP 1" in result.stdout
    assert len(Calendar.from_ical(ics.read_bytes()).walk("VEVENT")) == 4
    assert html.read_text(encoding="utf-8").endswith("</html>\n")


def test_a_file_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    """A folder that is not there is usage, with the system's reason."""
    result = run(*LAWN, "--ics", str(tmp_path / "no" / "plan.ics"))
    assert result.exit_code == 2
    assert "cannot write" in result.stderr


def made_up(first: int, last: int) -> str:
    """Years of weather that never changes."""
    start, end = dt.date(first, 1, 1), dt.date(last, 12, 31)
    rows = [f"{start + dt.timedelta(days=n)},65,45,0,3" for n in range((end - start).days + 1)]
    return "\n".join(["date,temp_max [F],temp_min [F],rain [in],wind [mph]", *rows]) + "\n"


def test_years_of_weather_replace_the_usual_months(tmp_path: Path) -> None:
    """In a place where it never rains and no wind blows every day of the window suits."""
    file = tmp_path / "steady.csv"
    file.write_text(made_up(2021, 2024), encoding="utf-8")
    found = document(*LAWN, "--weather", str(file))
    assert found["climate"] == "4 years of steady.csv"
    assert found["steps"][0]["suits"] == 1.0


def test_a_few_days_of_weather_are_no_climate(tmp_path: Path) -> None:
    """Less than a year is usage, and points to --forecast."""
    file = tmp_path / "week.csv"
    file.write_text(made_up(2024, 2024)[:400].rsplit("\n", 1)[0] + "\n", encoding="utf-8")
    result = run(*LAWN, "--weather", str(file))
    assert result.exit_code == 2
    assert "--forecast" in result.stderr


def test_the_coming_days_are_judged(tmp_path: Path) -> None:
    """The forecast's verdict on the next step is in the document."""
    file = tmp_path / "coming.csv"
    rows = [f"2026-{m},66,48,0,3" for m in ("09-29", "09-30", "10-01", "10-02", "10-03", "10-04")]
    head = "date,temp_max [F],temp_min [F],rain [in],wind [mph]"
    file.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    told = document(*LAWN, "--forecast", str(file))["forecast"]
    assert (told["word"], told["day"]) == ("go", "2026-10-01")


# ---- mistakes ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "--weed"),
        (("--weed", "ground-ivy"), "--region"),
        (("--weed", "ground-ivi", "--region", "lake-plain"), "ground-ivy"),
        ((*BARE, "--turf", "tall-fescu"), "tall-fescue"),
        ((*LAWN, "--product", "fellmark"), "fellmark-ester"),
        ((*LAWN, "--feature", "shady"), "shade"),
        (("--weed", "ground-ivy", "--region", "lake-plan"), "lake-plain"),
        ((*BARE[:4], "--from", "29.9.2026"), "YYYY-MM-DD"),
        ((*LAWN, "--not", "2026-10-10..2026-10-01"), "backwards"),
        ((*LAWN, "--not", "October"), "YYYY-MM-DD"),
        ((*LAWN, "--mow", "someday"), "mon, tue"),
        ((*LAWN, "--water", "8"), "mon, tue"),
        ((*LAWN, "--done", "2026-10-01"), "DATE:PRODUCT"),
        ((*LAWN, "--done", "2026-10-01:fellmark-ster"), "fellmark-ester"),
        ((*LAWN, "--done", "2026-10-01:fellmark-ester:washed"), "washed-off"),
        ((*LAWN, "--done", "soon:fellmark-ester"), "YYYY-MM-DD"),
        ((*LAWN, "--left", "half"), "60%"),
        ((*LAWN, "--left", "160%"), "60%"),
        ((*LAWN, "--left", "dandelion:60%"), "ground-ivy"),
        ((*LAWN, "--days", "551"), "550"),
        ((*LAWN, "--days", "0"), "--days"),
        ((*LAWN, "--most", "13"), "--most"),
    ],
)
def test_words_that_cannot_be_used_end_with_what_is_right(
    words: tuple[str, ...], said: str
) -> None:
    """Exit code 2, nothing on the standard output, what is right on the error stream."""
    result = run(*words)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert said in result.stderr
    assert "Traceback" not in result.stderr


def test_a_call_that_is_wrong_is_not_planned(tmp_path: Path) -> None:
    """A call file with mistakes ends with exit code 1, and so does one that is not there."""
    file = tmp_path / "call.yaml"
    file.write_text("call: X\nreported: someday\n", encoding="utf-8")
    result = run(str(file))
    assert result.exit_code == 1
    assert "call.yaml:2:" in result.stderr
    assert run(str(tmp_path / "none.yaml")).exit_code == 1


def test_weather_that_cannot_be_read_is_a_problem(tmp_path: Path) -> None:
    """A weather file with no column that is known ends with exit code 1."""
    file = tmp_path / "odd.csv"
    file.write_text("a,b\n1,2\n", encoding="utf-8")
    for option in ("--weather", "--forecast"):
        result = run(*LAWN, option, str(file))
        assert result.exit_code == 1
        assert "odd.csv" in result.stderr


def test_a_refusal_is_an_answer() -> None:
    """A call whose weed is in doubt says to name it first, and exits with 0."""
    result = run(str(PATHS["what-is-it"]))
    assert result.exit_code == 0
    assert "No plan before the weed is named" in result.stdout


def test_help_is_quick_and_has_an_example() -> None:
    """The help names every option and an example that works as it stands."""
    result = CliRunner().invoke(app, ["plan", "--help"])
    text = " ".join(result.stdout.split())
    assert result.exit_code == 0
    for option in (
        "--weed",
        "--not",
        "--keep-mowing",
        "--done",
        "--forecast",
        "--ics",
        "--compare",
    ):
        assert option in text
    example = str(plans.plan.__doc__).split("Example: cameback plan ")[1].split()
    assert run(*example).exit_code == 0
