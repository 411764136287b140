"""Runs every check on a knowledge folder and gathers what they find.

The command line calls `check_folder` and prints the result. It loads first, for a folder that does
not load has no rules to try; it never stops at the first problem and never prints.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from advisor.checking import (
    answer_placeholders,
    calls,
    contradictions,
    control_figures,
    covered,
    engine_limits,
    exemptions,
    few_phrasings,
    figures,
    fires,
    impossible_examples,
    kind_shares,
    label_rates,
    lawn_labels,
    lookalikes,
    near_misses,
    never_fires,
    never_said,
    opposites,
    phrasing_twice,
    placeholders,
    plans,
    reading_grade,
    redundant,
    relations,
    retreatment_counts,
    text_too_long,
    unanswered,
    unreachable,
    unread,
    untested,
    weed_gaps,
    well_made,
)
from advisor.checking.subject import Check, Subject
from advisor.checking.translations import notices
from advisor.knowledge import EXAMPLES, load
from advisor.problem import Problem, ProblemsFound, sorted_unique

CHECKS: Final[tuple[Check, ...]] = (
    lookalikes.check,
    label_rates.check,
    figures.check,
    control_figures.check,
    weed_gaps.check,
    plans.check,
    lawn_labels.check,
    retreatment_counts.check,
    kind_shares.check,
    placeholders.check,
    answer_placeholders.check,
    reading_grade.check,
    few_phrasings.check,
    phrasing_twice.check,
    text_too_long.check,
    unanswered.check,
    never_said.check,
    relations.check,
    contradictions.check,
    never_fires.check,
    unreachable.check,
    unread.check,
    covered.check,
    redundant.check,
    opposites.check,
    engine_limits.check,
    impossible_examples.check,
    fires.check,
    near_misses.check,
    untested.check,
    calls.check,
    well_made.check,
    exemptions.check,
)


@dataclass(frozen=True, slots=True)
class CheckResult:
    """Everything wrong with a knowledge folder, and how much was looked at.

    A folder that does not load counts its files alone.
    """

    problems: tuple[Problem, ...]
    files: int
    rules: int = 0
    examples: int = 0
    calls: int = 0
    grades: Mapping[str, reading_grade.Grades] = field(default_factory=dict)
    notices: tuple[str, ...] = ()


def check_folder(folder: Path, *, engine: str = "auto") -> CheckResult:
    """Load a knowledge folder and try its rules, its examples and its calls.

    Args:
        folder: the folder.
        engine: the rules engine to try them on, as `engine.choose.build` names it.

    Raises:
        EngineError: if that engine cannot be had.
    """
    files = sum(
        1 for path in folder.rglob("*.yaml") if EXAMPLES not in path.relative_to(folder).parts
    )
    try:
        base = load(folder)
    except ProblemsFound as found:
        return CheckResult(found.problems, files)
    subject = Subject(base, folder, engine)
    problems = sorted_unique(problem for check in CHECKS for problem in subject.found(check))
    rules = tuple(base.rules())
    return CheckResult(
        problems,
        files,
        rules=len(rules),
        examples=sum(len(rule.fires) + len(rule.quiet) for rule in rules),
        calls=len(subject.cases),
        grades=reading_grade.grades(subject),
        notices=tuple(notices(base)),
    )
