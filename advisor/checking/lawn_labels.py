"""K212: every weed is on a label that leaves the grass alive, or its file says that none is.

A label that lists a weed as controlled, or at least as suppressed, gives a caller something to do
short of starting over. Where no lawn product takes a weed out of the grass, the weed's file says so
under `exempt`, and says what is done instead.

PASS:
    # weeds/quackgrass.yaml
    exempt:
      - {code: K209, about: [cool-season], because: It is too close a kin of the lawn grass.}
      - {code: K209, about: [warm-season], because: It is too close a kin of the lawn grass.}
      - {code: K212, about: [quackgrass], because: Patches are killed with the grass and sown anew.}

FAIL:
    exempt:
      - {code: K209, about: [cool-season], because: It is too close a kin of the lawn grass.}
      - {code: K209, about: [warm-season], because: It is too close a kin of the lawn grass.}
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.checking.subject import Subject
from advisor.problem import Problem

KILLS_GRASS = "non-selective"


def check(subject: Subject) -> Iterator[Problem]:
    """The weeds that nothing for a lawn lists, and that do not say so."""
    lawn = [p for p in subject.base.products.values() if p.kind != KILLS_GRASS]
    for weed in subject.base.weeds.values():
        if any(p.lists(weed.id) != "not-listed" for p in lawn):
            continue
        if subject.excused("K212", weed.exempt, {weed.id}):
            continue
        message = f"no product that spares the grass lists {weed.id}, not even as suppressed"
        hint = "list it on a label, or say under `exempt` what is done instead"
        yield subject.pages.problem("K212", message, weed.place.path, "id", hint=hint)
