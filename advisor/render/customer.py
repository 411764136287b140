"""A diagnosis to read out or send to a homeowner: plain words, no jargon, no blame.

Every sentence is the knowledge base's customer wording; figures and ranges stay with the
technician. Stops come first here too.
"""

from __future__ import annotations

import datetime as dt

from advisor.diagnosis import OPEN, UNLIKELY, Diagnosis
from advisor.model import Cause, Kind, KnowledgeBase, Stop
from advisor.render.layout import Page
from advisor.render.say import filled_for, phrase
from advisor.terms import Span, Truth
from advisor.wordings import told_customer

SEEDLINGS = "new-seedlings"
MOST_CAUSES = 4
MOST_QUESTIONS = 3
MOST_REMEDIES = 5
CAUTIONS = ("label", "gear", "people", "weather", "water")


def customer_page(found: Diagnosis, base: KnowledgeBase, page: Page) -> str:
    """The whole answer as text for a homeowner."""
    weed = base.weeds.get(found.call.weed or found.call.weed_treated or "")
    if weed is not None:
        page.head(phrase(base, "customer-about", weed=weed.name))
    else:
        page.head(phrase(base, "customer-about-unknown"))
    _stops(found, base, page)
    _part("customer-kind", [_told(found.kind.kind, found, base)], base, page)
    _why(found, base, page)
    _do(found, base, page)
    _expect(found, base, page)
    if not _unnamed(found):  # nothing is to be done to it, so there is nothing to look for
        _look(found, base, page)
    asks = list(dict.fromkeys(q.ask for q in found.questions if q.value > 0))[:MOST_QUESTIONS]
    if asks:
        _list("customer-ask", asks, base, page)
    _list("customer-safe", [phrase(base, f"customer-caution-{c}") for c in CAUTIONS], base, page)
    return str(page)


def _part(head: str, texts: list[str], base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, head))
    for text in texts:
        page.text(text, 0)


def _list(head: str, texts: list[str], base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, head))
    for text in texts:
        page.item("-", text, 0)


def _stops(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    shown = [s for s in found.stops if s.truth is Truth.SHOWN]
    if shown:
        page.blank()
        said = " ".join(_told(s.stop, found, base) for s in shown)
        page.text(f"{phrase(base, 'customer-stop')} {said}", 0)


def _why(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    shown = [*found.shown, *found.beside][:MOST_CAUSES]
    page.head(phrase(base, "customer-why"))
    if shown:
        for cause in shown:
            page.item("-", _told(cause.cause, found, base), 0)
    elif found.open:
        page.text(phrase(base, "customer-why-open"), 0)
        for cause in found.open[:MOST_QUESTIONS]:
            page.item("-", _told(cause.cause, found, base), 0)
    else:
        page.text(phrase(base, "customer-why-none"), 0)


def _do(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "customer-do"))
    remedies = [change.remedies[0].customer for change in found.changes][:MOST_REMEDIES]
    if _unnamed(found):
        # nothing about sprays before the weed has a name
        remedies = [phrase(base, "customer-do-identify")]
    if not remedies:
        page.text(phrase(base, "customer-do-none"), 0)
    for number, text in enumerate(dict.fromkeys(remedies), 1):
        page.item(f"{number}.", _say(text, found, base), 0)


def _unnamed(found: Diagnosis) -> bool:
    """Whether the weed must be named before anything else is said of it."""
    return any(s.stop.id == "identify-first" and s.truth is Truth.SHOWN for s in found.stops)


def _expect(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    level = OPEN if _unnamed(found) else found.outlook.level
    texts = [phrase(base, f"customer-expect-{level}")]
    repeats = found.weighing.repeats
    weed = base.weeds.get(found.call.weed or found.call.weed_treated or "")
    seedlings = found.kind.kind.id == SEEDLINGS
    several = repeats is not None and repeats > 1 and level not in (OPEN, UNLIKELY)
    if weed is not None and several and not seedlings:
        count = base.speech.amount(Span(*weed.retreatments.applications), "count")
        texts.append(phrase(base, "customer-expect-repeats", count=count))
    _part("customer-expect", texts, base, page)


def _look(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    look = found.look
    late = look.not_before is not None and look.not_before > found.call.reported
    name = "waits" if look.waits else "after" if late else "plain"
    if found.kind.kind.id == SEEDLINGS and name == "plain":
        name = "seedlings"
    text = phrase(
        base,
        f"customer-look-{name}",
        first=_day(look.first, base),
        last=_day(look.last, base),
        not_before=_day(look.not_before or look.first, base),
    )
    _part("customer-look", [text], base, page)


def _day(date: dt.date, base: KnowledgeBase) -> str:
    return base.speech.day(date.month, date.day)


def _say(text: str, found: Diagnosis, base: KnowledgeBase) -> str:
    return filled_for(text, found, base)


def _told(entry: Cause | Kind | Stop, found: Diagnosis, base: KnowledgeBase) -> str:
    return _say(told_customer(entry, found.values[-1]), found, base)
