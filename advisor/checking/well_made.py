"""K602: on a treatment that was made well, no cause and no stop is shown.

The calls under `examples/well-made/` are ordinary treatments with nothing amiss. A rule that is
shown on one would blame callers who did everything right.

PASS:
    # examples/well-made/a-call.yaml
    reported: 2027-09-29
    weed: dandelion
    answers: {wind_now: 4 mph}

FAIL:
    answers: {wind_now: 20 mph}
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.checking.corpus import Case
from advisor.checking.subject import Subject
from advisor.problem import Problem
from advisor.terms import Truth
from advisor.tiers import Finding
from advisor.yamlfile import Key


def check(subject: Subject) -> Iterator[Problem]:
    """The causes and stops shown on well-made treatments, naming their rules."""
    for case in subject.cases:
        found = case.diagnosis
        if found is None or not case.well_made:
            continue
        for cause in (*found.shown, *found.beside, *found.noted):
            yield _problem(subject, case, "cause", cause.cause.id, cause.findings)
        for stop in found.stops:
            if stop.truth is Truth.SHOWN:
                yield _problem(subject, case, "stop", stop.stop.id, stop.findings)


def _problem(
    subject: Subject, case: Case, what: str, name: str, findings: Iterable[Finding]
) -> Problem:
    shown = [f for f in findings if f.truth is Truth.SHOWN]
    rules = " and ".join(dict.fromkeys(f.rule.id for f in shown))
    message = f"the {what} {name} is shown on a well-made treatment, by {rules}"
    place = shown[0].rule.place
    hint = f"mend the rule at {place.path}:{place.line}, or the call if something is amiss in it"
    application = shown[0].application
    keys: tuple[Key, ...] = () if application is None else ("treatment", application)
    return subject.pages.problem("K602", message, case.path, *keys, hint=hint)
