"""A diagnosis as a JSON document, described by schemas/diagnosis.schema.json.

For programs that take answers from this one. The format has a version; a key is never dropped or
given another meaning without raising it.
"""

from __future__ import annotations

from typing import Any

from advisor.diagnosis import Diagnosis
from advisor.model import KnowledgeBase
from advisor.render.say import because, filled_for
from advisor.terms import Options, Value
from advisor.tiers import Finding
from advisor.weighed import CauseFinding, Range
from advisor.wordings import told_what

FORMAT = "cameback-diagnosis"
VERSION = 1


def diagnosis_document(found: Diagnosis, base: KnowledgeBase) -> dict[str, Any]:
    """The whole answer as plain data."""
    call = found.call
    return {
        "format": FORMAT,
        "version": VERSION,
        "call": call.reference,
        "reported": str(call.reported),
        "weed": call.weed or call.weed_treated,
        "engine": found.engine,
        "stops": [
            {
                "id": s.stop.id,
                "status": s.truth.value,
                "what": told_what(s.stop, found.values[-1]),
                "until": filled_for(s.stop.until, found, base),
                "evidence": [_finding(f, found, base) for f in s.findings],
            }
            for s in found.stops
        ],
        "kinds": [
            {
                "id": k.kind.id,
                "status": k.truth.value,
                "chance": _rounded(k.chance),
                "evidence": [_finding(f, found, base) for f in k.speaking],
            }
            for k in found.kinds
        ],
        "causes": [_cause(c, found, base) for c in found.weighing.causes],
        "control": {
            "done": _range(found.weighing.done),
            "possible": _range(found.weighing.possible),
            "repeats": found.weighing.repeats,
        },
        "changes": [
            {
                "cause": c.causes[0].cause.id,
                "mends": [one.cause.id for one in c.causes],
                "won": _rounded(c.won),
                "control": _rounded(found.weighing.done.expected + c.won),
                "do": [filled_for(r.do, found, base) for r in c.remedies],
            }
            for c in found.changes
        ],
        "questions": [
            {
                "fact": q.fact,
                "application": None if q.application is None else q.application + 1,
                "ask": q.ask,
                "value": _rounded(q.value),
                "settles": list(q.settles),
            }
            for q in found.questions
        ],
        "outlook": {"level": found.outlook.level, "reasons": list(found.outlook.reasons)},
        "look": {
            "first": str(found.look.first),
            "last": str(found.look.last),
            "not_before": None if found.look.not_before is None else str(found.look.not_before),
            "waits": found.look.waits,
        },
        "conflicts": [
            {
                "fact": c.fact,
                "application": None if c.application is None else c.application + 1,
                "kept": str(c.kept.origin),
                "other": str(c.other.origin),
            }
            for c in found.conflicts
        ],
        "facts": _facts(found),
        "cautions": [
            base.phrases[f"caution-{name}"]
            for name in ("label", "local", "gear", "people", "weather", "water")
        ],
    }


def _cause(cause: CauseFinding, found: Diagnosis, base: KnowledgeBase) -> dict[str, Any]:
    return {
        "id": cause.cause.id,
        "group": cause.cause.group,
        "status": cause.truth.value,
        "explains": cause.explains.value,
        "chance": _rounded(cause.chance),
        "share": _rounded(found.weighing.share(cause)),
        "lost": _rounded(cause.lost),
        "won": _rounded(cause.won),
        "evidence": [_finding(f, found, base) for f in cause.findings],
    }


def _finding(finding: Finding, found: Diagnosis, base: KnowledgeBase) -> dict[str, Any]:
    return {
        "rule": finding.rule.id,
        "status": finding.truth.value,
        "application": None if finding.application is None else finding.application + 1,
        "chance": _rounded(finding.chance),
        "because": because(finding.rule, found, base, finding.application),
        "facts": sorted(finding.clause.facts),
        "open_facts": list(finding.open_facts),
    }


def _facts(found: Diagnosis) -> dict[str, Any]:
    return {
        "call": {n: _fact(f.value, str(f.origin)) for n, f in sorted(found.facts.of_call.items())},
        "applications": [
            {n: _fact(f.value, str(f.origin)) for n, f in sorted(own.items())}
            for own in found.facts.of_applications
        ],
    }


def _fact(value: Value, origin: str) -> dict[str, Any]:
    if isinstance(value, Options):
        return {"options": sorted(value.possible), "origin": origin}
    return {"low": _rounded(value.low), "high": _rounded(value.high), "origin": origin}


def _range(known: Range) -> dict[str, float]:
    return {
        "low": _rounded(known.low),
        "expected": _rounded(known.expected),
        "high": _rounded(known.high),
    }


def _rounded(number: float) -> float:
    return round(number, 6)
