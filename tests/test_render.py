"""What holds of every page: widths, order, plain words for the customer, nothing left unfilled.

The example calls are rendered in all forms; the words themselves are held by the golden files.
Pages built from fixed pieces give wrapping, bars and percentages exact answers.
"""

from __future__ import annotations

import datetime as dt
import re

import pytest
from example_calls import PATHS, diagnosis, knowledge
from hypothesis import given
from hypothesis import strategies as st

from advisor.diagnosis import Diagnosis
from advisor.render import say
from advisor.render.customer import customer_page
from advisor.render.document import diagnosis_document
from advisor.render.layout import BOLD, NARROWEST, WIDEST, Page, bar
from advisor.render.technician import question_for, technician_page
from advisor.render.why import names, why_page
from advisor.terms import Condition, Options, Span, Truth

BASE = knowledge()
ESCAPE = re.compile("\x1b\\[[0-9;]*m")
UNFILLED = re.compile(r"[{}]|\bNone\b(?! of)|\bnan\b|\binf\b|Truth\.|Span\(|Options\(")
CALLS = pytest.mark.parametrize("name", PATHS)
JARGON = re.compile(
    r"\b(apoplast|phloem|translocat\w*|rhizomes?|stolons?|rosettes?|surfactants?|adjuvants?|"
    r"herbicides?|perennials?|annuals?|taproots?|cultivars?|efficacy|foliar|actives?|mitigat\w*|"
    r"germinat\w*|tillers?|rainfast|interval|psi|ppm|ester|amine)\b",
    re.IGNORECASE,
)
BLAME = re.compile(
    r"\byou (should|failed|forgot|did not|didn't|must not|never|wrongly|used too|sprayed too|"
    r"watered too|mowed too|mixed|put on too)\b|your (mistake|fault|error)|\bwrongly\b",
    re.IGNORECASE,
)
LONGEST_SENTENCE = 18


def pages(found: Diagnosis, width: int, *, color: bool = False) -> dict[str, str]:
    """The pages of a diagnosis."""
    return {
        "technician": technician_page(found, BASE, Page(width, color)),
        "customer": customer_page(found, BASE, Page(width, color)),
    }


# ---- what holds of every page --------------------------------------------------------------------


@CALLS
@pytest.mark.parametrize("width", [1, 40, 53, 80, 88, 200])
def test_lines_fit(name: str, width: int) -> None:
    """No line of a page is wider than asked, or than the narrowest and the widest page."""
    widest = max(NARROWEST, min(width, WIDEST))
    for page in pages(diagnosis(name), width).values():
        assert max(map(len, page.splitlines())) <= widest


@CALLS
def test_pages_are_tidy(name: str) -> None:
    """A page ends in one line end; no blank line stands twice, no space at an end, no two dots."""
    for page in pages(diagnosis(name), 80).values():
        assert page.endswith("\n")
        assert not page.endswith("\n\n")
        assert "\n\n\n" not in page
        assert re.search(r"[ \t]$", page, re.MULTILINE) is None
        assert re.search(r"\.\.(?!\.)(?<!\.\.\.)", re.sub(r"[#.]{10}", "", page)) is None
        assert re.search(r"\s[,;:.](\s|$)", page) is None


@CALLS
def test_nothing_is_left_unfilled(name: str) -> None:
    """No page shows a placeholder, a brace, or the insides of the program."""
    for page in pages(diagnosis(name), 80).values():
        assert UNFILLED.findall(page) == []
    for owner in names(BASE):
        assert UNFILLED.findall(why_page(owner, diagnosis(name), BASE, Page(80))) == []


@CALLS
@pytest.mark.parametrize("width", [40, 80])
def test_colors_carry_nothing(name: str, width: int) -> None:
    """A page in color is the plain page with escape codes put in, and each code is ended."""
    plain, colored = (pages(diagnosis(name), width, color=c) for c in (False, True))
    assert {form: ESCAPE.sub("", page) for form, page in colored.items()} == plain
    for page in colored.values():
        assert page.count("\x1b[0m") * 2 == page.count("\x1b[")


@CALLS
def test_a_page_is_made_without_leaving_a_trace(name: str) -> None:
    """Rendering changes nothing in the diagnosis: the same page comes out again."""
    found = diagnosis(name)
    assert pages(found, 80) == pages(found, 80)
    assert diagnosis_document(found, BASE) == diagnosis_document(found, BASE)


# ---- the technician's page -----------------------------------------------------------------------


@CALLS
def test_stops_come_first(name: str) -> None:
    """The stops stand before everything else, and each one that is shown is there."""
    page = technician_page(diagnosis(name), BASE, Page(80))
    heads = [BASE.phrases[f"head-{part}"] for part in ("stop", "kind", "shown", "open", "change")]
    places = [page.index(f"\n{head}\n") for head in heads]
    assert places == sorted(places)
    first = page[: places[1]]
    shown = [s.stop.title for s in diagnosis(name).stops if s.truth is Truth.SHOWN]
    assert [t for t in shown if f"! {t.capitalize()}." not in first] == []
    assert (BASE.phrases["none-stops"] in first) == (not shown)


@CALLS
def test_shown_causes_stand_with_their_share(name: str) -> None:
    """Every shown cause that can explain the comeback has its title and its share on the page."""
    found = diagnosis(name)
    page = " ".join(technician_page(found, BASE, Page(80)).split())
    for cause in found.shown:
        share = say.percent(found.weighing.share(cause))
        label = f"{share} of what was lost" if cause.lost > 0 else BASE.phrases["no-share"]
        assert f"{cause.cause.title.capitalize()} - {label}" in page


@CALLS
def test_every_change_is_numbered(name: str) -> None:
    """The changes are numbered through, by the control they win back; a name comes before them."""
    found = diagnosis(name)
    page = technician_page(found, BASE, Page(80))
    part = page[page.index(f"\n{BASE.phrases['head-change']}\n") :]
    part = part[: part.index(f"\n{BASE.phrases['head-outlook']}\n")]
    numbers = [int(n) for n in re.findall(r"^ {2}(\d+)\. ", part, re.MULTILINE)]
    assert numbers == list(range(1, len(found.changes) + 1))
    shown = [s.stop.id for s in found.stops if s.truth is Truth.SHOWN]
    if "identify-first" in shown:
        assert re.search(r"^ {2}! ", part, re.MULTILINE)
        assert part.index("  ! ") < part.index("  1. ")
    won = [change.won for change in found.changes]
    assert won == sorted(won, reverse=True)


@CALLS
def test_cautions_end_every_page(name: str) -> None:
    """Every page, the customer's too, ends with the cautions, the label's word first among them."""
    found = diagnosis(name)
    made = {form: " ".join(page.split()) for form, page in pages(found, 80).items()}
    for form, start in (("technician", "caution-"), ("customer", "customer-caution-")):
        places = [made[form].index(BASE.phrases[start + c]) for c in ("label", "gear", "people")]
        assert places == sorted(places)


@CALLS
def test_open_causes_come_with_a_question(name: str) -> None:
    """What is asked about an open cause is a question of the diagnosis that settles that cause."""
    found = diagnosis(name)
    asked = {c.cause.id: question_for(c, found) for c in found.open}
    for cause, question in asked.items():
        settling = [q.ask for q in found.questions if cause in q.settles]
        assert (question is None) == (not settling)
        assert question is None or any(question.startswith(ask) for ask in settling)


# ---- the customer's page -------------------------------------------------------------------------


def sentences(name: str) -> list[str]:
    """The sentences of a customer's page, without headings, marks and questions of facts.yaml."""
    page = customer_page(diagnosis(name), BASE, Page(WIDEST))
    text = re.sub(r"^(- |\d+\. )", "\n", page, flags=re.MULTILINE)
    paragraphs = [" ".join(p.split()) for p in re.split(r"\n\n+", text)]
    return [s for p in paragraphs for s in re.split(r"(?<=[.?!]) ", p) if s.endswith((".", "!"))]


@CALLS
def test_the_customer_is_not_blamed(name: str) -> None:
    """No sentence to the customer says that somebody did something wrong."""
    assert BLAME.findall(customer_page(diagnosis(name), BASE, Page(WIDEST))) == []


@CALLS
def test_the_customer_reads_no_jargon(name: str) -> None:
    """The customer's sentences hold no word of the trade, no figure in percent, no Latin name."""
    text = "\n".join(sentences(name))
    for product in BASE.products.values():
        text = text.replace(product.name, "")
    assert JARGON.findall(text) == []
    assert "%" not in text
    weed = BASE.weeds.get(diagnosis(name).call.weed or "")
    assert weed is None or weed.latin not in text


@CALLS
def test_sentences_to_the_customer_are_short(name: str) -> None:
    """No sentence to the customer has more than eighteen words."""
    assert [s for s in sentences(name) if len(s.split()) > LONGEST_SENTENCE] == []


@CALLS
def test_the_customer_is_told_to_stop_first(name: str) -> None:
    """Where a stop is shown, the customer's page says so before anything else."""
    lines = customer_page(diagnosis(name), BASE, Page(80)).splitlines()
    shown = any(s.truth is Truth.SHOWN for s in diagnosis(name).stops)
    assert lines[2].startswith(BASE.phrases["customer-stop"]) == shown


# ---- the chain behind one conclusion -------------------------------------------------------------


@CALLS
def test_why_agrees_with_the_diagnosis(name: str) -> None:
    """The chain behind a cause or a stop ends in the status that the diagnosis gives it."""
    found = diagnosis(name)
    status = {c.cause.id: c.truth for c in found.weighing.causes}
    status |= {s.stop.id: s.truth for s in found.stops}
    for owner in [*BASE.causes, *BASE.stops]:
        heading = why_page(owner, found, BASE, Page(88)).splitlines()[0]
        words = status.get(owner, Truth.RULED_OUT).value.replace("-", " ")
        assert heading.endswith(f": {words}"), owner


@pytest.mark.parametrize("width", [40, 80])
def test_every_chain_fits_and_shows_its_conditions(width: int) -> None:
    """The chain behind each conclusion fits the page and shows every condition with an origin."""
    found = diagnosis("ground-ivy-watered")
    for owner in names(BASE):
        page = why_page(owner, found, BASE, Page(width))
        assert max(map(len, page.splitlines())) <= width
        conditions = len(re.findall(r"needs .*?:\s", " ".join(page.split())))
        origins = len(re.findall(r"^ {4}- ", page, re.MULTILINE))
        assert conditions >= origins > 0


def test_what_would_undo_a_conclusion() -> None:
    """The chain behind a shown cause says what would have made it not hold."""
    page = why_page("wet-before", diagnosis("ground-ivy-watered"), BASE, Page(80))
    assert "It would not hold with:" in " ".join(page.split())


# ---- single words and figures --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0, "0 %"),
        (0.0004, "under 1 %"),
        (0.0099, "under 1 %"),
        (0.01, "1 %"),
        (0.125, "12 %"),
        (0.5, "50 %"),
        (0.99, "99 %"),
        (0.996, "over 99 %"),
        (1, "100 %"),
    ],
)
def test_percent(share: float, text: str) -> None:
    """A share reads in whole percent; only none is 0 % and only all is 100 %."""
    assert say.percent(share) == text


@given(st.floats(0, 1))
def test_percent_is_never_more_certain_than_the_share(share: float) -> None:
    """0 % is said of nothing but none, and 100 % of nothing but all."""
    text = say.percent(share)
    assert (text == "0 %") == (share == 0)
    assert (text == "100 %") == (share == 1)


@pytest.mark.parametrize(
    ("share", "drawn"),
    [
        (0, ".........."),
        (0.04, ".........."),
        (0.06, "#........."),
        (0.5, "#####....."),
        (1, "##########"),
        (1.3, "##########"),
        (-0.2, ".........."),
    ],
)
def test_bar(share: float, drawn: str) -> None:
    """A bar is ten characters long, whatever the share."""
    assert bar(share) == drawn


def test_day() -> None:
    """A day reads in words, without a year or a leading zero."""
    assert say.day(dt.date(2026, 9, 3)) == "September 3"


@pytest.mark.parametrize(
    ("condition", "asks", "otherwise"),
    [
        (Condition("f", high=24), "below 24 hours", "24 hours or more"),
        (Condition("f", low=24), "24 hours or more", "below 24 hours"),
        (
            Condition("f", low=2, high=24),
            "from 2 hours to below 24 hours",
            "below 2 hours, or 24 hours or more",
        ),
    ],
)
def test_conditions_on_numbers(condition: Condition, asks: str, otherwise: str) -> None:
    """A band says what it asks, and what lies outside it."""
    fact = BASE.facts["dry_hours_before"]
    assert say.condition(condition, fact) == asks
    assert say.otherwise(condition, fact) == otherwise


def test_conditions_on_choices() -> None:
    """A choice asks for its options in words, and otherwise for all the others."""
    fact = BASE.facts["life_cycle"]
    condition = Condition("life_cycle", options=frozenset({"biennial", "perennial"}))
    assert say.condition(condition, fact) == "biennial or perennial"
    assert say.otherwise(condition, fact) == "summer annual or winter annual"


def test_values() -> None:
    """A value reads as its options, as a range with its unit, or as not known."""
    cycle, dry = BASE.facts["life_cycle"], BASE.facts["dry_hours_before"]
    assert isinstance(dry.range, Span)
    assert say.value(cycle, Options.of("biennial")) == "biennial"
    three = Options.of("perennial", "summer-annual", "biennial")
    assert say.value(cycle, three) == "summer annual, biennial or perennial"
    assert say.value(dry, Span(0, 4)) == "0 to 4 hours"
    assert say.value(dry, dry.range) == "not known"


def test_templates() -> None:
    """A template gets weed, product and facts filled in, and starts with a capital letter."""
    found = diagnosis("ground-ivy-watered")
    values = found.values[-1]
    text = say.filled("{weed} after {product}, {dry_hours_before}", found.call, values, BASE)
    assert text == "Ground ivy after Larkmoor Broadleaf Lawn Spray, 0 to 4 hours"
    unnamed = diagnosis("what-is-it")
    assert say.filled("{weed}.", unnamed.call, unnamed.values[-1], BASE) == "This weed."
    assert say.filled("{no_such_fact}", found.call, values, BASE) == "{no_such_fact}"
    assert say.phrase(BASE, "with-change", control="5 %") == "with this change 5 %"


# ---- the page ------------------------------------------------------------------------------------


def test_a_page_from_pieces() -> None:
    """Headings get a blank line before them, paragraphs are wrapped, marks hang."""
    page = Page(40)
    page.head("FIRST")
    page.text("One sentence that is long enough for two lines.")
    page.item("1.", "An item that is long enough to be wrapped.")
    page.head("SECOND")
    page.blank()
    assert str(page).splitlines() == [
        "FIRST",
        "  One sentence that is long enough for",
        "  two lines.",
        "  1. An item that is long enough to be",
        "     wrapped.",
        "",
        "SECOND",
        "",
    ]


@given(st.text(), st.integers(-5, 300), st.integers(0, 8))
def test_any_text_fits(text: str, width: int, indent: int) -> None:
    """Whatever the text, its lines fit the page, and its words stand there in their order."""
    page = Page(width)
    page.item("-", text, indent)
    assert all(len(line) <= max(NARROWEST, min(width, WIDEST)) for line in page.lines)
    written = "".join("".join(page.lines).split())
    assert written == "".join(f"- {text}".split()) or not text.split()


def test_a_percentage_is_not_torn() -> None:
    """No line starts with a percent sign: the number before it goes along."""
    page = Page(40)
    page.text("Control as it was done came to about 15 % or 16 %.", 0)
    assert page.lines == ["Control as it was done came to about", "15 % or 16 %."]


def test_colors_only_where_wanted() -> None:
    """A styled text is wrapped in its code on a colored page and left alone on a plain one."""
    assert Page(80, color=True).paint("x", BOLD) == "\x1b[1mx\x1b[0m"
    assert Page(80, color=False).paint("x", BOLD) == "x"
    assert Page(80, color=True).paint("", BOLD) == ""
