"""K312: every placeholder in a text can be filled.

`{weed}`, `{product}` and `{fact_id}` are put in by the program. Anything else in braces would be
read out to the caller as it stands.

PASS:
    # stops/windy.yaml
    what: "The wind ({wind_now}) carries {product} off the target."

FAIL:
    what: "The wind ({wind_nwo}) carries {product} off the target."
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from advisor.checking.pages import Keys
from advisor.checking.subject import Owner, Subject
from advisor.model import Cause, Stop
from advisor.names import did_you_mean
from advisor.problem import Problem
from advisor.windows import NAMES

FILLED = ("weed", "product", *NAMES)
BRACED = re.compile(r"\{([^{}]*)\}")


def check(subject: Subject) -> Iterator[Problem]:
    """The texts with a placeholder that nothing fills, or a brace left over."""
    names = {*FILLED, *subject.base.facts}
    for path, owner in subject.owners:
        for keys, text in _texts(owner):
            for name in dict.fromkeys(BRACED.findall(text)):
                if name not in names:
                    message = f"nothing fills in {{{name}}}"
                    hint = did_you_mean(name, names)
                    yield subject.pages.problem("K312", message, path, *keys, hint=hint)
            if re.search(r"[{}]", BRACED.sub("", text)):
                message = "a brace without its partner"
                yield subject.pages.problem("K312", message, path, *keys)


def _texts(owner: Owner) -> Iterator[tuple[Keys, str]]:
    """The texts of an entry that are filled in, with their places."""
    yield ("what",), owner.what
    yield ("customer",), owner.customer
    for i, one in enumerate(owner.instead):
        yield ("instead", i, "what"), one.what
        yield ("instead", i, "customer"), one.customer
    if isinstance(owner, Stop):
        yield ("until",), owner.until
    if isinstance(owner, Cause):
        for i, remedy in enumerate(owner.remedies):
            yield ("remedies", i, "do"), remedy.do
            yield ("remedies", i, "customer"), remedy.customer
    for i, rule in enumerate(owner.rules):
        yield ("rules", i, "because"), rule.because
        if rule.trial is not None:
            yield ("rules", i, "trial", "found"), rule.trial.found
