"""The dose an application really was, against the label's: from what went in and how far it went.

Feeds the rules on rates, carrier water and tank partners. Amounts are intervals and stay so; where
the area is not known, a per-gallon mix is compared with the label's spot rate instead.
"""

from __future__ import annotations

from fractions import Fraction

from advisor.account import Application
from advisor.derive.label import Label
from advisor.fact import WORKED_OUT, Gathering, Origin
from advisor.model import KnowledgeBase
from advisor.terms import Options, Span
from advisor.units import Amount

Pair = tuple[Fraction, Fraction]


def dose_facts(
    application: Application, label: Label, base: KnowledgeBase, into: Gathering
) -> None:
    """Rate, spray volume and tank conflicts of one application."""
    _rate(application, label, into)
    _volume(application, label, into)
    _partners(application, label, base, into)


def _rate(application: Application, label: Label, into: Gathering) -> None:
    if application.amount is None:
        return
    if application.area is not None and label.rate is not None:
        put_on = _per(_exact(application.amount), _exact(application.area))
        wanted = _exact(label.rate) if _same_matter(application.amount, label.rate) else None
        words = f"{application.amount.text} on {application.area.text}; label {label.rate.text}"
    elif application.water is not None and label.product and label.product.spot is not None:
        spot = label.product.spot
        put_on = _per(_exact(application.amount), _exact(application.water))
        wanted = _exact(spot) if _same_matter(application.amount, spot) else None
        words = f"{application.amount.text} in {application.water.text}; label {spot.text}"
    else:
        return
    if put_on is None or wanted is None or wanted[0] <= 0:
        return
    origin = Origin(WORKED_OUT, words, (application.line,))
    of_min, of_max = _ratio(put_on, wanted[0]), _ratio(put_on, wanted[1])
    into.add("rate_of_min", of_min, origin)
    into.add("rate_of_max", of_max, origin)


def _volume(application: Application, label: Label, into: Gathering) -> None:
    if application.water is not None and application.area is not None:
        put_on = _per(_exact(application.water), _exact(application.area))
        if put_on is not None:
            words = f"{application.water.text} on {application.area.text}"
            origin = Origin(WORKED_OUT, words, (application.line,))
            into.add("spray_volume", _ratio(put_on, Fraction(128)), origin)
    water = label.product.water if label.product is not None else None
    if water is None or not into.known("spray_volume"):
        return
    volume, told = into.span("spray_volume"), into.origin("spray_volume")
    least = float(_exact(water)[0] / 128)
    origin = Origin(told.how, f"{told.words}; label {water.text}", told.lines, told.firm)
    into.add("volume_of_min", Span(volume.low / least, volume.high / least), origin)


def _partners(application: Application, label: Label, base: KnowledgeBase, into: Gathering) -> None:
    if application.in_tank is None or label.product is None:
        return
    partners = [base.products[name] for name in application.in_tank if name is not None]
    conflict = False
    for partner in partners:
        conflict |= bool({a.group for a in partner.actives} & set(label.product.conflict_groups))
        conflict |= bool({g for _, g in label.actives} & set(partner.conflict_groups))
    if not conflict and None in application.in_tank:
        return
    words = f"also in the tank: {', '.join(p.name for p in partners) or 'nothing'}"
    origin = Origin(WORKED_OUT, words, (application.line,))
    into.add("tank_conflict", Options.of("yes" if conflict else "no"), origin)


UNITS = {
    "volume": "fl oz",
    "mass": "oz",
    "area": "1000 ft2",
    "volume-per-area": "fl oz/1000 ft2",
    "mass-per-area": "oz/1000 ft2",
    "volume-per-volume": "fl oz/fl oz",
    "mass-per-volume": "oz/fl oz",
}
"""The units in which amounts are set against each other here, so that they divide."""


def _exact(amount: Amount) -> Pair:
    return amount.exact(UNITS[amount.dimension])


def _per(one: Pair, other: Pair) -> Pair | None:
    return None if other[0] <= 0 else (one[0] / other[1], one[1] / other[0])


def _ratio(put_on: Pair, wanted: Fraction) -> Span:
    return Span(float(put_on[0] / wanted), float(put_on[1] / wanted))


def _same_matter(one: Amount, other: Amount) -> bool:
    """Whether both are volumes or both are weights of product."""
    return one.dimension.split("-")[0] == other.dimension.split("-")[0]
