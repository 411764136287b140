"""A plan to read out or to send to the customer: dates, what to leave alone, what to expect.

Made of the same sheet as the technician's page, in short sentences without figures of the mix.
Every sentence is the knowledge base's.
"""

from __future__ import annotations

import datetime as dt

from advisor.diagnosis import CONTROL
from advisor.model import KnowledgeBase
from advisor.planning.instead import LITTLE
from advisor.planning.labels import must_stick
from advisor.planning.request import Days
from advisor.planning.sheet import Sheet, StepSheet
from advisor.render.layout import BOLD, Page
from advisor.render.plan_beside import by_hand
from advisor.render.plan_words import about, joined, span, weekday
from advisor.render.say import phrase
from advisor.units import show, show_amount

CAUTIONS = ("label", "gear", "people", "weather", "water")
_DAY = dt.timedelta(days=1)


def plan_customer(sheet: Sheet, base: KnowledgeBase, page: Page) -> str:
    """The whole plan in plain words."""
    weeds = joined([base.weeds[w].name for w in sheet.plan.request.weeds])
    page.head(phrase(base, "plan-customer-head", weeds=weeds))
    for text in _opening(sheet, base):
        page.text(text, 0)
    for step in sheet.steps:
        figures = {"number": str(step.step.number), "window": span(step.step.window)}
        page.head(phrase(base, "plan-customer-step", **figures), BOLD)
        for text in step_texts(step, base):
            page.item("-", text)
    texts = _beside(sheet, base)
    if texts:
        page.head(phrase(base, "plan-head-care"), BOLD)
        for text in texts:
            page.item("-", text)
    if sheet.steps:
        page.head(phrase(base, "head-cautions"), BOLD)
        for name in CAUTIONS:
            page.item("*", phrase(base, f"customer-caution-{name}"))
    return str(page)


def _opening(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """How many treatments, what they come to, and what cannot be promised."""
    plan = sheet.plan
    weeds = joined([base.weeds[w].name for w in plan.request.weeds])
    if not plan.steps:
        name = "none-needed" if plan.beaten else "none"
        result = [phrase(base, f"plan-customer-{name}", weeds=weeds)]
    else:
        name = "one" if len(plan.steps) == 1 else "many"
        result = [phrase(base, f"plan-customer-{name}", count=str(len(plan.steps)))]
    for word in sheet.site:
        if word.level != CONTROL and plan.steps:
            result.append(phrase(base, f"plan-customer-{word.level}", weed=word.weed.name))
    weak = [other.weed.name for other in sheet.instead if other.sprayed]
    if weak:
        result.append(phrase(base, "plan-customer-weak", weeds=joined(weak)))
    elif plan.steps:
        result.append(phrase(base, f"plan-customer-{'few' if plan.beaten else 'some'}-left"))
    if sheet.past:
        result.append(phrase(base, "plan-customer-past"))
    if plan.request.not_before is not None:
        day = weekday(plan.request.not_before)
        result.append(phrase(base, "plan-customer-wait", day=day))
    return result


def step_texts(sheet: StepSheet, base: KnowledgeBase) -> list[str]:
    """One treatment: the lawn before and after it, the weather it needs, when to look."""
    step, near = sheet.step, sheet.around
    weeds = joined(list(dict.fromkeys(t.weed.name for t in step.against)))
    way = "soil" if step.by_soil else "wet-leaf" if must_stick(step.product) else "leaf"
    result = [phrase(base, f"plan-customer-what-{way}", product=step.product.name, weeds=weeds)]
    result.append(phrase(base, "plan-customer-day", day=weekday(step.day)))
    if near.last_mowing is not None and near.next_mowing is not None:
        days = span(Days(near.last_mowing + _DAY, near.next_mowing - _DAY))
        result.append(phrase(base, "plan-customer-mow", days=days))
    if near.last_water is not None and near.next_water is not None:
        days = span(Days(near.last_water + _DAY, near.next_water - _DAY))
        result.append(phrase(base, "plan-customer-water", days=days))
    elif near.next_water is not None:
        result.append(phrase(base, "plan-customer-water-after", day=weekday(near.next_water)))
    if near.water_in_by is not None and step.product.water_in_amount is not None:
        figures = {
            "day": weekday(near.water_in_by),
            "amount": show_amount(step.product.water_in_amount),
        }
        result.append(phrase(base, "plan-customer-water-in", **figures))
    weather = "calm" if step.by_soil else "dry"
    if len(step.window) == 1:
        weather += "-one"
    result.append(phrase(base, f"plan-customer-{weather}", last=weekday(step.window.last)))
    result.append(step.product.reentry)
    good = "soil" if step.by_soil else base.habit_class(step.against[0].weed.habit)
    result.append(phrase(base, "plan-customer-look", days=span(near.look)))
    if step.alive[step.against[0].name].expected <= LITTLE:
        result.append(phrase(base, f"plan-customer-good-{good}"))
    for target in step.against:
        figures = {"weed": target.weed.name, "left": about(step.alive[target.name].expected)}
        result.append(phrase(base, "plan-customer-left", **figures))
    return result


def _beside(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What the customer can do for the grass, and about water close by."""
    request = sheet.plan.request
    result = [by_hand(other.weed, base) for other in sheet.instead]
    turf = base.turf.get(request.turf or "")
    if turf is not None:
        height = show(turf.mowing_height_in, "in")
        result.append(phrase(base, "plan-customer-height", height=height))
    result += list(dict.fromkeys(care.customer for care in sheet.care if care.customer))
    close = any(base.sites[name].near_water for name in request.features)
    if close and sheet.steps and "near-water" in base.stops:
        result.append(base.stops["near-water"].customer)
    return result
