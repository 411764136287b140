"""Turns a call into facts: everything told, worked out, read from the label or known of the weed.

The step between the call and the engine. Each module of `derive` adds what it can to a
`Gathering`, which keeps the origin, lets a second origin only narrow a first one and notes
contradictions. What nobody told stays the whole plausible range.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.call import Application, Call, Told
from advisor.derive.around import around_facts, rainfast_margin
from advisor.derive.dose import dose_facts
from advisor.derive.fitting import fitting_facts
from advisor.derive.label import label_of
from advisor.derive.plant import label_facts, plant_facts
from advisor.derive.site import seen_facts, site_facts, today_facts
from advisor.derive.timing import timing_facts, watching_facts
from advisor.fact import TOLD, Conflict, FactSet, Gathering, Origin
from advisor.model import KnowledgeBase
from advisor.terms import Value
from advisor.weather.record import Weather

NOTHING_TOLD = Application(None, None, None, None, None, None, {}, 0)


def gather(call: Call, base: KnowledgeBase, weather: Weather | None = None) -> FactSet:
    """All facts of a call, by what was told and by the weather file beside it.

    A call that tells of no application is taken as one application of which nothing is known.
    """
    unknown = _unknown(base, "call")
    of_call = Gathering(unknown)
    _told(call.told, of_call)
    _told(call.answers, of_call)
    plant_facts(call, base, of_call)
    fitting_facts(call, base, of_call)
    site_facts(call, base, of_call)
    seen_facts(call, of_call)
    last = call.applications[-1] if call.applications else None
    label = label_of(call, last, base)
    weed = base.weeds.get(call.weed or call.weed_treated or "")
    watching_facts(call, base, weed, of_call)
    today_facts(call, label, base, of_call, weather)
    applications = call.applications or (NOTHING_TOLD,)
    gathered = [_of_application(call, n, base, weather) for n in range(len(applications))]
    conflicts: list[Conflict] = list(of_call.conflicts)
    for one in gathered:
        conflicts.extend(one.conflicts)
    return FactSet(of_call.finish(), tuple(g.finish() for g in gathered), tuple(conflicts))


def _of_application(
    call: Call, number: int, base: KnowledgeBase, weather: Weather | None
) -> Gathering:
    application = call.applications[number] if call.applications else NOTHING_TOLD
    into = Gathering(_unknown(base, "application"), number)
    _told(application.told, into)
    _told(application.answers, into)
    label = label_of(call, application, base)
    label_facts(call, label, base, into)
    dose_facts(application, label, base, into)
    around_facts(call, application, label, base, into, weather)
    rainfast_margin(label, into)
    if call.applications:
        timing_facts(call, number, label, base, into, weather)
    return into


def _told(told: Mapping[str, Told], into: Gathering) -> None:
    for name, said in told.items():
        into.add(name, said.value, Origin(TOLD, said.words, (said.line,)))


def _unknown(base: KnowledgeBase, scope: str) -> dict[str, Value]:
    """The facts of a scope as nobody told them; kinds and causes come in later tiers."""
    return {
        name: fact.unknown
        for name, fact in base.facts.items()
        if fact.scope == scope and not name.startswith(("kind.", "cause."))
    }
