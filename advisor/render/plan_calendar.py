"""A plan as a calendar file (RFC 5545): its windows and looks as all-day events with alarms.

Written with the `icalendar` library. The same plan gives the same bytes: the stamp is the plan's
first day and the name of an event comes from the call and the step, so that a plan made anew moves
the events of an older one instead of doubling them.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator

from icalendar import Alarm, Calendar, Event

from advisor import __version__
from advisor.model import KnowledgeBase
from advisor.planning.request import Days, Request
from advisor.planning.sheet import Sheet, StepSheet
from advisor.render import plan_summary as summary
from advisor.render.plan_words import against, all_parts, joined, window
from advisor.render.say import phrase

DOMAIN = "cameback.example"
DAY_BEFORE = dt.timedelta(days=-1)
IN_EVENT = ("before", "mix", "how", "after", "missed", "off")


def plan_calendar(sheet: Sheet, base: KnowledgeBase) -> bytes:
    """The calendar file of a plan."""
    calendar = Calendar()
    calendar.add("prodid", f"-//cameback//{__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", summary.title(sheet, base))
    for step in sheet.steps:
        for event in _events(step, sheet, base):
            calendar.add_component(event)
    return bytes(calendar.to_ical())


def _events(step: StepSheet, sheet: Sheet, base: KnowledgeBase) -> Iterator[Event]:
    number, request = step.step.number, sheet.plan.request
    count = str(sheet.steps[-1].step.number)
    product = step.step.product.name
    head = phrase(base, "plan-event-step", product=product, number=str(number), count=count)
    yield _event(
        f"step-{number}", head, _description(step, sheet, base), step.step.window, request, base
    )
    weeds = joined([t.name for t in step.step.against])
    head = phrase(base, "plan-event-look", weeds=weeds, number=str(number))
    parts = dict(all_parts((step,), base)[0])
    text = "\n".join([*parts["look"], *parts["left"]])
    yield _event(f"look-{number}", head, text, step.around.look, request, base)


def _event(
    name: str, head: str, text: str, days: Days, request: Request, base: KnowledgeBase
) -> Event:
    """An all-day event from a first to a last day, with an alarm the day before."""
    event = Event()
    event.add("uid", f"{_plan_name(request)}-{name}@{DOMAIN}")
    event.add("dtstamp", dt.datetime.combine(request.start, dt.time(), dt.UTC))
    event.add("dtstart", days.first)
    event.add("dtend", days.last + dt.timedelta(days=1))
    event.add("summary", head)
    event.add("description", text)
    event.add("transp", "TRANSPARENT")
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", phrase(base, "plan-event-alarm", what=head))
    alarm.add("trigger", DAY_BEFORE)
    event.add_component(alarm)
    return event


def _plan_name(request: Request) -> str:
    """What stays the same when a plan is made anew: the call, or the weeds and the place."""
    words = request.reference or " ".join([*request.weeds, request.region, str(request.turf)])
    return hashlib.sha256(words.encode()).hexdigest()[:16]


def _description(step: StepSheet, sheet: Sheet, base: KnowledgeBase) -> str:
    lines = [
        summary.about(sheet, base),
        f"{against(step.step, base)} {window(step.step, base)}",
    ]
    for name, texts in all_parts((step,), base)[0]:
        if name in IN_EVENT:
            lines.append(f"{phrase(base, f'plan-part-{name}')}: {' '.join(texts)}")
    lines.append(base.phrases["caution-label"])
    return "\n".join(lines)
