"""A mix as a page to work from, and its refusal as reasons.

The technician and the homeowner read the same page at the tank: the rate, what goes into each load
and how the cup measures it, the order of filling, the year's limits, the cautions. Every sentence
is the knowledge base's; nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from advisor.dose import cups, filling
from advisor.dose.asking import GRANULE, Ask, rate_dimension
from advisor.dose.cups import Cup, Reading
from advisor.dose.exact import AREA, OUTPUT, SPRAY, UNITS, Measure, measure
from advisor.dose.mixing import Load, Mix
from advisor.dose.remark import remark
from advisor.model import KnowledgeBase, Product
from advisor.render.layout import Page
from advisor.render.measured import System, amount, said, sentence, temperature
from advisor.render.say import phrase
from advisor.units import show_amount

METRIC_MARKS = ("mL", "L", "g", "kg")
CAUTIONS = ("label", "local", "gear", "people", "weather", "water")


def refusal(mix: Mix, base: KnowledgeBase, system: System) -> list[str]:
    """Why a mix is refused, one sentence a line; the first says that it is."""
    return [phrase(base, "mix-refused"), *(sentence(base, r, system) for r in mix.refused)]


def mix_page(mix: Mix, base: KnowledgeBase, page: Page, system: System) -> str:
    """The whole mix as text."""
    ask = mix.ask
    name = ask.main.product.name
    if ask.weed is not None:
        page.head(phrase(base, "mix-head-weed", product=name, weed=ask.weed.name))
    else:
        page.head(phrase(base, "mix-head", product=name))
    page.text(_asked(ask, base, system))
    _rates(mix, base, page, system)
    _loads(mix, base, page, system)
    _filling(mix, base, page, system)
    _year(mix, base, page, system)
    _delivers(mix, base, page, system)
    if mix.notes:
        page.head(phrase(base, "mix-head-notes"))
        for note in mix.notes:
            page.item("-", sentence(base, note, system))
    cautions(ask.products, base, page, system)
    return str(page)


def cautions(products: Sequence[Product], base: KnowledgeBase, page: Page, system: System) -> None:
    """The usual cautions, then what each label says."""
    page.head(phrase(base, "head-cautions"))
    for text in caution_texts(products, base, system):
        page.item("*", text)


def caution_texts(products: Sequence[Product], base: KnowledgeBase, system: System) -> list[str]:
    """The cautions as sentences."""
    texts = [phrase(base, f"caution-{name}") for name in CAUTIONS]
    for product in products:
        gear = ", ".join(product.protective)
        texts.append(f"{product.name}: {product.signal_word}. {gear.capitalize()}.")
        texts.append(f"{product.reentry} {product.near_water}")
        if product.temperature is not None:
            allowed = temperature(product.temperature, system)
            texts.append(phrase(base, "mix-temperature", product=product.name, label=allowed))
    return texts


def _asked(ask: Ask, base: KnowledgeBase, system: System) -> str:
    figures = {
        name: said(measure(value, unit), system)
        for name, value, unit in (
            ("area", ask.area, AREA),
            ("output", ask.output, OUTPUT),
            ("tank", ask.tank, SPRAY),
        )
        if value is not None
    }
    if ask.main.product.formulation == GRANULE:
        return phrase(base, "mix-asked-spreader", **figures)
    if not ask.spot:
        return phrase(base, "mix-asked", **figures)
    return phrase(base, "mix-asked-spots" if ask.output else "mix-asked-spot", **figures)


def _rates(mix: Mix, base: KnowledgeBase, page: Page, system: System) -> None:
    page.head(phrase(base, "mix-head-rate"))
    for part in mix.parts:
        unit = UNITS[rate_dimension(part.product, spot=mix.ask.spot)]
        weed = mix.ask.weed
        figures = {
            "product": part.product.name,
            "rate": said(measure(part.rate, unit), system),
            "label": said(Measure(*part.limits, unit), system),
            "weed": weed.name if weed else "",
        }
        page.text(phrase(base, "mix-rate-weed" if weed else "mix-rate", **figures))


# ---- loads -----------------------------------------------------------------------------------


def _loads(mix: Mix, base: KnowledgeBase, page: Page, system: System) -> None:
    dry = mix.ask.main.product.formulation == GRANULE
    page.head(phrase(base, "mix-head-spreader" if dry else "mix-head-tanks"))
    first, ask_cup = 1, mix.ask.cup
    for load in mix.loads:
        page.text(_load(load, first, mix, base, system))
        first += load.count
        for dose in load.doses:
            poured = amount(dose.amount, dose.unit, system)
            text = phrase(base, "mix-dose", amount=poured, product=dose.product.name)
            page.item("-", f"{text}.", 4)
            if dose.reading is not None:
                assert ask_cup is not None
                page.text(cup_text(dose.reading, ask_cup, base, system), 6)
        for wetter in load.wetters:
            assert load.spray is not None
            each = said(measure(wetter.amount / load.spray, f"{wetter.unit}/gal"), system)
            text = phrase(
                base,
                "mix-wetter",
                amount=amount(wetter.amount, wetter.unit, system),
                kind=wetter.kind,
                label=wetter.label,
                each=each,
            )
            page.item("-", text, 4)
    if (better := finer(mix, system)) is not None:
        page.text(phrase(base, "mix-cup-finer", mark=mark_text(better, system)))
    _totals(mix, base, page, system)


def _load(load: Load, first: int, mix: Mix, base: KnowledgeBase, system: System) -> str:
    figures = {"first": str(first), "last": str(first + load.count - 1)}
    if load.spray is not None:
        figures["spray"] = said(measure(load.spray, SPRAY), system)
    if load.area is not None:
        figures["area"] = said(measure(load.area, AREA), system)
    if load.spray is None:
        name = "spreader"
    elif load.area is None:
        name = "spot"
    elif len(mix.loads) == 1 and load.count == 1:
        name = "only"
    elif load.count > 1:
        name = "each"
    else:
        name = "last" if load is mix.loads[-1] and load.spray != mix.ask.tank else "one"
    return phrase(base, f"mix-load-{name}", **figures)


def mark_text(cup: Cup, system: System) -> str:
    """What lies between two marks, in the unit of the cup where that is one of the system's."""
    if system is System.METRIC and cup.said.unit not in METRIC_MARKS:
        return said(measure(cup.mark, UNITS[cup.matter]), system)
    return show_amount(cup.said)


def finer(mix: Mix, system: System) -> Cup | None:
    """A cup that measures better, with marks in the units shown."""
    metric = [c for c in mix.finer if c.said.unit in METRIC_MARKS]
    cups_there = metric if system is System.METRIC else [*mix.finer]
    return cups_there[0] if cups_there else None


def cup_text(read: Reading, cup: Cup, base: KnowledgeBase, system: System) -> str:
    """How an amount measures on the cup."""
    unit = UNITS[cup.matter]
    name = "exact" if read.verdict == cups.WITHIN and read.error == 0 else read.verdict
    over = "mix-over" if read.error > 0 else "mix-under"
    error = phrase(base, over, share=said(measure(abs(read.error), "share"), system))
    marks = phrase(base, "mix-mark" if read.marks == 1 else "mix-marks", count=str(read.marks))
    return phrase(
        base,
        f"mix-cup-{name}",
        marks=marks,
        mark=mark_text(cup, system),
        measured=amount(read.measured, unit, system) if read.marks else "",
        error=error,
        short=said(measure(read.short, "share"), system),
    )


def _totals(mix: Mix, base: KnowledgeBase, page: Page, system: System) -> None:
    spray = mix.spray
    if spray is None or sum(load.count for load in mix.loads) == 1:
        return
    for number, part in enumerate(mix.parts):
        text = phrase(
            base,
            "mix-total-next" if number else "mix-total",
            spray=said(measure(spray, SPRAY), system),
            amount=amount(mix.total(part.product), UNITS[part.matter], system),
            product=part.product.name,
        )
        page.text(text)


# ---- filling, the year, what is delivered ----------------------------------------------------


def _filling(mix: Mix, base: KnowledgeBase, page: Page, system: System) -> None:
    if not mix.steps:
        return
    page.head(phrase(base, "mix-head-filling"))
    for number, text in enumerate(filling_texts(mix, base, system), 1):
        page.item(f"{number}.", text)
    if sum(load.count for load in mix.loads) > 1:
        page.text(phrase(base, "fill-each"))


def filling_texts(mix: Mix, base: KnowledgeBase, system: System) -> Iterable[str]:
    """The steps of filling the first load, as sentences."""
    load = mix.loads[0]
    assert load.spray is not None
    for step in mix.steps:
        figures = {
            "half": said(measure(load.spray / 2, SPRAY), system),
            "spray": said(measure(load.spray, SPRAY), system),
        }
        for dose in load.doses:
            if dose.product.id == step.product:
                figures["amount"] = amount(dose.amount, dose.unit, system)
                figures["product"] = dose.product.name
        for wetter in load.wetters:
            if step.kind == wetter.kind:
                figures["amount"] = amount(wetter.amount, wetter.unit, system)
                figures["kind"] = wetter.kind
        what = step.how if step.what == filling.PRODUCT else step.what
        yield phrase(base, f"fill-{what}", **figures)


def _year(mix: Mix, base: KnowledgeBase, page: Page, system: System) -> None:
    page.head(phrase(base, "mix-head-year"))
    for text in year_texts(mix, base, system):
        page.item("-", text)


def year_texts(mix: Mix, base: KnowledgeBase, system: System) -> list[str]:
    """How much of the year's limits the mix takes, as sentences."""
    year = mix.year
    assert year is not None
    low, high = (n + 1 for n in year.times)
    most = measure(Fraction(year.per_year), "count")
    number = Measure(Fraction(low), Fraction(min(high, year.per_year)), "count")
    texts = [sentence(base, remark("year-count", number=number, most=most), system)]
    if year.limit is None or year.now is None or year.after is None:
        return texts
    limit = measure(year.limit, year.unit)
    now, share = measure(year.now, year.unit), measure(year.now / year.limit, "share")
    texts.append(sentence(base, remark("year-amount", now=now, share=share, limit=limit), system))
    if year.before[1] > 0:
        after = Measure(*year.after, year.unit)
        of_limit = Measure(year.after[0] / year.limit, year.after[1] / year.limit, "share")
        texts.append(
            sentence(base, remark("year-amount-after", after=after, share=of_limit), system)
        )
    return texts


def _delivers(mix: Mix, base: KnowledgeBase, page: Page, system: System) -> None:
    if not mix.delivered:
        return
    page.head(phrase(base, "mix-head-delivers"))
    for each in mix.delivered:
        acid = None if each.acid is None else measure(each.acid, "lb/acre")
        whole = None if each.whole is None else measure(each.whole, "lb/acre")
        if acid is not None and whole is not None and each.form != "acid":
            said_of = remark(
                "delivers-both", active=each.name, acid=acid, whole=whole, form=each.form
            )
        elif acid is not None:
            said_of = remark("delivers", active=each.name, acid=acid)
        elif whole is not None:
            said_of = remark("delivers-whole", active=each.name, whole=whole)
        else:
            continue
        page.item("-", sentence(base, said_of, system))
