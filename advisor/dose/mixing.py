"""A mix worked out: product for every load, its measure on the cup, filling, the year's limits.

`asking` hands the question over, `render` shows the answer. A mix that the label forbids comes back
with its reasons and without a single load; figures are exact and are rounded only when shown.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from advisor.dose.acids import fraction
from advisor.dose.asking import GRANULE, Ask
from advisor.dose.cups import GOOD_ENOUGH, WITHIN, Cup, Reading, finer, reading, usual
from advisor.dose.exact import UNITS, Measure, Pair, both, measure, ratio
from advisor.dose.filling import Step, filling_order
from advisor.dose.limits import ACRE, NON_SELECTIVE, Part, part, per_area, refusals
from advisor.dose.remark import Remark, remark
from advisor.dose.yearly import Year, maybe_over, over, year_of
from advisor.model import KnowledgeBase, Product

WHOLE = Fraction(1)


@dataclass(frozen=True, slots=True)
class Dose:
    """What of one product goes into one load, and how it measures on the cup at hand."""

    product: Product
    amount: Fraction
    unit: str
    limits: Pair
    reading: Reading | None = None


@dataclass(frozen=True, slots=True)
class Wetter:
    """A surfactant in one load; limits are the label's range."""

    kind: str
    label: str
    amount: Fraction
    most: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class Load:
    """One load, `count` times: spray in gal and area in 1,000 ft2; None where there is none."""

    count: int
    spray: Fraction | None
    area: Fraction | None
    doses: tuple[Dose, ...]
    wetters: tuple[Wetter, ...] = ()


@dataclass(frozen=True, slots=True)
class Delivered:
    """An active that the rate delivers: pounds per acre as acid and as the form it is sold in."""

    product: Product
    name: str
    form: str
    acid: Fraction | None
    whole: Fraction | None


@dataclass(frozen=True, slots=True)
class Mix:
    """The answer. Where `refused` says anything, there is nothing else."""

    ask: Ask
    refused: tuple[Remark, ...]
    parts: tuple[Part, ...] = ()
    loads: tuple[Load, ...] = ()
    steps: tuple[Step, ...] = ()
    delivered: tuple[Delivered, ...] = ()
    year: Year | None = None
    finer: tuple[Cup, ...] = ()
    notes: tuple[Remark, ...] = ()

    @property
    def spray(self) -> Fraction | None:
        """All the spray, in gal."""
        if any(load.spray is None for load in self.loads):
            return None
        return sum((load.count * (load.spray or Fraction(0)) for load in self.loads), Fraction(0))

    def total(self, product: Product) -> Fraction:
        """All of one product, in fl oz or oz."""
        return sum(
            (
                load.count * d.amount
                for load in self.loads
                for d in load.doses
                if d.product is product
            ),
            Fraction(0),
        )


def make(ask: Ask, base: KnowledgeBase) -> Mix:
    """Work out a mix, or say why the label forbids it."""
    found = [part(wanting, ask) for wanting in (ask.main, *ask.partners)]
    parts = tuple(p for p in found if p is not None)
    main = next((p for p in parts if p.product is ask.main.product), None)
    year = year_of(ask, _now(ask, main))
    refused = [*refusals(ask, parts, base), *over(year)]
    if refused or main is None:
        return Mix(ask, tuple(refused))
    loads = _loads(ask, parts, base)
    return Mix(
        ask=ask,
        refused=(),
        parts=parts,
        loads=loads,
        steps=_steps(ask, base),
        delivered=tuple(d for p in parts for d in _delivered(p, ask)),
        year=year,
        finer=_finer(ask, loads, base),
        notes=(*_notes(ask, parts, base), *maybe_over(year)),
    )


def _now(ask: Ask, main: Part | None) -> Fraction | None:
    """What the mix puts on 1,000 ft2 of the main product."""
    if main is None:
        return None
    if not ask.spot:
        return main.rate
    return None if ask.output is None else main.rate * ask.output


# ---- loads -----------------------------------------------------------------------------------


def tanks(ask: Ask) -> list[tuple[int, Fraction | None, Fraction | None]]:
    """How often which load is filled: count, spray, area; the part tank comes last."""
    if ask.main.product.formulation == GRANULE:
        return [(1, None, ask.area)]
    assert ask.tank is not None
    if ask.area is None:
        return [(1, ask.tank, None if ask.output is None else ask.tank / ask.output)]
    assert ask.output is not None
    whole = ask.area * ask.output
    full = math.floor(whole / ask.tank)
    rest = whole - full * ask.tank
    found = [(full, ask.tank, ask.tank / ask.output)] if full else []
    return [*found, (1, rest, rest / ask.output)] if rest else [*found]


def _loads(ask: Ask, parts: tuple[Part, ...], base: KnowledgeBase) -> tuple[Load, ...]:
    result = []
    for count, spray, area in tanks(ask):
        reach = (spray if ask.spot else area) or Fraction(0)
        doses = tuple(_dose(p, reach, ask, base) for p in parts)
        wetters = () if spray is None else tuple(_wetters(parts, spray))
        result.append(Load(count, spray, area, doses, wetters))
    return tuple(result)


def _dose(each: Part, reach: Fraction, ask: Ask, base: KnowledgeBase) -> Dose:
    amount = each.rate * reach
    limits = (each.limits[0] * reach, each.limits[1] * reach)
    read = None
    if ask.cup is not None and ask.cup.matter == each.matter:
        read = reading(amount, limits, ask.cup.mark, base.sprayers.short_at_most)
    return Dose(each.product, amount, UNITS[each.matter], limits, read)


def _wetters(parts: tuple[Part, ...], spray: Fraction) -> list[Wetter]:
    """What the labels ask of surfactants; the same kind goes in once, at the most any label asks.

    Percent by volume is of the whole spray: 0.25 % of a gallon is 0.32 fl oz, not 0.25.
    """
    found: dict[str, Wetter] = {}
    for each in parts:
        asked = each.product.surfactant
        if not asked.called_for or asked.amount is None or asked.kind is None:
            continue
        dry = asked.amount.dimension.startswith("mass")
        low, high = both(asked.amount, "oz/gal" if dry else "fl oz/gal")
        unit = "oz" if dry else "fl oz"
        wetter = Wetter(asked.kind, asked.amount.text, low * spray, high * spray, unit)
        other = found.get(asked.kind)
        if other is None or other.amount < wetter.amount:
            found[asked.kind] = wetter
    return list(found.values())


def _finer(ask: Ask, loads: tuple[Load, ...], base: KnowledgeBase) -> tuple[Cup, ...]:
    """Cups that measure the main product well, coarsest first, where the one at hand does not."""
    doses = [load.doses[0] for load in loads]
    read = [d.reading for d in doses if d.reading is not None]
    if all(r.verdict == WITHIN and abs(r.error) <= GOOD_ENOUGH for r in read):
        return ()
    matter = "volume" if doses[0].unit == UNITS["volume"] else "mass"
    cups = [c for c in usual(base.sprayers.marks, matter) if ask.cup and c.mark < ask.cup.mark]
    wanted = [(d.amount, d.limits) for d in doses]
    return finer(cups, wanted, base.sprayers.short_at_most)


# ---- what is said beside ---------------------------------------------------------------------


def hard_water(ask: Ask, base: KnowledgeBase) -> bool:
    """Whether the water needs ammonium sulfate before a product that minerals tie up."""
    limit = both(base.sprayers.hard_water, "ppm")[0]
    return _sensitive(ask) is not None and ask.hardness is not None and ask.hardness[1] >= limit


def _sensitive(ask: Ask) -> Product | None:
    return next((p for p in ask.products if p.hard_water_sensitive == "yes"), None)


def _steps(ask: Ask, base: KnowledgeBase) -> tuple[Step, ...]:
    if ask.main.product.formulation == GRANULE:
        return ()
    kinds = [p.surfactant.kind for p in ask.products if p.surfactant.called_for]
    return filling_order(
        ask.products,
        [kind for kind in kinds if kind is not None],
        base.sprayers.order,
        conditioner=hard_water(ask, base),
    )


def _delivered(each: Part, ask: Ask) -> list[Delivered]:
    """Pounds of every active per acre; nothing where the spray per area is not known."""
    if ask.spot and ask.output is None:
        return []
    rate = each.rate * (ask.output or WHOLE) if ask.spot else each.rate
    result = []
    for active in each.product.actives:
        amount = per_area(active, rate, each.matter)
        if amount is None:
            continue
        pounds = amount / 16 * ACRE
        share = fraction(active.name, active.form)
        acid = pounds if active.basis == "ae" else None if share is None else pounds * share
        whole = pounds if active.basis == "ai" else None if share is None else pounds / share
        result.append(Delivered(each.product, active.name, active.form, acid, whole))
    return result


def _notes(ask: Ask, parts: tuple[Part, ...], base: KnowledgeBase) -> list[Remark]:
    found = [*_weed_notes(ask), *_turf_notes(ask, base)]
    for each in parts:
        if not each.asked and each.limits[0] < each.limits[1]:
            found.append(remark("note-highest-rate", product=each.product.name))
    if ask.spot:
        found += _spot_notes(ask, parts[0])
    if len(ask.products) > base.sprayers.most_products:
        most = measure(Fraction(base.sprayers.most_products), "count")
        found.append(remark("note-many-products", most=most))
    sensitive = _sensitive(ask)
    if sensitive is not None and ask.hardness is None:
        found.append(remark("note-hard-water-unknown", product=sensitive.name))
    for each_product in ask.products:
        name, says = each_product.name, each_product.stage_limit_says
        if says is not None:
            found.append(remark("note-stage", product=name, says=says))
        if each_product.homeowner == "no":
            found.append(remark("note-licensed", product=name))
    told = ask.used.times is not None or ask.used.amount is not None
    for each_product in ask.products[1 if told else 0 :]:
        found.append(remark("note-first-this-year", product=each_product.name))
    return found


def _weed_notes(ask: Ask) -> list[Remark]:
    if ask.weed is None:
        return [remark("note-weed-not-told", product=ask.main.product.name)]
    found = []
    for product in ask.products:
        lists = product.lists(ask.weed.id)
        if lists != "controls":
            found.append(remark(f"note-{lists}", product=product.name, weed=ask.weed.name))
    return found


def _turf_notes(ask: Ask, base: KnowledgeBase) -> list[Remark]:
    found = []
    for product in ask.products:
        if product.kind == NON_SELECTIVE:
            found.append(remark("note-kills-grass", product=product.name))
        elif ask.turf is None and product.turf_injured:
            names = ", ".join(base.turf[t].name for t in product.turf_injured)
            found.append(remark("note-turf-not-told", product=product.name, grasses=names))
    return found


def _spot_notes(ask: Ask, main: Part) -> list[Remark]:
    """How a spot mix compares with the rate for a whole lawn: it has no area limit of its own."""
    found = [remark("note-spot-wet", product=main.product.name)]
    rate = main.product.rate_for(ask.weed.id if ask.weed else None)
    if ask.output is None or rate is None:
        return found
    label, put_on = both(rate.amount), main.rate * ask.output
    if put_on > label[1]:
        unit = UNITS[f"{main.matter}-per-area"]
        heavy = remark(
            "note-spot-heavy",
            put_on=measure(put_on, unit),
            label=Measure(*label, unit),
            times=ratio(put_on / label[1]),
        )
        found.append(heavy)
    return found
