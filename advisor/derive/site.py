"""Facts about the lawn, about what was seen, and about what may be done on the day of the call.

Feeds the site rules, the kinds of comeback and the stops.
"""

from __future__ import annotations

from advisor.account import Call
from advisor.derive.around import usual_high
from advisor.derive.label import Label
from advisor.derive.timing import reported
from advisor.derive.weather import ahead_facts
from advisor.fact import KNOWLEDGE, TOLD, WORKED_OUT, Gathering, Origin
from advisor.model import KnowledgeBase
from advisor.terms import Options, Span, Truth
from advisor.weather.record import Weather
from advisor.when import When, days_between

FED_DAYS = 366
"""A lawn fed within so many days does not go hungry (common practice: once a year at least)."""
BREAKING = ("raked", "tilled", "cored", "pulled")


def site_facts(call: Call, base: KnowledgeBase, into: Gathering) -> None:
    """Mowing height against the turf's need; whether the weed was cut up."""
    if call.mowing_height is not None:
        height = call.mowing_height.to("in")
        turf = base.turf.get(call.turf or "")
        grasses = (turf.members or (turf.id,)) if turf is not None else tuple(base.turf)
        least = [base.turf[g].mowing_height_in.low for g in grasses]
        words = f"mown at {call.mowing_height.text}"
        if turf is not None:
            wants = " to ".join(f"{x:g}" for x in sorted({min(least), max(least)}))
            words += f"; {turf.name} wants at least {wants} in"
        margin = Span(height.low - max(least), height.high - min(least))
        into.add("mowing_margin", margin, Origin(WORKED_OUT, words))
    broken = [e for e in call.events if e.what in BREAKING and e.when is not None]
    if broken:
        words = "; ".join(e.words for e in broken)
        origin = Origin(TOLD, words, tuple(e.line for e in broken))
        into.add("broken_up", Options.of("yes"), origin)
    _fed(call, into)


def _fed(call: Call, into: Gathering) -> None:
    """Whether the lawn goes hungry: not if it was fed within the year, so if it never is."""
    fed = [e for e in call.events if e.what == "fed"]
    lately = [e for e in fed if e.when and days_between(e.when, reported(call)).high <= FED_DAYS]
    if not fed or (any(e.when for e in fed) and not lately):
        return
    told = lately or fed
    origin = Origin(TOLD, "; ".join(e.words for e in told), tuple(e.line for e in told))
    into.add("site.low-fertility", Options.of("no" if lately else "yes"), origin)


def seen_facts(call: Call, into: Gathering) -> None:
    """What the last look saw, and whether any look saw a symptom."""
    if not call.looks:
        return
    last = call.looks[-1]
    for name, told in last.told.items():
        into.add(name, told.value, Origin(TOLD, told.words, (told.line,)))
    symptoms = [look.told["symptoms"] for look in call.looks if "symptoms" in look.told]
    nothing = Options.of("none")
    if any(isinstance(t.value, Options) and "none" not in t.value.possible for t in symptoms):
        marked = [t for t in symptoms if t.value != nothing]
        words = "; ".join(t.words for t in marked)
        lines = tuple(t.line for t in marked)
        into.add("any_symptom", Options.of("yes"), Origin(TOLD, words, lines))
    elif len(symptoms) == len(call.looks) and all(t.value == nothing for t in symptoms):
        words = "; ".join(t.words for t in symptoms)
        lines = tuple(t.line for t in symptoms)
        into.add("any_symptom", Options.of("no"), Origin(TOLD, words, lines))


def today_facts(
    call: Call,
    label: Label,
    base: KnowledgeBase,
    into: Gathering,
    weather: Weather | None = None,
) -> None:
    """What limits the next spraying, on the day of the call."""
    _since_last(call, label, into)
    _left_this_year(call, label, into)
    if label.tolerates_turf is not None:
        into.add("turf_tolerates", Options.of(label.tolerates_turf), label.turf_origin)
    if label.product is not None:
        into.add("homeowner_product", Options.of(label.product.homeowner), label.origin)
    _seeding(call, label, into)
    if weather is not None and ahead_facts(call, label, weather, into):
        return
    region = base.regions.get(call.region or "")
    if region is not None and label.temperature is not None:
        high = usual_high(region, call.reported.month)
        limits = label.temperature
        words = f"usual highs of {high.low:g} to {high.high:g} F in {region.name} now"
        said = f"{words}; the label says {limits.low:g} to {limits.high:g} F"
        origin = Origin(KNOWLEDGE, said)
        into.add("heat_ahead", Span(limits.high - high.high, limits.high - high.low), origin)
        into.add("cold_ahead", Span(high.low - limits.low, high.high - limits.low), origin)


def _since_last(call: Call, label: Label, into: Gathering) -> None:
    sprayed = [(a.sprayed, a.line) for a in call.applications if a.sprayed is not None]
    if not sprayed or label.interval_days is None:
        return
    now = reported(call)
    last, line = max(sprayed, key=lambda pair: pair[0].high)
    days = days_between(last, now)
    margin = Span(days.low - label.interval_days, days.high - label.interval_days)
    words = f"sprayed {last.text}, asked {now.text}; the label asks {label.interval_days:g} days"
    into.add("next_spray_margin", margin, Origin(WORKED_OUT, words, (line,)))


def _left_this_year(call: Call, label: Label, into: Gathering) -> None:
    """Applications of the product that its label still allows in the year of the call."""
    if label.per_year is None or not call.applications:
        return
    product = label.product.id if label.product else None
    same = [a for a in call.applications if (a.product or call.product) in (product, None)]
    made = [_in_year(a.sprayed, call.reported.year) for a in same]
    certain = sum(truth is Truth.SHOWN for truth in made)
    possible = sum(truth is not Truth.RULED_OUT for truth in made)
    told = f"{certain}" if certain == possible else f"{certain} to {possible}"
    words = f"{told} told this year; the label allows {label.per_year}"
    lines = tuple(
        a.line for a, truth in zip(same, made, strict=True) if truth is not Truth.RULED_OUT
    )
    left = Span(label.per_year - possible, label.per_year - certain)
    into.add("applications_left", left, Origin(WORKED_OUT, words, lines))


def _in_year(when: When | None, year: int) -> Truth:
    """Whether a time lies in the calendar year; a day that ends at new year still does."""
    if when is None:
        return Truth.OPEN
    first, last = when.first_day.year, when.last_day.year
    if first == last == year:
        return Truth.SHOWN
    return Truth.OPEN if first <= year <= last else Truth.RULED_OUT


def _seeding(call: Call, label: Label, into: Gathering) -> None:
    if label.new_grass_days is None:
        return
    sown = [e for e in call.events if e.what == "seeded"]
    dated = [e for e in sown if e.when is not None]
    if sown and not dated:
        longest = into.whole("seeding_margin").high
        origin = Origin(TOLD, sown[0].words, (sown[0].line,))
        into.add("seeding_margin", Span(longest, longest), origin)
    if not dated:
        return
    grown = [days_between(e.when, reported(call)) for e in dated if e.when is not None]
    youngest = Span(min(g.low for g in grown), min(g.high for g in grown))
    days = Span(youngest.low - label.new_grass_days, youngest.high - label.new_grass_days)
    words = "; ".join(e.words for e in dated)
    said = f"{words}; the label asks {label.new_grass_days:g} days"
    into.add("seeding_margin", days, Origin(WORKED_OUT, said, tuple(e.line for e in dated)))
