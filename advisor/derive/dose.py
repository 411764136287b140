"""The dose an application really was, against the label's: from what went in and how far it went.

Feeds the rules on rates, carrier water and tank partners. Amounts are intervals and stay so. Where
the area is not known it is worked out from what the sprayer puts out; where that is not known
either, the mix is read both ways, as one for spots and as one for a lawn sprayed by hand.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from advisor.account import Application
from advisor.derive.label import Label
from advisor.dose.delivered import fluid, hull, over, put_out, times
from advisor.dose.exact import AREA, OUTPUT, SPRAY, UNITS, Pair, both
from advisor.dose.limits import conflicts
from advisor.dose.sprayer import drops_named
from advisor.fact import WORKED_OUT, Gathering, Origin
from advisor.model import KnowledgeBase
from advisor.terms import Options, Span
from advisor.units import Amount, show

LEAVES_WET = Options.of("leaves-wet")


@dataclass(frozen=True, slots=True)
class Reading:
    """A rate or a strength that may have been put on, and the label's in its place."""

    put_on: Pair
    wanted: Pair
    words: str

    @property
    def of_least(self) -> Pair:
        """As a share of the label's lowest."""
        return self.put_on[0] / self.wanted[0], self.put_on[1] / self.wanted[0]

    @property
    def of_most(self) -> Pair:
        """As a share of the label's highest."""
        return self.put_on[0] / self.wanted[1], self.put_on[1] / self.wanted[1]


def dose_facts(
    application: Application, label: Label, base: KnowledgeBase, into: Gathering
) -> None:
    """Rate, spray volume and tank conflicts of one application."""
    _volume(application, label, base, into)
    _rate(application, label, base, into)
    _drops(application, base, into)
    _partners(application, label, base, into)


# ---- the rate --------------------------------------------------------------------------------


def _rate(application: Application, label: Label, base: KnowledgeBase, into: Gathering) -> None:
    readings = _readings(application, label, base, into)
    if not readings:
        return
    words = "; or ".join(r.words for r in readings)
    origin = Origin(WORKED_OUT, words, (application.line,))
    into.add("rate_of_min", _span(hull(r.of_least for r in readings)), origin)
    into.add("rate_of_max", _span(hull(r.of_most for r in readings)), origin)


def _readings(
    application: Application, label: Label, base: KnowledgeBase, into: Gathering
) -> list[Reading]:
    """How what went in can be read: over the area told, at the output known, or either way."""
    if application.amount is None:
        return []
    amount, said = _of_matter(application.amount, label)
    rate = _on_the_area(amount, application)
    if rate is not None and label.rate is not None:
        where = f" on {application.area.text}" if application.area else ""
        found = _against(rate, label.rate, amount, f"{said}{where}")
        return [found] if found else []
    strength = _strength(amount, application)
    if strength is None:
        return []
    per_volume = amount.dimension.endswith("-per-volume")
    water = f" in {application.water.text}" if application.water and not per_volume else ""
    mix = f"{said}{water}"
    if label.rate is not None and into.known("spray_volume"):
        volume = into.span("spray_volume")
        output = Fraction(volume.low), Fraction(volume.high)
        words = f"{mix}, put out at {show(volume, OUTPUT)}"
        found = _against(times(strength, output), label.rate, amount, words)
        return [found] if found else []
    return _either_way(strength, amount, mix, label, base, into)


def _either_way(
    strength: Pair,
    amount: Amount,
    mix: str,
    label: Label,
    base: KnowledgeBase,
    into: Gathering,
) -> list[Reading]:
    """As a mix for spots and as one for a lawn; leaves wetted as for spots leave only the first."""
    spot = label.product.spot if label.product is not None else None
    as_spot = None
    if spot is not None:
        as_spot = _against(strength, spot, amount, f"{mix}, for spots")
    if as_spot is not None and into.value("coverage") == LEAVES_WET:
        return [as_spot]
    as_lawn = None
    if label.rate is not None:
        output = base.sprayers.by_hand
        words = f"{mix}, over a lawn by hand at {output.text}"
        as_lawn = _against(times(strength, both(output, OUTPUT)), label.rate, amount, words)
    return [r for r in (as_spot, as_lawn) if r is not None]


def _against(put_on: Pair, wanted: Amount, amount: Amount, words: str) -> Reading | None:
    """The reading, where both are volumes or both are weights of product."""
    limits = both(wanted, UNITS[wanted.dimension])
    if _matter(wanted) != _matter(amount) or limits[0] <= 0:
        return None
    return Reading(put_on, limits, f"{words}; label {wanted.text}")


def _of_matter(amount: Amount, label: Label) -> tuple[Amount, str]:
    """What went in, with how it is said; ounces of a liquid are fluid ounces."""
    spot = label.product.spot if label.product is not None else None
    measured = label.rate or spot
    if measured is None or _matter(measured) == _matter(amount) or _matter(amount) == "volume":
        return amount, amount.text
    read = fluid(amount)
    return read, amount.text if read is amount else f"{amount.text} (of a liquid: fl oz)"


def _matter(amount: Amount) -> str:
    return amount.dimension.partition("-")[0]


def _on_the_area(amount: Amount, application: Application) -> Pair | None:
    """Product per 1,000 ft2, where the area is told or the amount is one per area."""
    exact = both(amount)
    if amount.dimension.endswith("-per-area"):
        return exact
    if application.area is None:
        return None
    if amount.dimension.endswith("-per-volume"):
        if application.water is None:
            return None
        exact = times(exact, both(application.water, SPRAY))
    return over(exact, both(application.area, AREA))


def _strength(amount: Amount, application: Application) -> Pair | None:
    """Product per gallon of spray."""
    if amount.dimension.endswith("-per-volume"):
        return both(amount)
    if application.water is None or amount.dimension.endswith("-per-area"):
        return None
    return over(both(amount), both(application.water, SPRAY))


# ---- the spray -------------------------------------------------------------------------------


def _volume(application: Application, label: Label, base: KnowledgeBase, into: Gathering) -> None:
    """Spray put out: over the area told, or by what is known of the sprayer."""
    if application.water is not None and application.area is not None:
        put = over(both(application.water, SPRAY), both(application.area, AREA))
        words = f"{application.water.text} on {application.area.text}"
        _put_out(put, words, application, into)
    gear = application.sprayer
    if "output" in gear:
        words = f"the sprayer puts out {gear['output'].text}"
        _put_out(both(gear["output"], OUTPUT), words, application, into)
    if {"nozzle", "pace", "swath"} <= gear.keys():
        told = [gear[k].text for k in ("nozzle", "pressure", "pace", "swath") if k in gear]
        pressure = both(gear["pressure"], "psi") if "pressure" in gear else None
        pace, swath = both(gear["pace"], "mph"), both(gear["swath"], "ft")
        flow, rated_at = both(gear["nozzle"], "gal/min"), both(base.sprayers.rated_at, "psi")
        if pace[0] > 0 and swath[0] > 0:
            put = put_out(flow, rated_at, pressure, pace, swath)
            _put_out(put, f"nozzle, pressure, pace and swath: {', '.join(told)}", application, into)
    water = label.product.water if label.product is not None else None
    if water is None or not into.known("spray_volume"):
        return
    volume, origin = into.span("spray_volume"), into.origin("spray_volume")
    least = float(both(water, OUTPUT)[0])
    origin = replace(origin, words=f"{origin.words}; label {water.text}")
    into.add("volume_of_min", Span(volume.low / least, volume.high / least), origin)


def _put_out(put: Pair | None, words: str, application: Application, into: Gathering) -> None:
    if put is not None:
        into.add("spray_volume", _span(put), Origin(WORKED_OUT, words, (application.line,)))


def _drops(application: Application, base: KnowledgeBase, into: Gathering) -> None:
    """The size of the drops, from the class that a nozzle chart gives."""
    if application.drops is None:
        return
    drops = drops_named(application.drops, base.sprayers)
    if drops is not None:
        words = f"nozzle chart: {drops.name.replace('-', ' ')} ({drops.letters})"
        origin = Origin(WORKED_OUT, words, (application.line,))
        into.add("droplets", Options.of(drops.droplets), origin)


# ---- partners --------------------------------------------------------------------------------


def _partners(application: Application, label: Label, base: KnowledgeBase, into: Gathering) -> None:
    if application.in_tank is None or label.product is None:
        return
    partners = [base.products[name] for name in application.in_tank if name is not None]
    conflict = any(conflicts(label.product, partner) for partner in partners)
    if not conflict and None in application.in_tank:
        return
    words = f"also in the tank: {', '.join(p.name for p in partners) or 'nothing'}"
    origin = Origin(WORKED_OUT, words, (application.line,))
    into.add("tank_conflict", Options.of("yes" if conflict else "no"), origin)


def _span(exact: Pair) -> Span:
    return Span(float(exact[0]), float(exact[1]))
