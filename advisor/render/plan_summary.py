"""The parts of a plan beside its steps, each as sentences: what it comes to, and all around it.

Shared by the page and the printed sheet, which only lay them out. Nothing is worked out here.
"""

from __future__ import annotations

from advisor.diagnosis import CONTROL
from advisor.model import KnowledgeBase, Product
from advisor.planning.beyond import undated
from advisor.planning.forecast import ForecastDay
from advisor.planning.plan import Blocked, Expected, Plan
from advisor.planning.sheet import Sheet
from advisor.render.measured import System
from advisor.render.mix_page import caution_texts
from advisor.render.plan_words import about as roughly
from advisor.render.plan_words import capital, day_name, joined, shares, span, weekday
from advisor.render.say import percent, phrase
from advisor.render.weather_page import reason
from advisor.units import show

EVENLY = 1.0
MOST_KNOWN = 6
"""Sentences on the weeds, shared out among them."""


def title(sheet: Sheet, base: KnowledgeBase) -> str:
    """The head of the whole plan."""
    weeds = joined([base.weeds[w].name for w in sheet.plan.request.weeds])
    if sheet.title:
        return phrase(base, "plan-head-call", call=sheet.title, weeds=weeds)
    return phrase(base, "plan-head", weeds=weeds)


def about(sheet: Sheet, base: KnowledgeBase) -> str:
    """Where and when."""
    request = sheet.plan.request
    turf = base.turf.get(request.turf or "")
    return phrase(
        base,
        "plan-about",
        turf=capital(turf.name if turf else phrase(base, "plan-turf-unknown")),
        region=base.regions[request.region].name,
        first=day_name(request.horizon.first),
        last=day_name(request.horizon.last),
    )


def stops(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What must not be done now, and how the plan deals with it."""
    steps = sheet.plan.steps
    result = _past(sheet, base)
    for found in sheet.stops:
        until = undated(found.stop.until, sheet.plan, base)
        text = f"{capital(found.stop.title)}. {until}"
        if found.stop.id == "label-interval" and steps:
            text += " " + phrase(base, "plan-waits-stop", day=day_name(steps[0].day))
        result.append(text)
    result += _checks(sheet, base)
    waits = sheet.plan.request.not_before
    if waits is not None:
        result.append(phrase(base, "plan-waits", day=day_name(waits)))
    return result


def _past(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """Steps whose windows had passed on the day on which the plan is read."""
    if not sheet.past or sheet.today is None:
        return []
    numbers = joined([str(step.number) for step in sheet.past])
    name = "plan-past-one" if len(sheet.past) == 1 else "plan-past-many"
    last = day_name(sheet.past[-1].window.last)
    return [phrase(base, name, numbers=numbers, last=last, today=str(sheet.today))]


def _checks(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What to make sure of first: the grass, where nobody told it, and water close by."""
    request = sheet.plan.request
    result = []
    for product in products(sheet):
        if request.turf is None and product.turf_injured and product.kind != "non-selective":
            grasses = joined([base.turf[name].name for name in product.turf_injured], "or")
            result.append(phrase(base, "plan-check-turf", product=product.name, grasses=grasses))
    told = {found.stop.id for found in sheet.stops}
    close = any(base.sites[name].near_water for name in request.features)
    if close and "near-water" in base.stops and "near-water" not in told:
        stop = base.stops["near-water"]
        result.append(f"{capital(stop.title)}. {stop.until}")
    return result


def honest(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What the site and the labels allow to be promised, where that is less than control."""
    result = []
    for word in sheet.site:
        if word.level == CONTROL:
            continue
        weed = capital(word.weed.name)
        text = phrase(base, f"plan-word-{word.level}", weed=weed)
        reasons = [limit.because for limit in word.limits]
        if word.suppressed_only:
            reasons.append(phrase(base, "plan-word-label"))
        result.append(" ".join([text, *reasons]))
    weak = [other.weed.name for other in sheet.instead if other.sprayed]
    if weak:
        result.append(phrase(base, "plan-word-weak", weeds=joined(weak)))
    return result


def glance(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """The plan in a few sentences."""
    plan = sheet.plan
    result = [_steps(plan, base)]
    for target in plan.targets:
        left = plan.alive[target.name]
        name = "plan-sum-left" if target.crop is None else "plan-sum-left-one"
        name = name if plan.steps else "plan-sum-now"
        now = percent(target.survivors[1])
        text = phrase(base, name, weed=target.name, now=now, **shares(left))
        result.append(capital(text))
    result += [_verdict(sheet, base), _fewer(plan, base)] if plan.steps else []
    result += [phrase(base, "plan-left-alone", crop=capital(t.name)) for t in plan.left_alone]
    result += _own(plan, base)
    if not plan.steps:
        result += [blocked(b, base) for b in plan.blocked]
    return [text for text in result if text]


def _steps(plan: Plan, base: KnowledgeBase) -> str:
    if not plan.steps:
        if plan.beaten:
            return phrase(base, "plan-none-needed")
        weeds = joined([base.weeds[w].name for w in plan.request.weeds], "or")
        return phrase(base, "plan-none" if plan.products else "plan-none-fits", weeds=weeds)
    windows = "; ".join(span(step.window) for step in plan.steps)
    if len(plan.steps) == 1:
        return phrase(base, "plan-sum-one", windows=windows)
    return phrase(base, "plan-sum-many", count=str(len(plan.steps)), windows=windows)


def _verdict(sheet: Sheet, base: KnowledgeBase) -> str:
    plan = sheet.plan
    if not plan.beaten:
        why = "" if plan.again is None else "-little"
        why = "-most" if plan.again and len(plan.steps) >= plan.request.most else why
        return phrase(base, f"plan-not-beaten{why}")
    if any(word.limits and word.level != CONTROL for word in sheet.site):
        return phrase(base, "plan-site-back")
    wanted = base.settings.target_survivors
    under = all(e.expected <= wanted for e in plan.alive.values())
    return phrase(base, "plan-beaten" if under else "plan-near")


def _fewer(plan: Plan, base: KnowledgeBase) -> str:
    """What fewer applications would leave, each as good as they can be."""
    counts = [
        phrase(base, "plan-sum-count", count=str(n), left=percent(1 - control))
        for n, control in enumerate(plan.by_count[: len(plan.steps)])
        if n > 0
    ]
    return phrase(base, "plan-sum-fewer", counts=", ".join(counts)) if counts else ""


def _own(plan: Plan, base: KnowledgeBase) -> list[str]:
    """What the plan makes of the product at hand."""
    at_hand = [base.products[name].name for name in plan.request.at_hand]
    used = list(dict.fromkeys(step.product.name for step in plan.steps))
    if not at_hand or not used:
        return []
    own, taken = joined(at_hand, "or"), joined(used)
    if set(used) <= set(at_hand):
        return [phrase(base, "plan-own-kept", product=taken)]
    if plan.own is None or not plan.own.steps:
        return [phrase(base, "plan-own-none", own=own, product=taken)]
    count = len(plan.own.steps)
    noun = "application" if count == 1 else "applications"
    left = percent(1 - plan.own.control)
    figures = {"own": own, "own_left": left, "own_count": f"{count} {noun}", "product": taken}
    return [phrase(base, "plan-own-changed", **figures)]


def again(sheet: Sheet, base: KnowledgeBase) -> str:
    """One application more, if the look shows that it is needed."""
    more = sheet.plan.again
    if more is None:
        return phrase(base, "plan-again-none")
    left = roughly(1 - more.control)
    figures = {"product": more.product.name, "day": day_name(more.day), "left": left}
    return phrase(base, "plan-again", **figures)


# ---- the coming days -------------------------------------------------------------------------


def forecast_word(sheet: Sheet, base: KnowledgeBase) -> str:
    """Go, wait or no, in a sentence."""
    found = sheet.forecast
    if found is None:
        return phrase(base, "plan-forecast-none")
    day = weekday(found.day) if found.day else ""
    return phrase(base, f"plan-forecast-{found.word}", number=str(found.step.number), day=day)


def forecast_day(day: ForecastDay, base: KnowledgeBase) -> str:
    """One coming day: the verdict and the reasons."""
    text = f"{weekday(day.date)}: {phrase(base, f'plan-forecast-day-{day.verdict}')}"
    why = [reason(name, base) for name in day.reasons]
    if not day.in_window:
        why.insert(0, phrase(base, "plan-forecast-outside"))
    return f"{text} - {', '.join(why)}" if why else text


# ---- what was not used, and what it rests on -------------------------------------------------


def not_used(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """The products that may not be used, and those that found no day."""
    plan = sheet.plan
    result = [phrase(base, f"plan-barred-{b.why}", product=b.product.name) for b in plan.barred]
    if plan.steps:
        result += [blocked(b, base) for b in plan.blocked]
    return result


def blocked(found: Blocked, base: KnowledgeBase) -> str:
    """Why a product has no day: the limit that left none, and the days left by each."""
    label = show(found.product.temperature, "F") if found.product.temperature else ""
    text = phrase(base, f"plan-blocked-{found.limit}", product=found.product.name, label=label)
    (_, whole), *left = found.left
    kept, said = whole, []
    for limit, count in left:
        if count < kept:
            name = phrase(base, f"plan-limit-{limit}")
            said.append(phrase(base, "plan-blocked-count", count=str(count), limit=name))
        kept = count
    return f"{text} {phrase(base, 'plan-blocked-counts', all=str(whole), left=', '.join(said))}"


def know(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What professionals say of these weeds."""
    result = []
    for name in sheet.plan.request.weeds:
        weed = base.weeds[name]
        most = max(2, MOST_KNOWN // len(sheet.plan.request.weeds))
        result += [saying.say for saying in weed.specials[:most]]
    return result


def basis(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """What the plan rests on."""
    plan = sheet.plan
    result = [phrase(base, "plan-basis-weather", climate=plan.climate)]
    result.append(phrase(base, "plan-basis-days"))
    lighter = [name for name, weight in plan.weights.items() if weight < EVENLY]
    if lighter:
        names = capital(joined(lighter))
        result.append(phrase(base, "plan-basis-weights", names=names))
    return [*result, phrase(base, "plan-basis-share")]


def mean_left(alive: dict[str, Expected] | None, plan: Plan) -> Expected:
    """The mean over the targets of what is alive."""
    left = list((alive or plan.alive).values())
    if not left:
        return Expected(0.0, 0.0, 0.0)
    count = len(left)
    return Expected(
        sum(e.low for e in left) / count,
        sum(e.expected for e in left) / count,
        sum(e.high for e in left) / count,
    )


def cautions(sheet: Sheet, base: KnowledgeBase) -> list[str]:
    """The usual cautions and the labels' own; none where nothing is to be sprayed at all."""
    used = products(sheet)
    if not (used or sheet.plan.again or sheet.instead):
        return []
    return caution_texts(used, base, System.US)


def products(sheet: Sheet) -> list[Product]:
    """The products of the steps, each once."""
    return list({s.step.product.id: s.step.product for s in sheet.steps}.values())
