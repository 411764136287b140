"""How well questions find their topics: one count of tests/data/ for tests and pages.

The matching tests and the measuring script share it, so that what is asserted is what is printed.
It judges by the labels of the files alone. `tune` may be looked at while phrasings are written and
the finder is worked on; `hold` is only counted.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from advisor.answers.finding import Finder, Verdict

DATA = Path(__file__).parent / "data"
FILES = {"tune": DATA / "questions.yaml", "hold": DATA / "questions-hold.yaml"}
NONE = "none"


@dataclass
class Score:
    """The counts of one half of the questions."""

    ours: int = 0
    top: int = 0
    top_three: int = 0
    verdicts: Counter[tuple[bool, str, bool]] = field(default_factory=Counter)
    """Whether it is ours, the verdict, and whether the right topic is given or offered."""
    confused: Counter[tuple[str, str]] = field(default_factory=Counter)

    @property
    def not_ours(self) -> int:
        return sum(n for (ours, _, _), n in self.verdicts.items() if not ours)

    @property
    def top_share(self) -> float:
        """How often the likeliest topic is right, of the questions that have one."""
        return self.top / self.ours

    def count(self, *, ours: bool, verdict: Verdict, right: bool) -> int:
        """Questions of a sort."""
        return self.verdicts[ours, verdict.value, right]

    @property
    def answered_wrongly(self) -> int:
        """Questions of ours that got another topic's answer."""
        return self.count(ours=True, verdict=Verdict.ANSWER, right=False)

    @property
    def answered_though_not_ours(self) -> int:
        """Questions of others that got an answer."""
        return self.count(ours=False, verdict=Verdict.ANSWER, right=False)

    @property
    def refused(self) -> int:
        """Questions of others that got no answer: refused, or asked back."""
        return self.not_ours - self.answered_though_not_ours

    @property
    def refusal_recall(self) -> float:
        """Of the questions that are not ours, the share that got no answer."""
        return self.refused / self.not_ours

    @property
    def refusal_precision(self) -> float:
        """Of the questions told that there is no answer, the share that are not ours."""
        told = sum(n for (_, v, _), n in self.verdicts.items() if v == Verdict.NONE.value)
        right = self.count(ours=False, verdict=Verdict.NONE, right=False)
        return right / told if told else 1.0


def questions(split: str) -> list[dict[str, Any]]:
    """The questions of one half: `tune` or `hold`."""
    data: Any = yaml.load(FILES[split].read_text("utf-8"), Loader=yaml.BaseLoader)
    return list(data)


def score(finder: Finder, split: str) -> Score:
    """Every question of a half put to the finder."""
    result = Score()
    for entry in questions(split):
        wanted = {str(entry["topic"]), *map(str, entry.get("also") or ())}
        ours = entry["topic"] != NONE
        found = finder.find(str(entry["q"]))
        verdict = found.verdict if found else Verdict.NONE
        nearest = [c.topic.id for c in found.nearest] if found else []
        offered = nearest[:1] if verdict is Verdict.ANSWER else nearest[:2]
        result.verdicts[ours, verdict.value, ours and bool(wanted & {*offered})] += 1
        if ours:
            result.ours += 1
            result.top += bool(wanted & {*nearest[:1]})
            result.top_three += bool(wanted & {*nearest[:3]})
            if not wanted & {*nearest[:1]}:
                result.confused[str(entry["topic"]), nearest[0] if nearest else NONE] += 1
    return result
