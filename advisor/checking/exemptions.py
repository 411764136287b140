"""K416: every exemption excuses something.

A file may say under `exempt` that what a check would report is meant to be so, and why. Once the
check has nothing to report there, the exemption hides the next mistake and must go.

PASS:
    # causes/too-hot.yaml
    opposes: [too-cold]

FAIL:
    exempt:
      - {code: K414, about: [ester-in-the-heat, above-label-temperature], because: It says why.}
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from advisor.checking import lawn_labels, opposites, plans, redundant, retreatment_counts
from advisor.checking.subject import Check, Subject
from advisor.problem import Problem

EXEMPTING: Final[dict[str, Check]] = {
    "K209": plans.check,
    "K210": retreatment_counts.check,
    "K212": lawn_labels.check,
    "K414": redundant.check,
    "K415": opposites.check,
}
"""The checks that can be told that something is meant to be so, by their codes."""


def check(subject: Subject) -> Iterator[Problem]:
    """The exemptions that excuse nothing."""
    for one in EXEMPTING.values():
        subject.found(one)
    for entry in subject.exempting:
        for exemption in entry.exempt:
            if exemption in subject.needed:
                continue
            about = " and ".join(sorted(exemption.about))
            message = f"nothing is wrong with {about} by {exemption.code}: the exemption can go"
            if exemption.code not in EXEMPTING:
                message = f"no exemption is made from {exemption.code}"
            place = exemption.place
            hint = "exempt from: " + ", ".join(EXEMPTING)
            known = exemption.code in EXEMPTING
            yield Problem(
                place.path, place.line, place.column, "K416", message, "" if known else hint
            )
