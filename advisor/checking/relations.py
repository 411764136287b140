"""K417: what always holds between facts can hold.

A relation of facts.yaml that excludes the others would make every rule on its facts impossible.

PASS:
    # facts.yaml
    relations:
      - {difference: [rate_of_min, rate_of_max], at-least: 0, because: One is the lower rate.}

FAIL:
    relations:
      - {difference: [rate_of_min, rate_of_max], at-least: 0, because: One is the lower rate.}
      - {difference: [rate_of_max, rate_of_min], at-least: 1, because: One is the higher rate.}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.problem import Problem


def check(subject: Subject) -> Iterator[Problem]:
    """The relations that exclude those above them."""
    path = str(subject.folder / "facts.yaml")
    for n, relation in enumerate(subject.base.relations):
        if relation not in subject.relations:
            message = "this cannot hold beside the relations above it"
            yield subject.pages.problem("K417", message, path, "relations", n)
