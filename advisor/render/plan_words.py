"""The sentences of a plan: dates, steps, mixes, looks, sowing, seed, what is left.

Shared by the page, the printed sheet and the calendar, so that all say the same. Every sentence is
filled from the knowledge base's phrases; nothing is worked out here.
"""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Sequence

from advisor.dose.asking import GRANULE
from advisor.dose.exact import OUTPUT, SPRAY, measure
from advisor.dose.mixing import Mix
from advisor.model import KnowledgeBase, Product
from advisor.planning.kill import WINDY_MPH
from advisor.planning.labels import must_stick, through_leaf
from advisor.planning.plan import Expected, PlanStep
from advisor.planning.request import Days
from advisor.planning.sheet import StepSheet
from advisor.render.measured import System, amount, said
from advisor.render.say import percent, phrase
from advisor.terms import Span
from advisor.units import show, show_amount

PARTS = ("before", "mix", "how", "after", "look", "left", "missed", "off")
REPEATED = ("mix", "how", "off")
Part = tuple[str, list[str]]
"""A part of a step and its sentences."""
US = System.US


def month_day(date: dt.date) -> str:
    """A day without its year: Oct 1."""
    return f"{calendar.month_abbr[date.month]} {date.day}"


def day_name(date: dt.date) -> str:
    """A day in full: Thu, Oct 1, 2026."""
    return f"{calendar.day_abbr[date.weekday()]}, {month_day(date)}, {date.year}"


def weekday(date: dt.date) -> str:
    """A day with its weekday: Thu, Oct 1."""
    return f"{calendar.day_abbr[date.weekday()]}, {month_day(date)}"


def span(days: Days) -> str:
    """A run of days: Oct 1 to 4, 2026."""
    first, last = days.first, days.last
    if first == last:
        return f"{month_day(first)}, {first.year}"
    if (first.year, first.month) == (last.year, last.month):
        return f"{month_day(first)} to {last.day}, {first.year}"
    if first.year == last.year:
        return f"{month_day(first)} to {month_day(last)}, {first.year}"
    return f"{month_day(first)}, {first.year} to {month_day(last)}, {last.year}"


def joined(names: Sequence[str], word: str = "and") -> str:
    """A list in words."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {word} {names[-1]}"


def about(share: float) -> str:
    """A share that is expected: about 5 %, or under 1 %."""
    said = percent(share)
    return said if said.startswith("under") else f"about {said}"


def shares(left: Expected) -> dict[str, str]:
    """The figures of a share alive."""
    return {
        "left": about(left.expected),
        "low": percent(left.low),
        "high": percent(left.high),
    }


def capital(text: str) -> str:
    """A sentence with a capital at its start."""
    return text[:1].upper() + text[1:]


def on_leaf(product: Product) -> bool:
    """Whether a product is sprayed, rather than spread."""
    return product.formulation != GRANULE


# ---- one step --------------------------------------------------------------------------------


def step_parts(sheet: StepSheet, base: KnowledgeBase) -> list[Part]:
    """The parts of a step, each with its sentences; parts without any are left out."""
    found = {
        "before": before(sheet, base),
        "mix": mix_lines(sheet.mix, sheet.step, base),
        "how": how(sheet.step, base),
        "after": after(sheet, base),
        "look": look(sheet, base),
        "left": left(sheet.step, base),
        "missed": [missed(sheet.step, base)],
        "off": [off(sheet, base)],
    }
    return [(name, found[name]) for name in PARTS if found[name]]


def all_parts(steps: Sequence[StepSheet], base: KnowledgeBase) -> list[list[Part]]:
    """The parts of all steps; a mix or a manner that was said before refers to its step."""
    said_at: dict[tuple[str, tuple[str, ...]], int] = {}
    result = []
    for sheet in steps:
        parts = []
        for name, texts in step_parts(sheet, base):
            first = said_at.setdefault((name, tuple(texts)), sheet.step.number)
            said_before = name in REPEATED and first != sheet.step.number
            as_before = phrase(base, "plan-as-before", number=str(first))
            parts.append((name, [as_before] if said_before else texts))
        result.append(parts)
    return result


def window(step: PlanStep, base: KnowledgeBase) -> str:
    """The best day of a step, and how many of its days suit."""
    if len(step.window) <= 2:
        return phrase(base, "plan-window-one", day=day_name(step.day))
    suits = str(max(1, round(step.suits * 10)))
    return phrase(base, "plan-window", day=day_name(step.day), suits=suits)


def against(step: PlanStep, base: KnowledgeBase) -> str:
    """What a step goes for, and why at that time."""
    text = phrase(base, "plan-against", weeds=joined([t.name for t in step.against]))
    crop = step.against[0].crop
    if step.by_soil and crop is not None:
        return f"{text} {phrase(base, 'plan-why-soil', first=month_day(crop.first))}"
    return f"{text} {step.season.why}"


def off(sheet: StepSheet, base: KnowledgeBase) -> str:
    """What calls a step off on its day."""
    return capital(phrase(base, "plan-called-off", stops=", ".join(s.title for s in sheet.stops)))


def before(sheet: StepSheet, base: KnowledgeBase) -> list[str]:
    """What must be true before a step."""
    step, near = sheet.step, sheet.around
    result = [
        phrase(
            base,
            "plan-before-new-grass",
            sown=weekday(sown),
            wait=show(Span(step.product.new_grass_days, step.product.new_grass_days), "days"),
        )
        for sown in near.sown_before
    ]
    if near.last_mowing is not None:
        wait = show(Span(step.product.mow_before_h, step.product.mow_before_h), "h")
        day = weekday(near.last_mowing)
        result.append(phrase(base, "plan-before-mow", day=day, wait=wait))
    if near.skip_mowing:
        days = joined([weekday(d) for d in near.skip_mowing])
        result.append(phrase(base, "plan-before-skip-mow", days=days))
    if near.last_water is not None:
        result.append(phrase(base, "plan-before-water", day=weekday(near.last_water)))
    if near.skip_water:
        days = joined([weekday(d) for d in near.skip_water])
        result.append(phrase(base, "plan-before-skip-water", days=days))
    figures = {"wind": show(Span(WINDY_MPH, WINDY_MPH), "mph")}
    name = "plan-before-granule"
    if through_leaf(step.product):
        name = "plan-before-granule-wet" if must_stick(step.product) else "plan-before-leaf"
        if step.product.temperature is not None:
            name += "-temperature"
            figures["temperature"] = show(step.product.temperature, "F")
    return [*result, phrase(base, name, **figures)]


def mix_lines(mix: Mix, step: PlanStep, base: KnowledgeBase) -> list[str]:
    """What goes into the tank or the spreader for 1,000 ft2, and into each gallon."""
    if mix.refused or not mix.loads:
        return [phrase(base, "plan-mix-refused")]
    load, product = mix.loads[0], step.product
    dose = load.doses[0]
    label = show_amount(step.rate.amount) if step.rate is not None else ""
    figures = {
        "product": product.name,
        "amount": amount(dose.amount, dose.unit, US),
        "label": label,
    }
    if load.spray is None:
        return [phrase(base, "plan-mix-granule", **figures)]
    if load.area is None:
        result = [phrase(base, "plan-mix-spot", **figures)]
    else:
        water = said(measure(load.spray, SPRAY), US)
        if product.water is not None:
            low, high = product.water.exact(OUTPUT)
            figures["label"] += ", in " + show(Span(float(low), float(high)), OUTPUT)
        result = [phrase(base, "plan-mix", water=water, **figures)]
        if load.spray != 1:
            each = said(measure(dose.amount / load.spray, f"{dose.unit}/gal"), US)
            result.append(phrase(base, "plan-mix-gallon", amount=each.partition(" per ")[0]))
    for wetter in load.wetters:
        poured = amount(wetter.amount, wetter.unit, US)
        result.append(phrase(base, "plan-mix-wetter", amount=poured, kind=wetter.kind))
    return result


def how(step: PlanStep, base: KnowledgeBase) -> list[str]:
    """How to put a step's product on this weed."""
    if not on_leaf(step.product):
        sticks = must_stick(step.product)
        return [phrase(base, "plan-how-granule-wet" if sticks else "plan-how-granule")]
    weed = step.against[0].weed
    spot = step.product.kind == "non-selective"
    names = ["spot" if spot else weed.growth_form]
    if weed.leaf_surface != "ordinary":
        names.append(weed.leaf_surface)
    names.append("wet")
    return [phrase(base, f"plan-how-{n}") for n in names if f"plan-how-{n}" in base.phrases]


def after(sheet: StepSheet, base: KnowledgeBase) -> list[str]:
    """What to do after a step."""
    step, near = sheet.step, sheet.around
    result = []
    if through_leaf(step.product) and step.product.rainfast_h is not None:
        rainfast = show(Span(step.product.rainfast_h, step.product.rainfast_h), "h")
        result.append(phrase(base, "plan-after-dry", rainfast=rainfast))
    if near.next_water is not None:
        result.append(phrase(base, "plan-after-water", day=weekday(near.next_water)))
    if near.water_in_by is not None and step.product.water_in_amount is not None:
        water = show_amount(step.product.water_in_amount)
        day = weekday(near.water_in_by)
        result.append(phrase(base, "plan-after-water-in", day=day, amount=water))
    if near.next_mowing is not None:
        result.append(phrase(base, "plan-after-mow", day=weekday(near.next_mowing)))
    return [*result, step.product.reentry]


def look(sheet: StepSheet, base: KnowledgeBase) -> list[str]:
    """When to look at a step's result, and what good looks like."""
    return [phrase(base, "plan-look", days=span(sheet.around.look)), good(sheet.step, base)]


def good(step: PlanStep, base: KnowledgeBase) -> str:
    """What success looks like."""
    name = "soil" if step.by_soil else base.habit_class(step.against[0].weed.habit)
    return phrase(base, f"plan-good-{name}")


def left(step: PlanStep, base: KnowledgeBase) -> list[str]:
    """What is expected to be alive after a step, of the targets that it goes for."""
    result = [
        capital(phrase(base, "plan-left", weed=t.name, **shares(step.alive[t.name])))
        for t in step.against
    ]
    if step.late > 0:
        result.append(phrase(base, "plan-left-late", lost=percent(step.late)))
    return result


def missed(step: PlanStep, base: KnowledgeBase) -> str:
    """What to do if the window goes by."""
    if step.if_missed is None:
        return phrase(base, "plan-missed-none")
    lost = percent(step.if_missed.lost)
    return phrase(base, "plan-missed", day=day_name(step.if_missed.day), lost=lost)
