"""K418: every example of a rule can come about, given what always holds between facts.

An example whose facts break a relation of facts.yaml describes a case that cannot be, and proves
nothing of the rule it stands beside.

PASS:
    # stops/windy.yaml
    rules:
      - id: hot-or-cold
        when: {any: [{fact: heat_ahead, below: 0}, {fact: cold_ahead, below: 0}]}
        because: "It is hot or cold."
        from: common-practice
        fires:
          - {name: hot, given: {cold_ahead: 30 F-degrees, heat_ahead: -5 F-degrees}}
        quiet:
          - name: neither
            given: {cold_ahead: 5 F-degrees, heat_ahead: 5 F-degrees}
            held_by: [cold_ahead, heat_ahead]

FAIL:
    fires:
      - {name: hot and cold, given: {cold_ahead: -5 F-degrees, heat_ahead: -5 F-degrees}}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.boxes import Box, Space
from advisor.checking.subject import Subject
from advisor.model import Relation
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The examples that break relations between facts."""
    for rule in subject.base.rules():
        for example in (*rule.fires, *rule.quiet):
            box = subject.space.given(example.given)
            if subject.space.possible(box):
                continue
            broken = (r for r in subject.relations if not _keeps(subject, box, r))
            place = example.place
            message = f"`{example.name}` cannot come about"
            hint = " ".join(relation.because for relation in broken)
            yield Problem(place.path, place.line, place.column, "K418", message, hint)


def _keeps(subject: Subject, box: Box, relation: Relation) -> bool:
    return Space(subject.base.facts, [relation]).possible(box)
