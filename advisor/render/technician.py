"""A diagnosis for the person on the phone: stops first, then why, what to ask, what to change.

Takes a `Diagnosis` and writes a page of at most 80-odd columns. Everything said comes from the
knowledge base or from figures of the diagnosis; the order is fixed.
"""

from __future__ import annotations

from advisor.diagnosis import Diagnosis
from advisor.model import Cause, Kind, KnowledgeBase, Stop
from advisor.render.layout import BOLD, DIM, RED, YELLOW, Page, bar
from advisor.render.say import because, filled_for, in_hundred, percent, phrase, title
from advisor.terms import Truth
from advisor.tiers import Finding
from advisor.weighed import CauseFinding
from advisor.wordings import told_what

WORTH_ASKING = 6
MOST_NAMED = 8
LEAST_CHANCE = 0.05
CAUTIONS = ("label", "local", "gear", "people", "weather", "water")


def technician_page(found: Diagnosis, base: KnowledgeBase, page: Page) -> str:
    """The whole answer as text."""
    _title(found, base, page)
    _stops(found, base, page)
    _kind(found, base, page)
    _conflicts(found, base, page)
    _shown(found, base, page)
    _open(found, base, page)
    _change(found, base, page)
    _outlook(found, base, page)
    _look(found, base, page)
    _cautions(found, base, page)
    return str(page)


def _title(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    call = found.call
    weed = base.weeds.get(call.weed or call.weed_treated or "")
    name = f"{weed.name} ({weed.latin})" if weed else "weed not named"
    product = found.label.product
    parts = [name, product.name if product else "product not known", f"call of {call.reported}"]
    page.head(call.reference)
    page.text(", ".join(parts), indent=0)


def _stops(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    shown = [s for s in found.stops if s.truth is Truth.SHOWN]
    checks = [s for s in found.stops if s.truth is Truth.OPEN]
    page.head(phrase(base, "head-stop"), RED if shown else BOLD)
    if not shown:
        page.text(phrase(base, "none-stops"))
    for stop in shown:
        page.item("!", f"{title(stop.stop.title)}. {_what(stop.stop, found)}", style=RED)
        for finding in stop.findings[:1]:
            page.text(_because(finding, found, base), 4)
        page.text(_fill(stop.stop.until, found, base), 4)
    if checks:
        page.head(phrase(base, "head-check"))
        for stop in checks:
            facts = dict.fromkeys(f for x in stop.findings for f in x.open_facts)
            asks = dict.fromkeys(base.facts[f].ask for f in facts if base.facts[f].ask)
            page.item("?", f"{title(stop.stop.title)}: {' '.join(asks)}".rstrip(": "))


def _kind(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "head-kind"))
    first = found.kind
    chance = phrase(base, "kind-unsure", chance=in_hundred(first.chance))
    mark = "" if first.truth is Truth.SHOWN else "most likely: "
    page.text(f"{mark}{first.kind.title} ({chance}). {_what(first.kind, found)}")
    for finding in first.speaking:
        if finding.rule.weight.get(first.kind.id, 0) > 0:
            page.item("-", _because(finding, found, base), 4)
    others = [k for k in found.kinds[1:] if k.chance >= LEAST_CHANCE]
    if others:
        listed = ", ".join(f"{k.kind.title} ({in_hundred(k.chance)})" for k in others)
        page.text(f"or: {listed}")


def _conflicts(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    if not found.conflicts:
        return
    page.head(phrase(base, "head-conflicts"), YELLOW)
    for conflict in found.conflicts:
        fact = base.facts[conflict.fact]
        page.item("-", f"{fact.says}: {conflict.kept.origin} - but {conflict.other.origin}")


def _shown(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "head-shown"))
    if not found.shown:
        page.text(phrase(base, "none-shown"))
    for cause in found.shown:
        share = found.weighing.share(cause)
        label = phrase(base, "share-of-loss", share=percent(share))
        if cause.lost <= 0:
            label = phrase(base, "no-share")
        page.item(bar(share), f"{title(cause.cause.title)} - {label}", style=BOLD)
        page.text(_what(cause.cause, found), 4)
        _evidence(cause, found, base, page)
    _short_list("head-beside", found.beside, found, base, page)
    _short_list("head-noted", found.noted, found, base, page)


def _short_list(
    head: str,
    causes: tuple[CauseFinding, ...],
    found: Diagnosis,
    base: KnowledgeBase,
    page: Page,
) -> None:
    if not causes:
        return
    page.head(phrase(base, head))
    for cause in causes:
        page.item("-", f"{title(cause.cause.title)}. {_what(cause.cause, found)}")
        _evidence(cause, found, base, page)


def _evidence(cause: CauseFinding, found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    """Why a cause is shown, each reason once with the sprayings it holds for and its origins."""
    reasons: dict[str, list[Finding]] = {}
    for finding in cause.findings:
        if finding.truth is Truth.SHOWN:
            reasons.setdefault(_because(finding, found, base), []).append(finding)
    said: set[str] = set()
    for text, findings in reasons.items():
        page.item("-", _which(findings, found) + text, 4)
        origins = dict.fromkeys(words for f in findings for words in _told(f, found))
        for words in origins:
            if words not in said:
                page.item(" ", f"[{words}]", 4, DIM)
        said.update(origins)


def _which(findings: list[Finding], found: Diagnosis) -> str:
    """The sprayings a reason holds for, where there were several."""
    numbers = [f.application + 1 for f in findings if f.application is not None]
    if len(found.facts.of_applications) == 1 or not numbers:
        return ""
    if len(numbers) == 1:
        return f"Spraying {numbers[0]}: "
    return f"Sprayings {', '.join(map(str, numbers[:-1]))} and {numbers[-1]}: "


def _told(finding: Finding, found: Diagnosis) -> list[str]:
    """The origins of the facts a finding rests on, those that say something."""
    facts = found.facts.at(finding.application or 0)
    result = []
    for condition in finding.clause.conditions:
        fact = facts.get(condition.fact)
        if fact is not None and fact.origin.how in {"told", "worked out", "weather"}:
            result.append(str(fact.origin))
    return result


def _open(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "head-open"))
    if not found.open:
        page.text(phrase(base, "none-open"))
        return
    worth = sorted(found.open, key=lambda c: (-c.lost, -c.chance, c.cause.id))
    listed = [c for c in worth if c.chance >= LEAST_CHANCE][:WORTH_ASKING]
    for cause in listed:
        ask = question_for(cause, found) or phrase(base, "settle-not-by-asking")
        page.item("?", f"{title(cause.cause.title)} ({in_hundred(cause.chance)} in 100): {ask}")
    rest = [c.cause.title for c in worth if c not in listed]
    named = ", ".join(rest[:MOST_NAMED])
    if len(rest) > MOST_NAMED + 1:
        count = str(len(rest) - MOST_NAMED)
        page.text(phrase(base, "more-possible-still", names=named, count=count))
    elif rest:
        page.text(phrase(base, "more-possible", names=", ".join(rest)))


def question_for(cause: CauseFinding, found: Diagnosis) -> str | None:
    """The most valuable question that settles an open cause."""
    for question in found.questions:
        if cause.cause.id in question.settles:
            several = len(found.facts.of_applications) > 1
            which = ""
            if several and question.application is not None:
                which = f" (spraying {question.application + 1})"
            return f"{question.ask}{which} [{question.fact}]"
    return None


def _change(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "head-change"))
    done, possible = found.weighing.done, found.weighing.possible
    page.text(
        phrase(
            base,
            "one-spray-figure",
            done=percent(done.expected),
            done_low=percent(done.low),
            done_high=percent(done.high),
            possible=percent(possible.expected),
            possible_low=percent(possible.low),
            possible_high=percent(possible.high),
        )
    )
    if found.seen_alive is not None:
        page.text(phrase(base, "seen-figure", left=percent(found.seen_alive.expected)))
    for stop in found.stops:
        if stop.stop.id == "identify-first" and stop.truth is Truth.SHOWN:
            page.item("!", _fill(stop.stop.until, found, base))
    for number, change in enumerate(found.changes, 1):
        with_it = ""
        if change.won > 0.0005:
            control = percent(done.expected + change.won)
            with_it = f" [{phrase(base, 'with-change', control=control)}]"
        first, *others = change.remedies
        page.item(f"{number}.", _fill(first.do, found, base) + with_it)
        for other in others:
            page.item("-", _fill(other.do, found, base), 5)
    if not found.changes:
        page.text(phrase(base, "none-change"))
    elif len(found.changes) > 1:
        page.text(
            phrase(
                base,
                "with-all",
                control=percent(possible.expected),
                low=percent(possible.low),
                high=percent(possible.high),
            )
        )


def _outlook(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "head-outlook"))
    page.text(phrase(base, f"outlook-{found.outlook.level}"))
    for reason in found.outlook.reasons:
        page.item("-", reason, 4)
    repeats = found.weighing.repeats
    if found.outlook.level == "open":
        return
    if repeats is None:
        page.text(phrase(base, "repeats-many"))
    elif repeats > 1:
        page.text(phrase(base, "repeats", count=str(repeats)))


def _look(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "head-look"))
    look = found.look
    late = look.not_before is not None and look.not_before > found.call.reported
    name = "look-waits" if look.waits else "look-after" if late else "look-plain"
    page.text(
        phrase(
            base,
            name,
            first=str(look.first),
            last=str(look.last),
            not_before=str(max(look.not_before or found.call.reported, found.call.reported)),
        )
    )
    page.text(phrase(base, "next-look-good"))


def _cautions(found: Diagnosis, base: KnowledgeBase, page: Page) -> None:
    page.head(phrase(base, "head-cautions"))
    for name in CAUTIONS:
        page.item("*", phrase(base, f"caution-{name}"))
    product = found.label.product
    if product is not None:
        gear = ", ".join(product.protective)
        page.item("*", f"{product.name}: {product.signal_word}. {title(gear)}.")
        page.item("*", product.near_water)


def _what(entry: Cause | Kind | Stop, found: Diagnosis) -> str:
    return told_what(entry, found.values[-1])


def _because(finding: Finding, found: Diagnosis, base: KnowledgeBase) -> str:
    return because(finding.rule, found, base, finding.application)


def _fill(text: str, found: Diagnosis, base: KnowledgeBase) -> str:
    return filled_for(text, found, base)
