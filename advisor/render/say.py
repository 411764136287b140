"""Words for single things: shares, dates, values of facts, sentences with placeholders.

Shared by all renderers, so that a figure reads the same wherever it stands. It fills templates of
the knowledge base and never makes up a sentence of its own.
"""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Mapping

from advisor.call import Call
from advisor.diagnosis import Diagnosis
from advisor.model import FactDef, KnowledgeBase, Margin, Rule
from advisor.terms import Condition, Options, Span, Truth, Value
from advisor.units import show
from advisor.windows import NAMES, words

PLACEHOLDER = re.compile(r"\{([a-z][a-z0-9_.-]*)\}")


def percent(share: float) -> str:
    """A share in whole percent; what is not quite none or all says so."""
    if 0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1:
        return "over 99 %"
    return f"{share * 100:.0f} %"


def title(text: str) -> str:
    """A text with its first letter large and the rest as it stands."""
    return text[:1].upper() + text[1:]


def in_hundred(chance: float) -> str:
    """A chance in a hundred; what is not certain is not called so."""
    return str(min(99, max(1, round(chance * 100)))) if 0 < chance < 1 else f"{chance * 100:.0f}"


def day(date: dt.date) -> str:
    """A date in words for a homeowner: September 13."""
    return f"{calendar.month_name[date.month]} {date.day}"


def value(fact: FactDef, known: Value) -> str:
    """The value of a fact in words."""
    if isinstance(known, Options):
        names = [fact.options[o].says for o in fact.options if o in known.possible]
        return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " or " + names[-1]
    if known == fact.range:
        return "not known"
    if fact.margin is not None:
        return _margin(fact.margin, known, fact.unit)
    return show(known, fact.unit)


def _margin(margin: Margin, known: Span, unit: str) -> str:
    """A margin in words, each side of zero with its own."""
    if known.low >= 0:
        return margin.over.replace("{amount}", show(known, unit))
    if known.high <= 0:
        return margin.under.replace("{amount}", show(Span(-known.high, -known.low), unit))
    under, over = (show(Span(end, end), unit) for end in (-known.low, known.high))
    first = margin.under.replace("{amount}", f"up to {under}")
    return f"{first} or {margin.over.replace('{amount}', f'up to {over}')}"


def phrase(base: KnowledgeBase, name: str, **figures: str) -> str:
    """A sentence of phrases.yaml with its figures filled in."""
    return PLACEHOLDER.sub(lambda found: figures.get(found[1], found[0]), base.phrases[name])


def filled(text: str, call: Call, values: Mapping[str, Value], base: KnowledgeBase) -> str:
    """A template of the knowledge base with the weed, the product and facts filled in."""
    weed = base.weeds.get(call.weed or call.weed_treated or "")
    last = call.applications[-1].product if call.applications else None
    product = base.products.get(last or call.product or "")

    def put(found: re.Match[str]) -> str:
        name = found[1]
        if name == "weed":
            return weed.name if weed else "this weed"
        if name == "product":
            return product.name if product else "the product"
        fact = base.facts.get(name)
        return found[0] if fact is None or name not in values else value(fact, values[name])

    sentence = PLACEHOLDER.sub(put, text)
    return sentence[:1].upper() + sentence[1:]


def filled_for(
    text: str, found: Diagnosis, base: KnowledgeBase, application: int | None = None
) -> str:
    """A template filled for a diagnosis: its facts at a spraying, and the days that suit here."""
    values = found.values[-1 if application is None else application]
    if any(f"{{{name}}}" in text for name in NAMES):
        for name, figure in words(base, found.case(base)).items():
            text = text.replace(f"{{{name}}}", figure)
    return filled(text, found.call, values, base)


def because(rule: Rule, found: Diagnosis, base: KnowledgeBase, application: int | None) -> str:
    """Why a rule holds, with what a trial found; on another weed the trial says on which."""
    text = filled_for(rule.because, found, base, application or 0)
    if rule.trial is None:
        return text
    trial = phrase(base, "trial-on", weeds=rule.trial.on)
    return f"{text} ({trial}) {rule.trial.found}"


def condition(test: Condition, fact: FactDef) -> str:
    """What a condition asks of its fact."""
    if test.on_choice:
        names = [fact.options[o].says for o in fact.options if o in test.options]
        return " or ".join(names)
    low = None if test.low is None else show(Span(test.low, test.low), fact.unit)
    high = None if test.high is None else show(Span(test.high, test.high), fact.unit)
    if low is None:
        return f"below {high}"
    return f"{low} or more" if high is None else f"from {low} to below {high}"


def otherwise(test: Condition, fact: FactDef) -> str:
    """What its fact would have to be for a condition not to hold."""
    if test.on_choice:
        names = [fact.options[o].says for o in fact.options if o not in test.options]
        return " or ".join(names)
    low = None if test.low is None else show(Span(test.low, test.low), fact.unit)
    high = None if test.high is None else show(Span(test.high, test.high), fact.unit)
    if low is None:
        return f"{high} or more"
    return f"below {low}" if high is None else f"below {low}, or {high} or more"


TRUTHS = {Truth.SHOWN: "holds", Truth.OPEN: "could hold", Truth.RULED_OUT: "does not hold"}
