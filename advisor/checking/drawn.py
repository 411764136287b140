"""Calls drawn at random: ordinary weeds, products and days, with facts as often as facts.yaml says.

`coverage` diagnoses them to see how many get no verdict. A seed and a number name a call for good,
on every machine; what is drawn keeps to what always holds between facts, and nothing here judges
an answer.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from advisor.account import Application, Call, LabelTold, Told
from advisor.checking.boxes import Space
from advisor.derive.label import label_of
from advisor.derive.margins import following
from advisor.fact import UNKNOWN, Fact, FactSet
from advisor.facts import gather
from advisor.model import FactDef, KnowledgeBase, Product, Region, Weed
from advisor.terms import Options, Span, Value
from advisor.when import When

T = TypeVar("T")

FIRST_DAY, DAYS = dt.date(2026, 1, 1), 365
TRIES = 8
"""Values drawn for a fact before it is left untold, where relations allow none of them."""
COMES = ("told", "worked-out")
"""Where facts come from that a caller can be asked for."""
NAMES_DRAWN = ("weed_named", "same_plant", "application_number", "days_watched")
"""What the weed, the product and the days of a drawn call say already."""


@dataclass(frozen=True, slots=True)
class Dice:
    """Numbers from 0 to 1 by name, the same for the same seed and name wherever it runs."""

    seed: str

    def roll(self, *names: object) -> float:
        """A number at least 0 and below 1."""
        text = "/".join(map(str, (self.seed, *names)))
        return int.from_bytes(hashlib.sha256(text.encode()).digest()[:7]) / 2**56

    def pick(self, choices: Sequence[T], *names: object) -> T:
        """One of several, each as likely as the others."""
        return choices[int(self.roll(*names) * len(choices))]

    def value(self, fact: FactDef, *names: object) -> Value:
        """A value of a fact, as often as facts.yaml says."""
        at = self.roll(*names)
        if fact.is_number:
            return _point(fact, at)
        for name, option in fact.options.items():
            at -= option.how_often
            if at < 0:
                return Options.of(name)
        return Options.of(list(fact.options)[-1])


def _point(fact: FactDef, at: float) -> Span:
    for low, high, share in fact.bands:
        if at < share:
            value = round(low + (high - low) * at / share, 3)
            return Span(value, value)
        at -= share
    end = fact.bands[-1][1]
    return Span(end, end)


class Drawing:
    """Draws calls against one knowledge base."""

    def __init__(self, base: KnowledgeBase, seed: int) -> None:
        self._base = base
        self._seed = seed
        self._space = Space(base.facts, base.relations)
        self._bound = {fact for relation in base.relations for fact in relation.facts}
        self._told = list(_asked(base))

    def call(self, number: int, told: float) -> Call:
        """A call of which a caller tells each fact with the chance `told`.

        So with the product, the place and the days; the weed is named as often as facts.yaml says.
        """
        dice = Dice(f"{self._seed}/{number}")
        call = self._plain(number, dice, told)
        facts = gather(call, self._base)
        answers: dict[int | None, dict[str, Value]] = {}
        for name in self._told:
            if dice.roll(name, "told") < told:
                for n in self._applications(name, call):
                    if _known(facts, name, n).origin.how == UNKNOWN:
                        self._answer(facts, answers, name, n, dice)
        applications = tuple(
            replace(one, answers=_told(answers.get(n, {})))
            for n, one in enumerate(call.applications)
        )
        call = replace(call, answers=_told(answers.get(None, {})), applications=applications)
        return replace(call, applications=tuple(self._followed(call)))

    def _followed(self, call: Call) -> Iterator[Application]:
        """The applications, with what follows from their answers by the label alone."""
        facts = gather(call, self._base)
        for n, one in enumerate(call.applications):
            label = label_of(call, one, self._base)
            follows = {
                f.fact: f.of(told.value)
                for name, told in one.answers.items()
                if isinstance(told.value, Span)
                for f in following(name, label)
                if _known(facts, f.fact, n).origin.how == UNKNOWN
            }
            yield replace(one, answers={**one.answers, **_told(follows)})

    def _plain(self, number: int, dice: Dice, told: float) -> Call:
        """Weed, place, product and days, as far as they are told."""
        base, facts = self._base, self._base.facts
        weed = dice.pick(list(base.weeds.values()), "weed")
        region = dice.pick(list(base.regions.values()), "region")
        turf = dice.pick([t for t in base.turf.values() if not t.members], "turf")
        sprayed = _days(weed, region, dice, facts["season_fit"])
        first = dt.datetime.combine(sprayed, dt.time(10))
        gap = dt.timedelta(days=sum(weed.retreatments.interval_days) / 2)
        count = min(3, int(_low(dice.value(facts["application_number"], "count"))))
        days = [first + gap * n for n in range(count)]
        watched = dt.timedelta(days=round(_low(dice.value(facts["days_watched"], "watched"))))
        product = _product(weed, base, dice, facts["label_lists"])
        known = {what: dice.roll(what, "told") < told for what in ("place", "product", "days")}
        named = dice.value(facts["weed_named"], "named") == Options.of("certain")
        return _call(
            reference=f"drawn {number}",
            reported=(days[-1] + watched).date(),
            region=region.id if known["place"] else None,
            turf=turf.id if known["place"] else None,
            weed=weed.id if named else None,
            product=product.id if known["product"] else None,
            applications=tuple(_application(day if known["days"] else None) for day in days),
        )

    def _applications(self, name: str, call: Call) -> Iterator[int | None]:
        if self._base.facts[name].scope == "call":
            yield None
        else:
            yield from range(len(call.applications))

    def _answer(
        self,
        facts: FactSet,
        answers: dict[int | None, dict[str, Value]],
        name: str,
        n: int | None,
        dice: Dice,
    ) -> None:
        """Add a value of a fact to the answers, if relations to the others allow one."""
        here = answers.setdefault(n, {})
        known = facts.values(n or 0) | answers.get(None, {}) | here
        bound = {other: known[other] for other in self._bound if other in known}
        for attempt in range(TRIES):
            value = dice.value(self._base.facts[name], name, n, attempt)
            if name not in bound or self._space.possible(self._space.given(bound | {name: value})):
                here[name] = value
                return


def _asked(base: KnowledgeBase) -> Iterator[str]:
    """The facts that a caller tells, without those that follow from others by the label."""
    labels = [label_of(_call(product=product.id), None, base) for product in base.products.values()]
    follow = {f.fact for name in base.facts for label in labels for f in following(name, label)}
    for name, fact in base.facts.items():
        concluded = name.startswith(("kind.", "cause.")) or name in NAMES_DRAWN
        if fact.comes in COMES and name not in follow and not concluded:
            yield name


def _call(**told: Any) -> Call:
    """A call in which nothing but this is told."""
    nothing: dict[str, Any] = {
        **dict.fromkeys(
            ("region", "turf", "mowing_height", "weed", "weed_treated", "product", "weather")
        ),
        **dict.fromkeys(("features", "actives", "applications", "events", "looks"), ()),
        "reference": "drawn", "path": "drawn", "reported": FIRST_DAY, "traits": {},
        "label": LabelTold(),
    }  # fmt: skip
    return Call(**(nothing | told))


def _known(facts: FactSet, name: str, n: int | None) -> Fact:
    return facts.of_call[name] if n is None else facts.of_applications[n][name]


def _told(answers: Mapping[str, Value]) -> dict[str, Told]:
    return {name: Told(value, "drawn", 0) for name, value in answers.items()}


def _days(weed: Weed, region: Region, dice: Dice, fit: FactDef) -> dt.date:
    """A day in a season of the weed, the good seasons as often as facts.yaml says."""
    wanted = dice.value(fit, "fit")
    dates = [FIRST_DAY + dt.timedelta(days=n) for n in range(DAYS)]
    suits = [d for d in dates if Options.of(weed.season_on(region.weed_day(d)).fit) == wanted]
    return dice.pick(suits or dates, "day")


def _product(weed: Weed, base: KnowledgeBase, dice: Dice, lists: FactDef) -> Product:
    """A product whose label says of the weed what labels say of it, as often as they do."""
    wanted = dice.value(lists, "lists")
    products = list(base.products.values())
    listing = [p for p in products if Options.of(p.lists(weed.id)) == wanted]
    return dice.pick(listing or products, "product")


def _application(sprayed: dt.datetime | None) -> Application:
    when = When(sprayed, sprayed, f"{sprayed:%Y-%m-%d %H:%M}") if sprayed else None
    return Application(when, None, None, None, None, None, {}, 0)


def _low(value: Value) -> float:
    assert isinstance(value, Span)
    return value.low
