"""From what somebody caught, timed and paced, in their words, to what the sprayer puts out.

The command line hands its words over here, one function a method, and `calibrate` does the
arithmetic. Words that cannot be used are an `AskError`; what the result means is for `calibration`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from advisor.dose import calibrate, sprayer
from advisor.dose.asking import GRANULE, AskError, area_of, known, naming, one
from advisor.dose.calibrate import SPRAYER, SPREAD, SPREADER, Against, Found
from advisor.dose.exact import AREA, OUTPUT, SPRAY, both, measure
from advisor.dose.remark import Remark, remark
from advisor.equipment import Drops, Sprayers
from advisor.model import KnowledgeBase
from advisor.units import parse_amount

SECONDS = ("time", "s")


def against(
    base: KnowledgeBase,
    *,
    product: str | None = None,
    weed: str | None = None,
    tank: str | None = None,
    want: str | None = None,
    of: str = SPRAYER,
) -> Against:
    """What the result for a sprayer or a spreader is to be set against."""
    wanted = None
    if want is not None:
        with naming("--want"):
            dimension = "volume-per-area" if of == SPRAYER else "mass-per-area"
            wanted = both(parse_amount(want, dimension), OUTPUT if of == SPRAYER else SPREAD)
            if wanted[0] <= 0:
                raise AskError("--want: nothing is no output", "Write an amount above zero.")
    label = None if product is None else base.products[known("product", product, base.products)]
    if label is not None and (label.formulation == GRANULE) != (of == SPREADER):
        how = "spread dry" if of == SPRAYER else "sprayed"
        raise AskError(f"--product: {label.name} is {how}", "Calibrate what it is put out with.")
    return Against(
        label,
        None if weed is None else base.weeds[known("weed", weed, base.weeds)],
        one("--tank", tank, "volume", SPRAY),
        wanted,
    )


def course(caught: Sequence[str], plot: str | None) -> Found:
    """The 1/128-acre method: what was caught in the time it takes to spray the course."""
    area = area_of("--plot", plot) or calibrate.COURSE
    mean = calibrate.mean([_caught("--caught", text) for text in _some("--caught", caught)])
    how = remark("how-area", caught=measure(mean, SPRAY), plot=measure(area, AREA))
    return Found("course", calibrate.caught_over(mean, area), how)


def jar(cover: Sequence[str], caught: str | None, caught_in: str | None, plot: str | None) -> Found:
    """A jar filled for some time, and the time it takes to cover a plot."""
    area = area_of("--plot", plot) or calibrate.COURSE
    seconds = [_seconds("--cover", text) for text in _some("--cover", cover)]
    cover_s = calibrate.mean(seconds)
    caught_s = cover_s if caught_in is None else _seconds("--caught-in", caught_in)
    volume = _caught("--caught", caught)
    how = remark(
        "how-jar",
        caught=measure(volume, SPRAY),
        caught_in=measure(caught_s, "s"),
        cover=measure(cover_s, "s"),
        plot=measure(area, AREA),
    )
    output = calibrate.caught_in_time(volume, caught_s, cover_s, area)
    return Found("jar", output, how, cover=cover_s)


def refill(refilled: str | None, plot: str | None) -> Found:
    """What it took to fill the sprayer up again after spraying a plot."""
    area = area_of("--plot", plot)
    if area is None:
        raise AskError("--plot must be given", 'Write e.g. --plot "250 ft2".')
    volume = _caught("--refilled", refilled)
    how = remark("how-refill", refilled=measure(volume, SPRAY), plot=measure(area, AREA))
    return Found("refill", calibrate.caught_over(volume, area), how)


def hose_end(
    cover: Sequence[str], caught: str | None, caught_in: str | None, plot: str | None
) -> Found:
    """A hose-end sprayer: what it gives into a pail, and the time it takes to cover a plot."""
    found = jar(cover, caught, caught_in, plot)
    return replace(found, method="hose-end")


def plants(count: int, each: str | None) -> Remark:
    """What a number of plants take, where one was sprayed to the finish."""
    if count < 1:
        raise AskError("--plants: at least one plant")
    volume = _caught("--each", each)
    total = measure(calibrate.plants(volume, count), SPRAY)
    number = measure(Fraction(count), "count")
    return remark("plants-total", count=number, each=measure(volume, SPRAY), total=total)


def boom(
    sprayers: Sprayers,
    *,
    flow: str | None,
    rated: str | None,
    rated_at: str | None,
    pressure: str | None,
    speed: str | None,
    length: str | None,
    seconds: str | None,
    spacing: str | None,
    height: str | None,
    angle: float | None,
    drops: str | None,
) -> Found:
    """A boom or a wand: flow of one nozzle, walking speed, and the width that it covers."""
    gal_per_min = _flow(sprayers, flow, rated, rated_at, pressure)
    mph = _speed(speed, length, seconds)
    inches = _width(spacing, height, angle)
    how = remark(
        "how-boom",
        flow=measure(gal_per_min, "gal/min"),
        speed=measure(mph, "mph"),
        spacing=measure(inches, "in"),
    )
    output = calibrate.per_thousand(calibrate.boom(gal_per_min, mph, inches))
    kind = None if drops is None else _drops(drops, sprayers)
    return Found("boom", output, how, pace=mph, flow=gal_per_min, drops=kind)


def spreader(caught: str | None, plot: str | None) -> Found:
    """What a spreader dropped on a plot, or on a sheet of that size."""
    area = area_of("--plot", plot)
    pounds = one("--caught", caught, "mass", "lb")
    missing = [name for name, value in (("--caught", pounds), ("--plot", area)) if value is None]
    if area is None or pounds is None:
        raise AskError(f"{' and '.join(missing)} must be given", 'Write e.g. --caught "2 lb".')
    how = remark("how-spreader", caught=measure(pounds, "lb"), plot=measure(area, AREA))
    return Found("spreader", calibrate.caught_over(pounds, area), how, SPREADER)


def known_output(text: str) -> Found:
    """An output that is known already, to be converted or set against a label."""
    with naming("OUTPUT"):
        amount = parse_amount(text, ("volume-per-area", "mass-per-area"))
    liquid = amount.dimension == "volume-per-area"
    unit = OUTPUT if liquid else SPREAD
    value = one("OUTPUT", text, amount.dimension, unit)
    assert value is not None
    how = remark("how-known")
    return Found("convert", value, how) if liquid else Found("convert", value, how, SPREADER)


def course_lengths(swath: str) -> Remark:
    """How long the 1/128-acre course is for a width of spray."""
    feet = one("--swath", swath, "length", "ft")
    assert feet is not None
    length = measure(calibrate.course_length(feet), "ft")
    plot = measure(calibrate.COURSE, AREA)
    return remark("course-length", swath=measure(feet, "ft"), length=length, plot=plot)


# ---- one word --------------------------------------------------------------------------------


def _some(option: str, texts: Sequence[str]) -> Sequence[str]:
    if not texts:
        raise AskError(f"{option} must be given", "It may be given again for another run.")
    return texts


def _caught(option: str, text: str | None) -> Fraction:
    gallons = one(option, text, "volume", SPRAY)
    if gallons is None:
        raise AskError(f"{option} must be given", f'Write e.g. {option} "40 fl oz".')
    return gallons


def _seconds(option: str, text: str) -> Fraction:
    seconds = one(option, text, *SECONDS)
    assert seconds is not None
    return seconds


def _flow(
    sprayers: Sprayers,
    flow: str | None,
    rated: str | None,
    rated_at: str | None,
    pressure: str | None,
) -> Fraction:
    """The flow as it was measured, or from what the nozzle is rated at and the pressure."""
    found = one("--flow", flow, "flow", "gal/min")
    rating = one("--rated", rated, "flow", "gal/min")
    if (found is None) == (rating is None):
        hint = 'Write --flow "0.4 gal/min", or --rated with --pressure.'
        raise AskError("either --flow or --rated must be given", hint)
    if rating is None:
        assert found is not None
        return found
    at = one("--rated-at", rated_at, "pressure", "psi") or both(sprayers.rated_at, "psi")[0]
    psi = one("--pressure", pressure, "pressure", "psi")
    return rating if psi is None else sprayer.flow(rating, at, psi)


def _speed(speed: str | None, length: str | None, seconds: str | None) -> Fraction:
    mph = one("--speed", speed, "speed", "mph")
    feet = one("--length", length, "length", "ft")
    time = one("--time", seconds, *SECONDS)
    if mph is not None and feet is None and time is None:
        return mph
    if mph is None and feet is not None and time is not None:
        return sprayer.pace(feet, time)
    hint = 'Write --speed "3 mph", or --length "88 ft" with --time "20 s".'
    raise AskError("either --speed, or --length with --time, must be given", hint)


def _width(spacing: str | None, height: str | None, angle: float | None) -> Fraction:
    inches = one("--spacing", spacing, "length", "in")
    above = one("--height", height, "length", "in")
    if inches is not None and above is None and angle is None:
        return inches
    if inches is None and above is not None and angle is not None:
        if not 0 < angle < 180:
            raise AskError("--angle: a fan opens between 0 and 180 degrees")
        return sprayer.swath(above, Fraction(angle))
    hint = 'Write --spacing "20 in", or --height "20 in" with --angle 80.'
    raise AskError("either --spacing, or --height with --angle, must be given", hint)


def _drops(text: str, sprayers: Sprayers) -> Drops:
    found = sprayer.drops_named(text, sprayers)
    if found is None:
        names = ", ".join(f"{d.name} ({d.letters})" for d in sprayers.drops)
        raise AskError(f"--drops: there is no class `{text}`", f"One of: {names}.")
    return found
