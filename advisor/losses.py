"""The loss that a rule means at an application: read off the rule, or worked out from the case.

`weighing` asks it for every finding. Where a loss hangs on a fact that is not known exactly it is
the mean over what the fact can be; nothing here decides whether a rule holds.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from statistics import fmean

from advisor import control as c
from advisor.account import Call
from advisor.derive.label import Label
from advisor.derive.timing import season_shares
from advisor.expect import Expectations
from advisor.model import KnowledgeBase
from advisor.terms import Options, Span, Value
from advisor.tiers import Finding

Values = Sequence[Mapping[str, Value]]
"""What is known of each fact, for each application."""
READ = ("rate_of_min", "habit")
"""The facts that a loss hangs on beside those of its rule."""


class Losses:
    """The losses of one call."""

    def __init__(
        self, call: Call, base: KnowledgeBase, expectations: Expectations, labels: Sequence[Label]
    ) -> None:
        self._call = call
        self._base = base
        self._expect = expectations
        self._labels = labels
        self._weed = call.weed or call.weed_treated
        self._turf = call.turf

    def of(
        self,
        finding: Finding,
        bases: Sequence[c.Base],
        on_product: Sequence[Sequence[str]],
        values: Values,
    ) -> float:
        """The share of an application's kill that a finding means to be lost.

        Args:
            finding: the finding.
            bases: what each application does when all is right.
            on_product: for each application the causes that share the blame for the product.
            values: what is known of the facts.
        """
        rule = finding.rule
        n = finding.application if finding.application is not None else len(bases) - 1
        if rule.loss_from == "dose-response":
            return self._dose(finding, bases[n], values[n])
        if rule.loss_from == "season":
            return self._season(finding, n)
        if rule.loss_from == "product":
            gap = self._product_gap(finding, n)
            return 1 - math.pow(1 - gap, 1 / max(1, len(on_product[n])))
        classes = class_chances(self._base, values[n]["habit"])
        return sum(rule.loss.get(name, 0.0) * p for name, p in classes.items())

    def _dose(self, finding: Finding, base: c.Base, values: Mapping[str, Value]) -> float:
        rate = values["rate_of_min"]
        assert isinstance(rate, Span)
        condition = next(x for x in finding.clause.conditions if x.fact == "rate_of_min")
        low = max(rate.low, condition.low or 0.0)
        high = min(rate.high, 1.0 if condition.high is None else condition.high)
        slope = self._base.settings.dose_slope
        points = [low + (high - low) * i / 4 for i in range(5)] if high > low else [low]
        return fmean(c.dose_loss(base.share, point, slope) for point in points)

    def _season(self, finding: Finding, n: int) -> float:
        weed = self._base.weeds.get(self._weed or "")
        fits = next(x.options for x in finding.clause.conditions if x.fact == "season_fit")
        sprayed = self._call.applications[n].sprayed if self._call.applications else None
        if weed is None:
            every = [s.share for w in self._base.weeds.values() for s in w.seasons if s.fit in fits]
            return 1 - fmean(every) if every else 0.0
        if sprayed is None:
            shares = [s.share for s in weed.seasons if s.fit in fits]
        else:
            shares = season_shares(self._call, sprayed, weed, self._base, fits)
        return 1 - fmean(shares) if shares else 0.0

    def _product_gap(self, finding: Finding, n: int) -> float:
        label = self._labels[n]
        if label.product is not None or label.actives:
            product = label.product.id if label.product else None
            return self._expect.product_gap(self._weed, self._turf, product, label.actives)
        lists = next(
            (next(iter(x.options)) for x in finding.clause.conditions if x.fact == "label_lists"),
            "not-listed",
        )
        return self._expect.listing_gap(self._weed, self._turf, lists)


def class_chances(base: KnowledgeBase, habit: Value) -> dict[str, float]:
    """How likely each habit class is, given what is known of the habit."""
    assert isinstance(habit, Options)
    options = base.facts["habit"].options
    whole = sum(options[name].how_often for name in habit.possible) or 1.0
    chances: dict[str, float] = {}
    for name in sorted(habit.possible):
        group = options[name].habit_class or ""
        chances[group] = chances.get(group, 0.0) + options[name].how_often / whole
    return chances
