"""A sloppy account with a weather file beside it: what was open becomes shown or ruled out."""

from __future__ import annotations

from pathlib import Path

from advisor.call import load_call, load_weather_of
from advisor.diagnosis import Advisor
from advisor.fact import WEATHER
from advisor.terms import Truth

EXAMPLE = Path(__file__).parent.parent / "knowledge/examples/ground-ivy-with-weather.yaml"


def statuses(advisor: Advisor, *, with_weather: bool) -> dict[str, Truth]:
    call = load_call(EXAMPLE, advisor.base)
    weather = load_weather_of(call) if with_weather else None
    found = {c.cause.id: c.truth for c in advisor.diagnose(call, weather).weighing.causes}
    return {name: found.get(name, Truth.RULED_OUT) for name in advisor.base.causes}


def test_the_file_settles_what_the_caller_left_open(advisor: Advisor) -> None:
    """Too cold goes from open to shown and too hot from open to ruled out, by the file alone."""
    without, with_it = (statuses(advisor, with_weather=w) for w in (False, True))
    assert (without["too-cold"], with_it["too-cold"]) == (Truth.OPEN, Truth.SHOWN)
    assert (without["too-hot"], with_it["too-hot"]) == (Truth.OPEN, Truth.RULED_OUT)


def test_the_file_overturns_nothing_that_was_certain(advisor: Advisor) -> None:
    """A cause that was shown or ruled out without the file stays so with it."""
    without, with_it = (statuses(advisor, with_weather=w) for w in (False, True))
    settled = {name: t for name, t in without.items() if t is not Truth.OPEN}
    assert {name: with_it[name] for name in settled} == settled


def test_the_origin_names_the_file_and_the_day(advisor: Advisor) -> None:
    """The temperature fact says which line of which file it was read from."""
    call = load_call(EXAMPLE, advisor.base)
    air = advisor.diagnose(call, load_weather_of(call)).facts.of_applications[0]["air_temp"]
    assert air.origin.how == WEATHER
    assert "lake-plain-2026.csv:275 (2026-10-03)" in air.origin.words
