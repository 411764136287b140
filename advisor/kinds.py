"""Weighs the kinds of comeback against each other by the evidence for and against each.

Each rule that fires adds its weight of evidence, in decibans (ten times the decimal logarithm of
a likelihood ratio; Good 1950), to the kinds it speaks for and takes it from those it speaks
against; sums do not depend on the order. Rules that are open make the sums intervals, so that no
kind is called shown or ruled out which more facts could turn round.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.model import Kind, KnowledgeBase
from advisor.terms import Truth
from advisor.tiers import Finding


@dataclass(frozen=True, slots=True)
class KindFinding:
    """A kind of comeback: what it is, how likely, and the findings that speak on it."""

    kind: Kind
    truth: Truth
    chance: float
    speaking: tuple[Finding, ...]
    open: tuple[Finding, ...]


def weigh_kinds(findings: Iterable[Finding], base: KnowledgeBase) -> tuple[KindFinding, ...]:
    """All kinds, the likeliest first.

    The chances come from what is shown and from how often each kind is met; facts not known are
    no evidence either way. A kind is shown where a shown rule speaks for it and it stays close to
    every rival in the worst reading of the open rules; it is ruled out where no rule can speak for
    it, or where even in the best reading it lies far behind.
    """
    found = list(findings)
    shown = [f for f in found if f.truth is Truth.SHOWN]
    hanging = [f for f in found if f.truth is Truth.OPEN]
    weights = {k: _prior(kind) + _sum(shown, k) for k, kind in base.kinds.items()}
    top = max(weights.values())
    odds = {k: 10 ** ((w - top) / 10) for k, w in weights.items()}
    whole = sum(odds.values())
    result = [
        KindFinding(
            kind,
            _truth(k, weights, shown, hanging, base),
            odds[k] / whole,
            tuple(f for f in shown if f.rule.weight.get(k)),
            tuple(f for f in hanging if f.rule.weight.get(k)),
        )
        for k, kind in base.kinds.items()
    ]
    return tuple(sorted(result, key=lambda f: (-f.chance, f.kind.id)))


def _prior(kind: Kind) -> float:
    return 10 * math.log10(max(kind.how_often, 1e-9))


def _sum(findings: Iterable[Finding], kind: str) -> float:
    return math.fsum(f.rule.weight.get(kind, 0.0) for f in findings)


def _truth(
    kind: str,
    weights: dict[str, float],
    shown: list[Finding],
    hanging: list[Finding],
    base: KnowledgeBase,
) -> Truth:
    for_it = [f for f in shown if f.rule.weight.get(kind, 0) > 0]
    could_be = [f for f in hanging if f.rule.weight.get(kind, 0) > 0]
    if not for_it and not could_be:
        return Truth.RULED_OUT
    worst, best = math.inf, math.inf
    for rival, weight in weights.items():
        if rival == kind:
            continue
        low = high = weights[kind] - weight
        for finding in hanging:
            gain = finding.rule.weight.get(kind, 0.0) - finding.rule.weight.get(rival, 0.0)
            low += min(0.0, gain)
            high += max(0.0, gain)
        worst, best = min(worst, low), min(best, high)
    if best < -base.settings.kind_ruled_out_beyond:
        return Truth.RULED_OUT
    if for_it and worst >= -base.settings.kind_shown_within:
        return Truth.SHOWN
    return Truth.OPEN
