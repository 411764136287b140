"""Plans as shown: the page, the document, the calendar, the sheet and its pictures.

Every example call's plan is put into every form. What stands in them is the planner's; here it is
held that nothing is left unfilled, cut, lost, unreadable for other programs, or from elsewhere.
"""

from __future__ import annotations

import datetime as dt
import itertools
import json
import re
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from example_calls import ROOT, diagnosis, knowledge
from icalendar import Calendar
from jsonschema import Draft202012Validator
from plan_cases import PLANNED, REFUSED, asked, day, planner, sheet, sheet_of
from referencing import Registry, Resource

from advisor.planning.from_call import Refused, request_from
from advisor.planning.request import Done
from advisor.planning.sheet import Sheet, gather
from advisor.render import plan_chars, plan_svg
from advisor.render.layout import NARROWEST, WIDEST, Page
from advisor.render.plan_calendar import plan_calendar
from advisor.render.plan_document import plan_document, refused_document
from advisor.render.plan_html import plan_html
from advisor.render.plan_page import plan_page, refused_page
from advisor.render.plan_tasks import tasks
from advisor.render.plan_words import joined, span
from advisor.render.plan_year import year_of
from advisor.weather.reading import parse_weather

BASE = knowledge()
UNFILLED = re.compile(r"[{}]|\bNone\b|\bnan\b|\binf\b|Truth\.|Span\(|Days\(")
EACH = pytest.mark.parametrize("name", PLANNED)

SCHEMAS = [
    json.loads(path.read_text(encoding="utf-8")) for path in (ROOT / "schemas").glob("*.json")
]
REGISTRY = Registry().with_resources([(s["$id"], Resource.from_contents(s)) for s in SCHEMAS])
(PLAN_SCHEMA,) = [s for s in SCHEMAS if s["title"] == "Plan"]
VALIDATOR = Draft202012Validator(PLAN_SCHEMA, registry=REGISTRY)

SEVERAL = {
    "weeds": ("ground-ivy", "wild-violet", "smooth-crabgrass"),
    "more": {"start": "2026-09-29", "days": 548, "features": ("shade", "pond-edge"),
             "mow_weekdays": frozenset({5}), "water_weekdays": frozenset({0, 2, 4})},
}  # fmt: skip


def several() -> Sheet:
    """The plan for three weeds, with mowing and watering days."""
    return sheet_of(*SEVERAL["weeds"], **SEVERAL["more"])


def with_forecast() -> Sheet:
    """A plan with the coming days."""
    request = asked("ground-ivy", start="2026-09-29")
    days = [dt.date(2026, 9, 28) + dt.timedelta(days=n) for n in range(10)]
    rows = [f"{d},66,48,{0.4 if d.day == 4 else 0},3" for d in days]
    weather = parse_weather("date,temp_max [F],temp_min [F],rain [in],wind [mph]\n"
                            + "\n".join(rows) + "\n", "coming.csv")  # fmt: skip
    return gather(planner(), planner().plan(request), BASE, coming=weather, comparing=True)


# ---- the page ------------------------------------------------------------------------------------


@EACH
@pytest.mark.parametrize("width", [1, 40, 60, 80, 88, 200])
def test_lines_fit(name: str, width: int) -> None:
    """No line is wider than asked, or than the narrowest and the widest page."""
    text = plan_page(sheet(name, True), BASE, Page(width))
    widest = max(NARROWEST, min(width, WIDEST))
    assert [line for line in text.splitlines() if len(line) > widest] == []


@EACH
def test_nothing_is_left_unfilled(name: str) -> None:
    """No placeholder and no name of the program's own shows on the page or the sheet."""
    text = plan_page(sheet(name, True), BASE, Page(80))
    assert UNFILLED.findall(text) == []
    body = re.sub(r"<style>.*?</style>", "", plan_html(sheet(name, True), BASE), flags=re.DOTALL)
    assert UNFILLED.findall(body) == []


@EACH
def test_a_page_without_color_is_plain(name: str) -> None:
    """Colors are codes alone: taken away, the colored page is the plain one."""
    plain = plan_page(sheet(name), BASE, Page(80))
    colored = plan_page(sheet(name), BASE, Page(80, color=True))
    assert re.sub("\x1b\\[[0-9;]*m", "", colored) == plain
    assert plain.isascii()


def test_stops_come_first_then_the_honest_word() -> None:
    """What must not be done stands before the plan, and what cannot be promised right after."""
    text = plan_page(sheet("nutsedge-soggy-corner"), BASE, Page(80))
    order = [text.index(BASE.phrases[head]) for head in
             ("head-stop", "plan-head-word", "plan-head-glance", "plan-head-picture")]  # fmt: skip
    assert order == sorted(order)
    assert "no spray is likely to clear it here" in text or "held down here" in text


def test_a_site_that_brings_the_weed_back_is_not_called_beaten() -> None:
    """Over a shallow water table the page says that the weed comes back, not that it is beaten."""
    found = sheet_of("yellow-nutsedge", start="2026-03-01", features=("high-water-table",))
    text = " ".join(plan_page(found, BASE, Page(80)).split())
    assert found.plan.beaten
    assert BASE.phrases["plan-site-back"] in text
    assert BASE.phrases["plan-beaten"] not in text


def test_why_a_weed_is_not_beaten_is_said() -> None:
    """No more was asked for, or labels and seasons allow no more: each is said where it is so."""
    few = plan_page(sheet_of("wild-violet", most=1), BASE, Page(80))
    none = plan_page(sheet_of("star-of-bethlehem", start="2026-02-01", days=150), BASE, Page(80))
    assert BASE.phrases["plan-not-beaten-most"] in " ".join(few.split())
    assert BASE.phrases["plan-not-beaten"] in " ".join(none.split())


def test_a_grass_nobody_told_is_to_be_found_out() -> None:
    """Without the turf the page names the grasses that the product hurts; with it, it does not."""
    text = " ".join(plan_page(sheet_of("ground-ivy", turf=None), BASE, Page(80)).split())
    assert "Find out the lawn grass first: Fellmark Creeper Ester hurts" in text
    assert "Find out the lawn grass" not in plan_page(sheet_of("ground-ivy"), BASE, Page(80))


@pytest.mark.parametrize("name", REFUSED)
def test_a_refusal_says_what_to_do_first(name: str) -> None:
    """Where the weed is in doubt the page says so, and how to settle its name."""
    why = request_from(diagnosis(name), BASE)
    assert isinstance(why, Refused)
    text = " ".join(refused_page(why, BASE, Page(80)).split())
    assert BASE.phrases["plan-refused-identify-first"] in text
    assert BASE.stops["identify-first"].until in text


def test_skipped_mowing_and_watering_stand_on_the_page() -> None:
    """The days to skip are named with their weekday."""
    found = several()
    text = " ".join(plan_page(found, BASE, Page(80)).split())
    near = found.steps[0].around
    assert near.skip_water
    for skipped in near.skip_water:
        assert f"{skipped:%a}, {skipped:%b} {skipped.day}" in text


def test_a_mix_said_before_refers_to_its_step() -> None:
    """The second step with the same mix says so instead of repeating it."""
    text = plan_page(sheet_of("ground-ivy", start="2026-09-29"), BASE, Page(80))
    assert text.count("0.73 fl oz (21.6 mL)") == 1
    assert text.count("As in step 1.") == 3


def test_a_plan_without_a_step_says_why() -> None:
    """Days that do not suit are named as the reason, with the days that each limit leaves."""
    closed = sheet_of("dandelion", days=40, not_before=day("2027-01-01"))
    text = " ".join(plan_page(closed, BASE, Page(80)).split())
    assert BASE.phrases["plan-none"] in text
    assert "the last spray is at work" in text
    assert re.search(r"Of 40 days are left: .*0 after the last spray's work", text)


def test_the_coming_days_are_marked() -> None:
    """Each day has a mark and a word; the first good one of the window is named."""
    text = plan_page(with_forecast(), BASE, Page(80))
    assert "Step 1: go on Thu, Oct 1." in text
    assert re.search(r"^  o Thu, Oct 1: go$", text, re.MULTILINE)
    assert re.search(r"^  x Sun, Oct 4: no - ", text, re.MULTILINE)


def test_other_ways_stand_side_by_side() -> None:
    """On a wide page the rows are a table, on a narrow one a list; all ways are in both."""
    found = sheet("ground-ivy-watered", True)
    names = [BASE.phrases[f"plan-row-{row.name}"] for row in found.rows]
    for width in (80, 50):
        text = plan_page(found, BASE, Page(width))
        assert all(name in text for name in names)


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        ("2026-10-01", "2026-10-01", "Oct 1, 2026"),
        ("2026-10-01", "2026-10-04", "Oct 1 to 4, 2026"),
        ("2026-10-29", "2026-11-01", "Oct 29 to Nov 1, 2026"),
        ("2026-12-28", "2027-01-03", "Dec 28, 2026 to Jan 3, 2027"),
    ],
)
def test_runs_of_days_read_well(first: str, last: str, words: str) -> None:
    """Month and year are said once where they are the same."""
    found = sheet_of("dandelion").plan.request.horizon
    assert span(type(found)(day(first), day(last))) == words


def test_lists_read_well() -> None:
    """Names are joined with commas and a word."""
    assert joined([]) == ""
    assert joined(["a"]) == "a"
    assert joined(["a", "b"], "or") == "a or b"
    assert joined(["a", "b", "c"]) == "a, b and c"


# ---- the picture in characters -------------------------------------------------------------------


@EACH
@pytest.mark.parametrize("width", [40, 60, 80])
def test_the_picture_fits_and_its_rows_line_up(name: str, width: int) -> None:
    """All rows are as wide as the picture; a column stands for the days it says."""
    year = year_of(sheet(name))
    drawn = plan_chars.draw(year, BASE, width)
    assert all(len(line) <= width for line in drawn.lines)
    assert all(line.isascii() for line in drawn.lines)
    columns = -(-len(year.horizon) // drawn.days_a_column)
    rows = [line for line in drawn.lines if set(line[20:]) & set("#+-")]
    assert rows
    assert max(len(row) for row in rows) <= width
    assert columns <= width


def test_the_picture_shows_every_step() -> None:
    """The number of every step stands in the steps' row, in the column of its best day."""
    year = year_of(several())
    drawn = plan_chars.draw(year, BASE, 80)
    (row,) = [line for line in drawn.lines if line.strip().startswith("steps")]
    label = len(row) - len(row.lstrip()) + 16 + 1
    for mark in year.steps:
        column = (mark.day - year.horizon.first).days // drawn.days_a_column
        assert row[label + column] == str(mark.number)


def test_what_is_left_falls_with_the_steps() -> None:
    """The bars of what is left never grow from one column to the next."""
    drawn = plan_chars.draw(year_of(several()), BASE, 80)
    bars = [line[19:] for line in drawn.lines if line.rstrip().endswith("#") and "%" in line[:20]]
    heights = [sum(bar[n : n + 1] == "#" for bar in bars) for n in range(61)]
    assert heights == sorted(heights, reverse=True)
    assert heights[0] > heights[-1] >= 0


# ---- the document --------------------------------------------------------------------------------


def test_the_schema_is_sound() -> None:
    """It is a schema, every property in it is described, and no object is open."""
    Draft202012Validator.check_schema(PLAN_SCHEMA)

    def look(node: object) -> None:
        if isinstance(node, dict):
            if "properties" in node and "type" in node:
                assert node["additionalProperties"] is False
                for name, each in node["properties"].items():
                    assert "description" in each, name
            for each in node.values():
                look(each)
        elif isinstance(node, list):
            for each in node:
                look(each)

    look(PLAN_SCHEMA)


@EACH
def test_documents_follow_the_schema(name: str) -> None:
    """Every example call's plan is a document as described, and survives JSON."""
    document = plan_document(sheet(name, True), BASE)
    assert list(VALIDATOR.iter_errors(document)) == []
    assert json.loads(json.dumps(document)) == document


def test_further_documents_follow_the_schema() -> None:
    """So do plans of several weeds, with a forecast, without a step, and refusals."""
    nothing = sheet_of("nimblewill", start="2026-12-05", days=60)
    for found in (several(), with_forecast(), nothing):
        assert list(VALIDATOR.iter_errors(plan_document(found, BASE))) == []
    for name in REFUSED:
        why = request_from(diagnosis(name), BASE)
        assert isinstance(why, Refused)
        assert list(VALIDATOR.iter_errors(refused_document(why, BASE))) == []


def test_a_document_holds_what_the_plan_holds() -> None:
    """Steps, days, shares and the mix are the planner's own figures."""
    found = several()
    document = plan_document(found, BASE)
    assert [s["day"] for s in document["steps"]] == [str(s.day) for s in found.plan.steps]
    assert document["control"] == pytest.approx(found.plan.control, abs=1e-6)
    last = document["steps"][-1]["alive_after"]
    assert {t["name"]: t["alive_at_end"] for t in document["targets"]} == last
    assert all(step["mix"]["refused"] == [] for step in document["steps"])


# ---- the calendar --------------------------------------------------------------------------------


@EACH
def test_calendars_can_be_read_and_hold_every_window(name: str) -> None:
    """Each step is an event over its window and one over its look, each with an alarm before."""
    found = sheet(name)
    calendar = Calendar.from_ical(plan_calendar(found, BASE))
    events = calendar.walk("VEVENT")
    assert len(events) == 2 * len(found.steps)
    windows = [(e["DTSTART"].dt, e["DTEND"].dt) for e in events]
    for step in found.steps:
        for days in (step.step.window, step.around.look):
            assert (days.first, days.last + dt.timedelta(days=1)) in windows
    for event in events:
        (alarm,) = event.walk("VALARM")
        assert alarm["TRIGGER"].dt == dt.timedelta(days=-1)
        assert alarm["ACTION"] == "DISPLAY"
        assert event["DTSTAMP"].dt.date() == found.plan.request.start
        assert type(event["DTSTART"].dt) is dt.date


def test_a_calendar_file_is_as_the_standard_wants_it() -> None:
    """Lines end in CR LF and hold at most 75 octets; the version and the maker are named."""
    content = plan_calendar(several(), BASE)
    lines = content.split(b"\r\n")
    assert lines[-1] == b""
    assert all(b"\n" not in line and len(line) <= 75 for line in lines)
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert b"VERSION:2.0" in lines
    assert any(line.startswith(b"PRODID:") for line in lines)


def test_the_same_plan_gives_the_same_calendar() -> None:
    """Made twice it is the same to the byte: no clock and no chance is in it."""
    assert plan_calendar(several(), BASE) == plan_calendar(several(), BASE)


def test_events_keep_their_names_when_a_plan_is_made_anew() -> None:
    """After the first step the events of the others have the names they had before."""
    request = asked("ground-ivy", start="2026-09-29")
    first = planner().plan(request)
    done = (Done(first.steps[0].day, first.steps[0].product.id),)
    anew = planner().plan(asked("ground-ivy", start="2026-09-29", done=done))
    names = [
        {e["UID"] for e in Calendar.from_ical(plan_calendar(gather(planner(), p, BASE), BASE))
         .walk("VEVENT")}
        for p in (first, anew)
    ]  # fmt: skip
    assert names[1] < names[0]
    assert len(names[0]) == 4
    other = sheet_of("wild-violet")
    assert not names[0] & {
        e["UID"] for e in Calendar.from_ical(plan_calendar(other, BASE)).walk("VEVENT")
    }


# ---- the sheet -----------------------------------------------------------------------------------

VOID = {"meta", "br", "hr", "img", "input", "link"}


class Reader(HTMLParser):
    """Reads a page and notes what is open, what is named and what it points to."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append((tag, dict(attrs)))
        self.ids += [value for name, value in attrs if name == "id" and value]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag that holds nothing."""
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        """Close what was opened last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note the text."""
        self.text.append(data)


def read(found: Sheet) -> Reader:
    """The sheet of a plan, read."""
    reader = Reader()
    reader.feed(plan_html(found, BASE))
    reader.close()
    return reader


@EACH
def test_sheets_are_whole_and_stand_alone(name: str) -> None:
    """Every tag is closed, every id is there once, and nothing comes from elsewhere."""
    reader = read(sheet(name, True))
    assert reader.open == []
    assert len(reader.ids) == len(set(reader.ids))
    pointed = {"src", "href", "action", "data", "poster", "srcset"}
    assert [a for _, a in reader.tags if pointed & a.keys()] == []
    assert [tag for tag, _ in reader.tags if tag in {"script", "link", "iframe", "object"}] == []
    assert "http" not in plan_html(sheet(name, True), BASE)
    for _, attributes in reader.tags:
        for label in (attributes.get("aria-labelledby") or "").split():
            assert label in reader.ids


def test_sheets_can_be_used_without_eyes_or_mouse() -> None:
    """A language, one main heading, heads for every table column, a described picture."""
    reader = read(several())
    tags = [tag for tag, _ in reader.tags]
    assert ("html", {"lang": "en"}) in reader.tags
    assert tags.count("h1") == 1
    assert tags.count("main") == 1
    assert all("scope" in attributes for tag, attributes in reader.tags if tag == "th")
    svg = next(attributes for tag, attributes in reader.tags if tag == "svg")
    assert svg["role"] == "img"
    picture = next(a for tag, a in reader.tags if tag == "figure")
    assert picture["tabindex"] == "0"
    levels = [int(tag[1]) for tag in tags if re.fullmatch(r"h[1-6]", tag)]
    assert all(b - a <= 1 for a, b in itertools.pairwise(levels))


def test_whatever_a_reference_holds_is_text() -> None:
    """A call's name with markup in it is shown, not obeyed."""
    request = asked("ground-ivy", reference='<script>alert("x")</script> & "co"')
    found = gather(planner(), planner().plan(request), BASE)
    page = plan_html(found, BASE)
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert '<script>alert("x")</script> & "co"' in "".join(read(found).text)


@EACH
def test_pictures_are_well_made(name: str) -> None:
    """The picture is sound XML with a title and a description, and draws every step's number."""
    found = sheet(name)
    root = ElementTree.fromstring(plan_svg.draw(year_of(found), BASE))
    assert root.find("title") is not None
    described = root.findtext("desc") or ""
    numbers = [t.text for t in root.iter("text") if t.get("class") == "dot-number"]
    assert numbers == [str(step.step.number) for step in found.steps]
    for step in found.steps:
        assert span(step.step.window) in described
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    for shape in root.iter("rect"):
        if "x" in shape.attrib and shape.get("class") != "hatch-ground":
            assert 0 <= float(shape.attrib["x"]) <= width
            assert float(shape.attrib["x"]) + float(shape.attrib["width"]) <= width + 0.2
            assert 0 <= float(shape.attrib["y"]) + float(shape.attrib["height"]) <= height


def test_tasks_are_in_order_and_complete() -> None:
    """Each step brings its last mowing and watering, itself, and its look, by date."""
    found = several()
    listed = tasks(found, BASE)
    assert [t.day for t in listed] == sorted(t.day for t in listed)
    for step in found.steps:
        assert step.step.day in [t.day for t in listed]
        assert step.around.look.first in [t.day for t in listed]
        if step.around.last_mowing is not None:
            assert step.around.last_mowing in [t.day for t in listed]


@EACH
def test_page_and_sheet_say_the_same(name: str) -> None:
    """Every sentence of the steps on the page stands on the sheet."""
    found = sheet(name)
    reader = " ".join(" ".join(read(found).text).split())
    document = plan_document(found, BASE)
    for step in document["steps"]:
        for text in step["parts"]["look"] + step["parts"]["left"] + step["parts"]["before"]:
            assert " ".join(text.split()) in reader
