"""The dates of a plan in their order: a list to tick off on the printed sheet.

Taken from the steps and what belongs around them; it decides nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from advisor.model import KnowledgeBase
from advisor.planning.sheet import Sheet, StepSheet
from advisor.render.plan_words import day_name, month_day
from advisor.render.say import phrase

ORDER = ("mow", "water", "spray", "water-in", "mow-again", "look", "sow")


@dataclass(frozen=True, order=True)
class Task:
    """Something to do on a day."""

    day: dt.date
    order: int
    what: str

    @property
    def when(self) -> str:
        """The day in words."""
        return day_name(self.day)


def tasks(sheet: Sheet, base: KnowledgeBase) -> list[Task]:
    """The tasks of a plan by their days."""
    found = [task for step in sheet.steps for task in _of_step(step, base)]
    for slot in sheet.slots:
        for run in slot.open:
            last = month_day(run.last)
            found.append(_task(run.first, "sow", phrase(base, "plan-task-sow", last=last)))
    return sorted(found)


def _task(day: dt.date, kind: str, what: str) -> Task:
    return Task(day, ORDER.index(kind), what)


def _of_step(sheet: StepSheet, base: KnowledgeBase) -> Iterator[Task]:
    step, near = sheet.step, sheet.around
    number = str(step.number)
    if near.last_mowing is not None:
        yield _task(near.last_mowing, "mow", phrase(base, "plan-task-mow", number=number))
    if near.last_water is not None:
        yield _task(near.last_water, "water", phrase(base, "plan-task-water", number=number))
    figures = {"number": number, "product": step.product.name, "last": month_day(step.window.last)}
    name = "plan-task-spray-by" if step.window.last > step.day else "plan-task-spray"
    yield _task(step.day, "spray", phrase(base, name, **figures))
    if near.water_in_by is not None:
        yield _task(near.water_in_by, "water-in", phrase(base, "plan-task-water-in", number=number))
    if near.next_mowing is not None:
        yield _task(near.next_mowing, "mow-again", phrase(base, "plan-task-mow-again"))
    last = month_day(near.look.last)
    yield _task(near.look.first, "look", phrase(base, "plan-task-look", number=number, last=last))
