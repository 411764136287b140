"""From a call to an answer: kind of comeback, causes, what to change, stops, outlook, next look.

The top of the reasoning: it runs the tiers in order, hands what they find to the scales and keeps
the whole chain, so that every line of the answer can be traced to what was told. It prints
nothing; `render` puts the result into words.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from advisor.call import Call
from advisor.derive.label import Label, label_of
from advisor.expect import Expectations
from advisor.fact import Conflict, FactSet
from advisor.facts import gather
from advisor.kinds import KindFinding, weigh_kinds
from advisor.model import KnowledgeBase, Remedy, SiteLimit, Stop
from advisor.questions import Opened, Question, rank_questions
from advisor.terms import Options, Truth, Value
from advisor.tiers import Finding, Tiers, as_fact
from advisor.weather.record import Weather
from advisor.weighed import CauseFinding, Range, Weighing
from advisor.weighing import BESIDE, Scales
from advisor.windows import Case
from advisor.wordings import fitting

CONTROL, SUPPRESSION, UNLIKELY, OPEN = "control", "suppression", "unlikely", "open"
LOOK_WITHOUT_PRODUCT = (14.0, 28.0)
"""Days to the next look where no product says how long it takes (common practice)."""


@dataclass(frozen=True, slots=True)
class StopFinding:
    """Something that must not be done now (shown), or must be checked first (open)."""

    stop: Stop
    truth: Truth
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """One thing to put right: the shown causes it mends, what it wins back, how it is done."""

    causes: tuple[CauseFinding, ...]
    remedies: tuple[Remedy, ...]

    @property
    def won(self) -> float:
        """The control that the change wins back, with all that it mends counted together."""
        return max(cause.won for cause in self.causes)


@dataclass(frozen=True, slots=True)
class Outlook:
    """What can be had at this site: control, suppression, unlikely, or open; and why."""

    level: str
    reasons: tuple[str, ...]
    limits: tuple[SiteLimit, ...]


@dataclass(frozen=True, slots=True)
class NextLook:
    """When to look again, and whether that is at the last spraying or at the next one."""

    first: dt.date
    last: dt.date
    not_before: dt.date | None
    waits: bool


@dataclass(frozen=True)
class Diagnosis:
    """The answer to one call, with everything it rests on."""

    call: Call
    facts: FactSet
    kinds: tuple[KindFinding, ...]
    weighing: Weighing
    stops: tuple[StopFinding, ...]
    outlook: Outlook
    look: NextLook
    label: Label
    values: tuple[Mapping[str, Value], ...]
    engine: str
    ask: Callable[[], tuple[Question, ...]] = field(repr=False, compare=False)

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """What to ask next, the most valuable first; worked out when it is first asked for."""
        return self.ask()

    @property
    def kind(self) -> KindFinding:
        """The likeliest kind of comeback."""
        return self.kinds[0]

    @property
    def shown(self) -> tuple[CauseFinding, ...]:
        """Mistakes that are shown and can explain the comeback, dearest first."""
        return tuple(f for f in self._explaining(Truth.SHOWN) if f.cause.group not in BESIDE)

    @property
    def open(self) -> tuple[CauseFinding, ...]:
        """Causes that could have happened and can explain the comeback."""
        return self._explaining(Truth.OPEN)

    @property
    def beside(self) -> tuple[CauseFinding, ...]:
        """Facts of biology and site that are shown and stand beside the mistakes."""
        return tuple(f for f in self._explaining(Truth.SHOWN) if f.cause.group in BESIDE)

    @property
    def noted(self) -> tuple[CauseFinding, ...]:
        """Mistakes that were made but cannot explain this kind of comeback."""
        return tuple(
            f
            for f in self.weighing.causes
            if f.truth is Truth.SHOWN and f.explains is Truth.RULED_OUT
        )

    @property
    def remedies(self) -> tuple[CauseFinding, ...]:
        """Shown causes in the order in which to put them right: by the control won back."""
        shown = [*self.shown, *self.beside]
        return tuple(sorted(shown, key=lambda f: (-f.won, f.cause.group in BESIDE, f.cause.id)))

    @property
    def changes(self) -> tuple[Change, ...]:
        """The remedies as things to put right; causes that one change mends stand together."""
        together: dict[str, list[CauseFinding]] = {}
        for cause in self.remedies:
            together.setdefault(cause.cause.change or cause.cause.id, []).append(cause)
        return tuple(
            Change(tuple(causes), tuple(dict.fromkeys(r for c in causes for r in self._fitting(c))))
            for causes in together.values()
        )

    def _fitting(self, cause: CauseFinding) -> tuple[Remedy, ...]:
        return fitting(cause.cause, self.values[-1])

    @property
    def seen_alive(self) -> Range | None:
        """The share of the weed that the caller still sees alive, if told."""
        fact = self.facts.of_call["left"]
        value = fact.value
        if isinstance(value, Options) or fact.origin.how == "not told":
            return None
        return Range(value.low, (value.low + value.high) / 2, value.high)

    def case(self, base: KnowledgeBase) -> Case:
        """What the days and the products that a text names depend on."""
        call = self.call
        weed, region = base.weeds.get(call.weed or call.weed_treated or ""), call.region
        return Case(
            weed, base.regions.get(region or ""), call.turf, call.reported, self.look.not_before
        )

    @property
    def conflicts(self) -> tuple[Conflict, ...]:
        """What was told twice and does not agree."""
        return self.facts.conflicts

    def _explaining(self, truth: Truth) -> tuple[CauseFinding, ...]:
        return tuple(
            f
            for f in self.weighing.causes
            if f.truth is truth and f.explains is not Truth.RULED_OUT
        )


class Advisor:
    """Diagnoses calls against one knowledge base; the rules are compiled once."""

    def __init__(self, base: KnowledgeBase, engine: str = "auto") -> None:
        self.base = base
        self.tiers = Tiers(base, engine)
        self.expectations = Expectations(base)

    def diagnose(self, call: Call, weather: Weather | None = None) -> Diagnosis:
        """The answer to one call. The same call and weather always get the same answer."""
        base = self.base
        facts = gather(call, base, weather)
        last = len(facts.of_applications) - 1
        values = [facts.values(n) for n in range(last + 1)]
        kind_findings = self.tiers.kinds(values[last])
        kinds = weigh_kinds(kind_findings, base)
        for kind in kinds:
            known = as_fact(f"kind.{kind.kind.id}", kind.truth)
            for one in values:
                one[known.id] = known.value
        cause_findings = [f for n in range(last + 1) for f in self.tiers.causes(values[n], n)]
        scales = Scales(call, facts, base, self.expectations)
        truths = {k.kind.id: k.truth for k in kinds}
        weighing = scales.weigh(cause_findings, truths)
        found = {f.cause.id: f.truth for f in weighing.causes}
        for name in base.causes:
            known = as_fact(f"cause.{name}", found.get(name, Truth.RULED_OUT))
            values[last][known.id] = known.value
        application = call.applications[-1] if call.applications else None
        label = label_of(call, application, base)
        opened = Opened(kind_findings, cause_findings, values, _firm(facts), truths)
        return Diagnosis(
            call=call,
            facts=facts,
            kinds=kinds,
            weighing=weighing,
            stops=self._stops(self.tiers.stops(values[last])),
            outlook=_outlook(call, facts, label, base),
            look=_next_look(call, label, kinds[0]),
            label=label,
            values=tuple(values),
            engine=self.tiers.engine,
            ask=lambda: rank_questions(opened, weighing, scales, base),
        )

    def _stops(self, findings: Iterable[Finding]) -> tuple[StopFinding, ...]:
        by_stop: dict[str, list[Finding]] = {}
        for finding in findings:
            by_stop.setdefault(finding.rule.owner, []).append(finding)
        result = []
        for name, found in by_stop.items():
            shown = [f for f in found if f.truth is Truth.SHOWN]
            truth = Truth.SHOWN if shown else Truth.OPEN
            result.append(StopFinding(self.base.stops[name], truth, tuple(shown or found)))
        return tuple(sorted(result, key=_stop_order))


def _firm(facts: FactSet) -> frozenset[tuple[str, int | None]]:
    of_call = {(name, None) for name, fact in facts.of_call.items() if fact.origin.firm}
    return frozenset(of_call) | {
        (name, n)
        for n, own in enumerate(facts.of_applications)
        for name, fact in own.items()
        if fact.origin.firm
    }


def _stop_order(found: StopFinding) -> tuple[bool, bool, str]:
    """Shown before open; naming the weed outranks everything else."""
    return found.truth is not Truth.SHOWN, found.stop.id != "identify-first", found.stop.id


def _outlook(call: Call, facts: FactSet, label: Label, base: KnowledgeBase) -> Outlook:
    """What can be had: the label's promise, held against the site and the number of sprayings."""
    weed = base.weeds.get(call.weed or call.weed_treated or "")
    known = weed is not None and label.lists is not None
    level, reasons = (CONTROL if known else OPEN), []
    if label.lists == "suppresses":
        level = SUPPRESSION
        reasons.append("The label promises suppression of this weed, not control.")
    limits = []
    for limit in weed.sites if weed else ():
        fact = facts.of_call.get(f"site.{limit.feature}")
        if fact is not None and fact.value == Options.of("yes"):
            limits.append(limit)
            reasons.append(limit.because)
            if limit.outlook == UNLIKELY or level != UNLIKELY:
                level = limit.outlook if limit.outlook != CONTROL else level
    if weed is not None and weed.retreatments.seasons > 1:
        seasons = weed.retreatments.seasons
        reasons.append(f"{weed.name[:1].upper()}{weed.name[1:]} usually takes {seasons} seasons.")
    if label.lists == "not-listed":
        level = UNLIKELY
        reasons.append("This label does not list the weed at all.")
    return Outlook(level, tuple(reasons), tuple(limits))


def _next_look(call: Call, label: Label, kind: KindFinding) -> NextLook:
    """When the last spraying can be judged or, that being past, when the next one can."""
    product = label.product
    full = LOOK_WITHOUT_PRODUCT
    if product is not None and product.full_days.high > 0:  # a preventer has nothing to show
        full = product.full_days.low, product.full_days.high
    sprayed = [a.sprayed for a in call.applications if a.sprayed is not None]
    if sprayed:
        last = max(sprayed, key=lambda when: when.high)
        judged = _days(last.first_day, full[0]), _days(last.last_day, full[1])
        not_before = None
        if label.interval_days is not None:
            not_before = _days(last.last_day, label.interval_days)
        if judged[1] > call.reported and kind.kind.id == "not-dead-yet":
            return NextLook(max(judged[0], call.reported), judged[1], not_before, waits=True)
        start = max(call.reported, not_before or call.reported)
        return NextLook(_days(start, full[0]), _days(start, full[1]), not_before, waits=False)
    start = call.reported
    return NextLook(_days(start, full[0]), _days(start, full[1]), None, waits=False)


def _days(start: dt.date, days: float) -> dt.date:
    return start + dt.timedelta(days=round(days))
