"""Times as intervals: what is read, what is refused, how far apart two of them are."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from advisor.terms import Span, Truth
from advisor.when import When, WhenError, days_between, gap_hours, order, parse_when

EXACT = parse_when("2027-09-13 10:00")
DAY = parse_when("2027-09-13")
VAGUE = parse_when("about 2027-09-13")


def ends(text: str, anchor: When | None = None) -> str:
    """Both ends of a time, for comparing; one where they are the same."""
    found = parse_when(text, anchor)
    low, high = (f"{end:%Y-%m-%d %H:%M}" for end in (found.low, found.high))
    return low if low == high else f"{low} .. {high}"


def refusal(text: str, anchor: When | None = None) -> str:
    """What the error says of a time."""
    with pytest.raises(WhenError) as caught:
        parse_when(text, anchor)
    assert str(caught.value) == f"{caught.value.message}. {caught.value.hint}"
    return str(caught.value)


def outcome(text: str, anchor: When | None) -> When | WhenError:
    """The time read, or the error."""
    try:
        return parse_when(text, anchor)
    except WhenError as error:
        return error


# ---- reading ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2027-09-13 10:00", "2027-09-13 10:00"),
        ("2027-09-13T10:00", "2027-09-13 10:00"),
        ("2027-09-13 at 9:05", "2027-09-13 09:05"),
        ("2027-09-13 10am", "2027-09-13 10:00"),
        ("2027-09-13 10:30 PM", "2027-09-13 22:30"),
        ("2027-09-13 12 a.m.", "2027-09-13 00:00"),
        ("2027-09-13 12pm", "2027-09-13 12:00"),
        ("2027-09-13 24:00", "2027-09-14 00:00"),
        ("2027-09-13 about 10:00", "2027-09-13 09:00 .. 2027-09-13 11:00"),
        ("2027-09-13", "2027-09-13 00:00 .. 2027-09-14 00:00"),
        ("2027-9-3", "2027-09-03 00:00 .. 2027-09-04 00:00"),
        ("2027-09-13 morning", "2027-09-13 06:00 .. 2027-09-13 11:00"),
        ("2027-09-13, in the Morning", "2027-09-13 06:00 .. 2027-09-13 11:00"),
        ("2027-09-13 noon", "2027-09-13 11:00 .. 2027-09-13 13:00"),
        ("2027-09-13 afternoon", "2027-09-13 12:00 .. 2027-09-13 18:00"),
        ("2027-09-13 evening", "2027-09-13 17:00 .. 2027-09-13 22:00"),
        ("2027-12-31 night", "2027-12-31 20:00 .. 2028-01-01 06:00"),
        ("the night of 2027-12-31", "2027-12-31 20:00 .. 2028-01-01 06:00"),
        ("about 2027-09-13", "2027-09-10 00:00 .. 2027-09-17 00:00"),
        ("around 2027-09-13 morning", "2027-09-10 06:00 .. 2027-09-16 11:00"),
        ("between 2027-09-10 and 2027-09-14", "2027-09-10 00:00 .. 2027-09-15 00:00"),
        ("2027-09-10 to 2027-09-14", "2027-09-10 00:00 .. 2027-09-15 00:00"),
        ("from 2027-09-10 – 2027-09-14", "2027-09-10 00:00 .. 2027-09-15 00:00"),
        (
            "between 2027-09-10 evening and about 2027-09-14 noon",
            "2027-09-10 17:00 .. 2027-09-17 13:00",
        ),
        ("between 2027-09-13 8 am and 10:30 am", "2027-09-13 08:00 .. 2027-09-13 10:30"),
        ("2 days before 2027-03-01", "2027-02-27 00:00 .. 2027-02-28 00:00"),
        ("2 days before 2028-03-01", "2028-02-28 00:00 .. 2028-02-29 00:00"),
        ("the day before 2028-03-01", "2028-02-29 00:00 .. 2028-03-01 00:00"),
        ("3 hours after 2027-09-13 22:00", "2027-09-14 01:00"),
        ("2028-02-29", "2028-02-29 00:00 .. 2028-03-01 00:00"),
        ("2000-02-29", "2000-02-29 00:00 .. 2000-03-01 00:00"),
        ("1950-01-01 00:00", "1950-01-01 00:00"),
        ("2150-12-31", "2150-12-31 00:00 .. 2151-01-01 00:00"),
    ],
)
def test_reads(text: str, expected: str) -> None:
    """Every way of giving a time reads as the interval it means."""
    assert ends(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2 days before spraying", "2027-09-11 00:00 .. 2027-09-12 00:00"),
        ("two days before spraying", "2027-09-11 00:00 .. 2027-09-12 00:00"),
        ("a week after the treatment", "2027-09-20 00:00 .. 2027-09-21 00:00"),
        ("between 2 and 3 days before spraying", "2027-09-10 00:00 .. 2027-09-12 00:00"),
        ("a day or two after spraying", "2027-09-14 00:00 .. 2027-09-16 00:00"),
        ("within 2 days after spraying", "2027-09-13 10:00 .. 2027-09-16 00:00"),
        ("about 4 days after spraying", "2027-09-16 00:00 .. 2027-09-19 00:00"),
        ("3 hours after spraying", "2027-09-13 13:00"),
        ("2 to 3 h before spraying", "2027-09-13 07:00 .. 2027-09-13 08:00"),
        ("half an hour before spraying", "2027-09-13 09:30"),
        ("the day before spraying", "2027-09-12 00:00 .. 2027-09-13 00:00"),
        ("the day after spraying", "2027-09-14 00:00 .. 2027-09-15 00:00"),
        ("day of spraying", "2027-09-13 00:00 .. 2027-09-14 00:00"),
        ("same day", "2027-09-13 00:00 .. 2027-09-14 00:00"),
        ("that morning", "2027-09-13 06:00 .. 2027-09-13 11:00"),
        ("the morning of spraying", "2027-09-13 06:00 .. 2027-09-13 11:00"),
        ("the morning after spraying", "2027-09-14 06:00 .. 2027-09-14 11:00"),
        ("the evening before spraying", "2027-09-12 17:00 .. 2027-09-12 22:00"),
        ("the evening after spraying", "2027-09-13 17:00 .. 2027-09-13 22:00"),
        ("the night before spraying", "2027-09-12 20:00 .. 2027-09-13 06:00"),
        ("the night after spraying", "2027-09-13 20:00 .. 2027-09-14 06:00"),
        ("spraying", "2027-09-13 10:00"),
        ("between 2 days before spraying and spraying", "2027-09-11 00:00 .. 2027-09-13 10:00"),
    ],
)
def test_reads_beside_the_spraying(text: str, expected: str) -> None:
    """Times told by the spraying at ten on 13 September read as the days and hours they mean."""
    assert ends(text, EXACT) == expected


def test_beside_an_uncertain_spraying() -> None:
    """A time told by a spraying whose day is not sure is as unsure as the spraying."""
    assert ends("2 days before spraying", VAGUE) == "2027-09-08 00:00 .. 2027-09-15 00:00"
    assert ends("3 hours after spraying", DAY) == "2027-09-13 03:00 .. 2027-09-14 03:00"
    assert ends("the evening after spraying", parse_when("2027-09-13 19:00")) == (
        "2027-09-14 17:00 .. 2027-09-14 22:00"
    )


def test_relation_is_kept() -> None:
    """How far a time is from the spraying it was told by does not depend on when that was."""
    for anchor in (EXACT, DAY, VAGUE):
        three_hours = parse_when("3 hours before spraying", anchor)
        assert gap_hours(three_hours, anchor) == Span(3, 3)
        assert gap_hours(anchor, three_hours) == Span(-3, -3)
        three_weeks = parse_when("3 weeks after spraying", anchor)
        assert days_between(anchor, three_weeks) == Span(21, 21)
        assert days_between(three_weeks, anchor) == Span(-21, -21)
        assert order(parse_when("the day before spraying", anchor), anchor) is Truth.SHOWN
    day_before = parse_when("the day before spraying", VAGUE)
    assert gap_hours(day_before, VAGUE) == Span(0, 48)
    assert gap_hours(day_before, EXACT) == Span(-62, 106)


def test_keeps_what_was_said() -> None:
    """A time keeps the words it was read from, and they do not make it another time."""
    assert parse_when(" 2027-09-13   10am ").text == "2027-09-13 10am"
    assert parse_when("2027-09-13 10am") == parse_when("2027-09-13 10:00")


# ---- refusing --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2027-02-30", "`2027-02-30` has no such day: 30. February 2027 has 28 days."),
        ("2027-02-29", "February 2027 has 28 days."),
        ("2100-02-29", "February 2100 has 28 days."),
        ("2027-09-00", "has no such day: 0"),
        ("2027-13-01", "`2027-13-01` has no such month: 13. Months run from 01 to 12."),
        ("2027-09-13 25:00", "`25:00` has no such hour: 25. Hours run from 00:00 to 24:00."),
        ("2027-09-13 24:01", "has no such hour: 24"),
        ("25:00", "`25:00` has no such hour: 25."),
        ("2027-09-13 10:75", "`10:75` has no such minute or second. They run from 00 to 59."),
        ("2027-09-13 13 pm", "`13 pm` has no such hour: 13. With am or pm hours run 1 to 12."),
        ("2027-09-13 10", "`10` is not a whole time. Write 10:00, 10 am or 10 pm."),
        ("2027-09-13 midnight", "Write 00:00 for the start of the day, 24:00 for its end."),
        ("2027-09-13 10:00Z", "Times are local: leave the zone out."),
        ("2027-09-13 10:00+02:00", "Times are local: leave the zone out."),
        ("2027-09-13 mornin", "`mornin` is not a time of day known here. Did you mean morning?"),
        ("2027-09-13 zzz", "Write 10:00, 10 am or one of morning, noon, afternoon, evening, night"),
        ("9/13/2027", "is not written as YYYY-MM-DD. Write 2027-09-13 (September 13)."),
        ("13.9.2027", "is not written as YYYY-MM-DD. Write 2027-09-13 (September 13)."),
        ("9/10/2027", "Write 2027-09-10 (September 10) or 2027-10-09 (October 9)."),
        ("9.10.27", "Write 2027-10-09 (October 9) or 2027-09-10 (September 10)."),
        ("9/9/2027", "Write 2027-09-09 (September 9)."),
        ("2027/09/13", "Write 2027-09-13 (September 13)."),
        ("20270913", "Write 2027-09-13 (September 13)."),
        ("Sept 13th, 2027", "Write 2027-09-13 (September 13)."),
        ("13/13/2027", "`13/13/2027` does not give a date. Write YYYY-MM-DD,"),
        ("September 2027", "For part of a month write between YYYY-MM-DD and YYYY-MM-DD."),
        ("2027-09", "For part of a month write between YYYY-MM-DD and YYYY-MM-DD."),
        ("yesterday", "`yesterday` does not give a date."),
        ("", "does not give a date"),
        ("10:00", "`10:00` has no date. Write the date before it: YYYY-MM-DD 10:00."),
        ("morning", "`morning` has no date."),
        ("1949-12-31", "`1949-12-31` is outside the years 1950 to 2150."),
        ("2151-01-01", "outside the years 1950 to 2150"),
        ("about 1950-01-02", "outside the years 1950 to 2150"),
        ("60 years before 2000-01-01", "outside the years 1950 to 2150"),
        ("90000 years after 2000-01-01", "outside the years 1950 to 2150"),
        (
            "between 2027-09-14 and 2027-09-10",
            "`2027-09-10` comes before `2027-09-14`. Write the earlier time first.",
        ),
        ("before 2027-09-13", "does not say how long before. Write e.g. 2 days before."),
        ("at least 2 days after 2027-09-13", "`at least 2 days` has an open end."),
        ("2 fl oz before 2027-09-13", "`2 fl oz` is a volume; a time is wanted here."),
        ("2 before 2027-09-13", "`2` has no unit. Write 2 h, 2 days or 2 weeks."),
        ("2 days before lunch", "`lunch` does not give a date."),
        ("2 days before spraying", "`2 days before spraying` needs to know when it was sprayed."),
        ("the morning of spraying", "needs to know when it was sprayed"),
        ("same day", "`same day` needs to know when it was sprayed."),
        ("x" * 200, "is too long for a time"),
    ],
)
def test_refuses(text: str, said: str) -> None:
    """Every time that cannot be used is refused with what is wrong and what to write."""
    assert said in refusal(text)


def test_a_time_needs_its_ends_in_order() -> None:
    """A time whose end comes before its start cannot be made."""
    with pytest.raises(ValueError, match="low <= high"):
        When(EXACT.high, EXACT.low - timedelta(hours=1))


# ---- gaps ------------------------------------------------------------------------------------


def test_gap_hours() -> None:
    """The gap between two times runs from the nearest they can be to the farthest."""
    watered = parse_when("2027-09-13 morning")
    assert gap_hours(watered, EXACT) == Span(-1, 4)
    assert gap_hours(parse_when("2027-09-12"), EXACT) == Span(10, 34)
    assert gap_hours(parse_when("2028-02-28 10:00"), parse_when("2028-03-01 10:00")) == Span(48, 48)
    assert gap_hours(parse_when("2027-02-28 10:00"), parse_when("2027-03-01 10:00")) == Span(24, 24)


def test_days_between() -> None:
    """Days are counted by dates, as on a calendar, whatever the hours."""
    first, again = parse_when("2027-09-01 18:00"), parse_when("2027-09-29 07:00")
    assert days_between(first, again) == Span(28, 28)
    assert days_between(parse_when("2027-09-01"), parse_when("2027-09-29")) == Span(28, 28)
    assert days_between(parse_when("about 2027-09-04"), again) == Span(22, 28)
    assert days_between(again, first) == Span(-28, -28)
    assert days_between(parse_when("2028-02-28"), parse_when("2028-03-01")) == Span(2, 2)


def test_order() -> None:
    """One time is before another for certain, possibly, or not at all."""
    assert order(parse_when("2027-09-12"), EXACT) is Truth.SHOWN
    assert order(parse_when("2027-09-12"), DAY) is Truth.SHOWN
    assert order(DAY, parse_when("2027-09-12")) is Truth.RULED_OUT
    assert order(DAY, EXACT) is Truth.OPEN
    assert order(EXACT, EXACT) is Truth.RULED_OUT


START = datetime(2020, 1, 1)
moments = st.datetimes(START, datetime(2040, 12, 31)).map(lambda d: d.replace(microsecond=0))


@st.composite
def spans(draw: st.DrawFn) -> When:
    """Any time of up to some weeks."""
    low = draw(moments)
    return When(low, low + timedelta(minutes=draw(st.integers(0, 50_000))))


@st.composite
def narrower(draw: st.DrawFn, wide: When) -> When:
    """A time within the wide one."""
    length = int((wide.high - wide.low).total_seconds())
    a, b = sorted(draw(st.tuples(st.integers(0, length), st.integers(0, length))))
    return When(wide.low + timedelta(seconds=a), wide.low + timedelta(seconds=b))


@given(st.data(), spans(), spans())
def test_knowing_more_never_widens_a_gap(data: st.DataObject, a: When, b: When) -> None:
    """Where a time is told more exactly, gaps and days get no wider and an order stays known."""
    less, more = data.draw(narrower(a)), data.draw(narrower(b))
    assert less.within(a)
    assert gap_hours(less, more).within(gap_hours(a, b))
    assert days_between(less, more).within(days_between(a, b))
    if order(a, b) is not Truth.OPEN and (less.low < less.high or more.low < more.high):
        assert order(less, more) is order(a, b)


@given(spans(), spans())
def test_gaps_turn_round(a: When, b: When) -> None:
    """The gap from b to a is the gap from a to b with its sign turned; so are the days."""
    for measure in (gap_hours, days_between):
        there, back = measure(a, b), measure(b, a)
        assert back == Span(-there.high, -there.low)
    assume(a != b or a.low < a.high)
    turned = {Truth.SHOWN: Truth.RULED_OUT, Truth.RULED_OUT: Truth.SHOWN, Truth.OPEN: Truth.OPEN}
    assert order(b, a) is turned[order(a, b)]


def part_of(moment: datetime) -> str:
    """A part of the day that the moment lies in, or nothing."""
    parts = {"morning": (6, 11), "noon": (11, 13), "afternoon": (12, 18), "evening": (17, 22)}
    hour = moment.hour + moment.minute / 60 + moment.second / 3600
    return next((name for name, (low, high) in parts.items() if low <= hour <= high), "")


@st.composite
def told(draw: st.DrawFn) -> tuple[datetime, str]:
    """A moment, and one true way of telling it."""
    moment = draw(moments)
    off = timedelta(days=draw(st.integers(-3, 3)))
    before, after = (timedelta(days=draw(st.integers(0, 9))) for _ in range(2))
    clock = f"{moment.hour % 12 or 12}:{moment:%M:%S} {'pm' if moment.hour >= 12 else 'am'}"
    ways = [
        f"{moment:%Y-%m-%d %H:%M:%S}",
        f"{moment:%Y-%m-%d} {clock}",
        f"{moment:%Y-%m-%d}",
        f"about {moment + off:%Y-%m-%d}",
        f"{moment:%Y-%m-%d} {part_of(moment)}",
        f"about {moment + off:%Y-%m-%d} {part_of(moment)}",
        f"between {moment - before:%Y-%m-%d} and {moment + after:%Y-%m-%d}",
        f"{before.days} days before {moment + before:%Y-%m-%d}",
        f"{after.days} days after {moment - after:%Y-%m-%d}",
        f"{after.days} h after {moment - timedelta(hours=after.days):%Y-%m-%d %H:%M:%S}",
    ]
    return moment, draw(st.sampled_from(ways)).strip()


@given(told())
def test_reading_holds_the_moment(case: tuple[datetime, str]) -> None:
    """Every true way of telling a moment reads as a time that holds it."""
    moment, text = case
    found = parse_when(text)
    assert found.low <= moment <= found.high


@given(st.data(), spans())
def test_relation_holds_the_moment(data: st.DataObject, anchor: When) -> None:
    """What is told by an unsure spraying holds the moment meant, and so do gap and days."""
    second, day = timedelta(seconds=1), timedelta(days=1)
    sprayed = anchor.low + second * data.draw(
        st.integers(0, int((anchor.high - anchor.low).total_seconds()))
    )
    assume(sprayed.date() <= anchor.last_day)
    count = data.draw(st.integers(1, 40))
    side, sign = data.draw(st.sampled_from([("before", -1), ("after", 1)]))
    midnight = datetime.combine(sprayed.date(), datetime.min.time())
    any_hour = timedelta(seconds=data.draw(st.integers(0, 86_399)))
    evening = timedelta(hours=data.draw(st.integers(17, 22)))
    text, moment = data.draw(
        st.sampled_from(
            [
                (
                    f"{count} days {side} spraying",
                    midnight + sign * count * day + any_hour,
                ),
                (f"{count} hours {side} spraying", sprayed + sign * timedelta(hours=count)),
                (f"the day {side} spraying", midnight + sign * day + any_hour),
                ("the same day", midnight + any_hour),
                ("the evening of spraying", midnight + evening),
                ("the evening before spraying", midnight - day + evening),
            ]
        )
    )
    found = parse_when(text, anchor)
    assert found.low <= moment <= found.high
    hours = (sprayed - moment) / timedelta(hours=1)
    gap, days = gap_hours(found, anchor), days_between(found, anchor)
    assert gap.low - 1e-9 <= hours <= gap.high + 1e-9
    assert days.low <= (sprayed.date() - moment.date()).days <= days.high


WORDS = """2027-09-13 1950-01-01 2150-12-31 2027-02-30 9/13/2027 10:00 25:00 10 am pm about between
and to from before after of spraying the same day morning night 2 days h months half a 99999 years
within under 1/0 T Z sept -"""
any_text = st.one_of(
    st.text(max_size=40), st.lists(st.sampled_from(WORDS.split()), max_size=7).map(" ".join)
)


@given(any_text, st.sampled_from([None, EXACT, DAY, VAGUE]))
def test_no_text_breaks_it(text: str, anchor: When | None) -> None:
    """No text at all raises anything but the module's own error."""
    found = outcome(text, anchor)
    if isinstance(found, WhenError):
        assert found.message
        assert found.hint.endswith((".", "?"))
    else:
        assert found.low <= found.high
