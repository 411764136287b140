"""The cards of what rules show: causes, kinds of comeback and stops, and of a rule on its own.

Used by `library`. A rule stands in words: its conditions, what they mean, the examples beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.model import ALL_CLASSES, HABIT_CLASSES, Cause, Kind, Rule, Stop
from advisor.render import say
from advisor.render.cards.maker import Maker, there
from advisor.render.cards.parts import Asked, Card, Effect, Part, RulePart, Tried, Words
from advisor.render.say import in_hundred, percent
from advisor.terms import Value


def cause_card(maker: Maker, name: str) -> Card:
    """All that is known of a cause."""
    cause = maker.base.causes[name]
    sections = (
        maker.section("cause", _cause(maker, cause)),
        maker.section("remedies", _remedies(maker, cause)),
        maker.section("rules", _rules(maker, cause.rules, "rules-cause")),
    )
    about = maker.say("about-cause", group=cause.group)
    return Card("cause", name, cause.title, about, there(sections))


def _cause(maker: Maker, cause: Cause) -> Iterator[Part]:
    yield maker.line("what", maker.template(cause.what))
    yield maker.line("customer", maker.template(cause.customer))
    yield maker.line("explains", maker.links("kind", cause.explains))
    if cause.opposes:
        yield maker.line("opposes", maker.links("cause", cause.opposes))


def _remedies(maker: Maker, cause: Cause) -> Iterator[Part]:
    for remedy in cause.remedies:
        yield maker.line("do", maker.template(remedy.do))
        yield maker.line("do-customer", maker.template(remedy.customer))


def kind_card(maker: Maker, name: str) -> Card:
    """All that is known of a kind of comeback."""
    kind = maker.base.kinds[name]
    sections = (
        maker.section("kind", _kind(maker, kind)),
        maker.section("rules", _rules(maker, kind.rules, "rules-kind")),
    )
    return Card("kind", name, kind.title, maker.say("about-kind"), there(sections))


def _kind(maker: Maker, kind: Kind) -> Iterator[Part]:
    yield maker.line("what", maker.template(kind.what))
    yield maker.line("customer", maker.template(kind.customer))
    chance = maker.say("in-hundred", chance=in_hundred(kind.how_often))
    yield maker.line("how-often", chance, kind.basis)
    causes = [c.id for c in maker.base.causes.values() if kind.id in c.explains]
    yield maker.line("explained-by", maker.links("cause", causes))


def stop_card(maker: Maker, name: str) -> Card:
    """All that is known of a stop."""
    stop = maker.base.stops[name]
    sections = (
        maker.section("stop", _stop(maker, stop)),
        maker.section("rules", _rules(maker, stop.rules, "rules-stop")),
    )
    return Card("stop", name, stop.title, maker.say("about-stop"), there(sections))


def _stop(maker: Maker, stop: Stop) -> Iterator[Part]:
    yield maker.line("what", maker.template(stop.what))
    yield maker.line("customer", maker.template(stop.customer))
    yield maker.line("until", maker.template(stop.until))


def rule_card(maker: Maker, name: str) -> Card:
    """A rule on its own."""
    rule = next(rule for rule in maker.base.rules() if rule.id == name)
    kind = owner_kind(maker, rule)
    parts: list[Part] = [
        maker.line(f"of-{kind}", (maker.link(kind, rule.owner),)),
        rule_part(maker, rule),
    ]
    section = maker.section("rule", parts)
    return Card("rule", name, name, maker.say("about-rule"), there([section]))


def owner_kind(maker: Maker, rule: Rule) -> str:
    """Whether a rule is of a cause, a kind or a stop."""
    if rule.owner in maker.base.causes:
        return "cause"
    return "kind" if rule.owner in maker.base.kinds else "stop"


def _rules(maker: Maker, rules: tuple[Rule, ...], note: str) -> Iterator[Part]:
    yield maker.note(note)
    yield from (rule_part(maker, rule) for rule in rules)


def rule_part(maker: Maker, rule: Rule) -> RulePart:
    """A rule in words."""
    alternatives = tuple(
        tuple(
            Asked(maker.fact(c.fact), say.condition(c, maker.base.facts[c.fact]))
            for c in clause.conditions
        )
        for clause in rule.clauses
    )
    effect, effects = _effects(maker, rule)
    return RulePart(
        rule.id,
        alternatives,
        effect,
        effects,
        _because(maker, rule),
        rule.basis,
        tuple(Tried(example.name, _given(maker, example.given)) for example in rule.fires),
        tuple(
            Tried(example.name, _given(maker, example.given), _facts(maker, example.held_by))
            for example in rule.quiet
        ),
    )


def _because(maker: Maker, rule: Rule) -> Words:
    """Why the rule holds, and what a trial found."""
    words = maker.template(rule.because)
    if rule.trial is None:
        return words
    trial = maker.base.phrases["trial-on"].replace("{weeds}", rule.trial.on)
    return (*words, f" ({trial}) ", *maker.template(rule.trial.found))


def _effects(maker: Maker, rule: Rule) -> tuple[str, tuple[Effect, ...]]:
    if rule.loss_from:
        return maker.say(f"loss-from-{rule.loss_from}"), ()
    if rule.weight:
        return maker.say("weight"), tuple(
            Effect((maker.link("kind", kind),), _weight(maker, weight))
            for kind, weight in sorted(rule.weight.items(), key=lambda w: -w[1])
        )
    if rule.owner in maker.base.stops:
        return maker.say("stops"), ()
    if not any(rule.loss.values()):
        return maker.say("loss-none"), ()
    return maker.say("loss"), tuple(
        Effect((maker.say(f"class-{name}"),), percent(share), share)
        for name, share in _by_class(rule.loss)
    )


def _by_class(loss: Mapping[str, float]) -> list[tuple[str, float]]:
    """Losses by class of habit; one for all where they are the same."""
    if len({loss.get(name) for name in HABIT_CLASSES}) == 1:
        return [(ALL_CLASSES, loss[HABIT_CLASSES[0]])]
    return [(name, loss[name]) for name in HABIT_CLASSES if name in loss]


def _weight(maker: Maker, weight: float) -> str:
    """Decibans as odds."""
    odds = 10 ** (abs(weight) / 10)
    name = "speaks-for" if weight > 0 else "speaks-against"
    return maker.say(name, odds=f"{odds:.1f}".removesuffix(".0"), decibans=f"{weight:+g}")


def _given(maker: Maker, given: Mapping[str, Value]) -> Words:
    said: list[Words] = [
        (maker.fact(name), f": {say.value(maker.base.facts[name], value)}")
        for name, value in given.items()
    ]
    return maker.joined(said, "; ")


def _facts(maker: Maker, names: tuple[str, ...]) -> Words:
    return maker.joined([(maker.fact(name),) for name in names])
