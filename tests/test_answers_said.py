"""What a homeowner is told: safety first in every channel, plain words, figures of the label alone.

Walks the topics with products, weeds and a call, in every language, and changes figures to see that
answer, diagnosis and plan follow together. The command line is run as a stranger would run it.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from example_calls import ROOT, knowledge
from typer.testing import CliRunner, Result

from advisor.answers import unanswered
from advisor.answers.amounts import VOLUME, WANTED, amounts
from advisor.answers.answering import Answerer, Reply
from advisor.answers.compose import PLACEHOLDER, Composed, compose
from advisor.answers.context import Context, of_call
from advisor.answers.values import VALUES
from advisor.call import load_call
from advisor.checking.reading_grade import CUSTOMER, grade
from advisor.diagnosis import Advisor
from advisor.languages import languages, translated
from advisor.model import KnowledgeBase, Product, Topic
from advisor.planning.planner import Planner
from advisor.planning.request import Request
from advisor.render.answer_document import answer_document
from advisor.render.answer_page import LONGEST_TEXT, Channel, customer_answer
from advisor.render.layout import Page
from advisor.terms import Span
from advisor.units import show_amount
from cli.main import app

TODAY = dt.date(2026, 11, 25)
BASE = knowledge()
SAFETY = {name: topic for name, topic in BASE.answers.items() if topic.safety}
LANGUAGES = languages(BASE)
DEFERS = {  # who or what decides, by topic; each language names at least one of them
    "swallowed": "poison control|doctor|venenos|médico",
    "breathed-in": "poison control|doctor|venenos|médico",
    "in-eyes": "poison control|doctor|venenos|médico",
    "on-skin": "poison control|doctor|venenos|médico",
    "health-worries": "poison control|doctor|venenos|médico",
    "pet-exposed": "vet|veterinario",
    "near-pond": "label|local rules|etiqueta|reglas locales",
    "near-well": "health office|oficina de salud",
    "near-food-garden": "extension office|oficina de extensión",
    "drift-to-neighbor": "pesticide office|oficina de pesticidas",
    "need-a-license": "license|pesticide office",
    "throw-away-left-over": "label|collection site",
    "mix-with-other-chemicals": "label|etiqueta",
    "stronger-dose": "label|etiqueta",
    "windy-spraying": "label|etiqueta",
    "bees-and-blooms": "label|etiqueta",
    "store-safely": "label|etiqueta",
}
FIRST_AID = ("swallowed", "breathed-in", "in-eyes", "on-skin", "health-worries", "pet-exposed")


@cache
def spoken_in(code: str) -> KnowledgeBase:
    """The knowledge base in a language."""
    return translated(BASE, code)


def some_contexts(base: KnowledgeBase) -> Iterator[tuple[str, Context]]:
    """Nothing known, and a spray, an ester, granules and a total killer with a weed and a lawn."""
    nothing = Context(base, TODAY)
    yield "nothing", nothing
    for product, weed, turf in (
        ("larkmoor-broadleaf", "dandelion", "tall-fescue"),
        ("fellmark-ester", "ground-ivy", "kentucky-bluegrass"),
        ("stonecroft-preventer", "smooth-crabgrass", "bermudagrass"),
        ("cinderwick-total", "quackgrass", "st-augustinegrass"),
        ("reedholm-sedge", "yellow-nutsedge", "zoysiagrass"),
    ):
        yield (
            product,
            replace(
                nothing,
                product=base.products[product],
                weed=base.weeds[weed],
                turf=base.turf[turf],
                region=base.regions["lake-plain"],
            ),
        )


def plain(text: str) -> str:
    return " ".join(re.sub(r"\x1b\[[0-9;]*m", "", text).split())


# ---- safety -------------------------------------------------------------------------------------


def test_every_safety_topic_says_who_decides() -> None:
    """The list of who decides names every safety topic and no other."""
    assert DEFERS.keys() == SAFETY.keys()


@pytest.mark.parametrize("code", LANGUAGES)
@pytest.mark.parametrize("name", SAFETY)
def test_a_safety_topic_leads_with_safety_and_defers_in_every_channel(name: str, code: str) -> None:
    """Spoken, text, e-mail, print and JSON begin with what to do first and name who decides."""
    base = spoken_in(code)
    for _, ctx in some_contexts(base):
        composed = compose(base.answers[name], ctx)
        reply = Reply("question", ctx, None, composed)
        lead = plain(composed.lead)
        assert lead
        for channel in Channel:
            page = plain(customer_answer(reply, base, channel, Page()))
            if channel is Channel.PRINT:  # its title and the question stand above
                page = page[page.index(lead) :]
            assert page.startswith(lead), channel
            assert re.search(DEFERS[name], page), channel
        document = answer_document(reply, base)["answer"]
        assert document["lead"] == composed.lead
        assert document["text"].startswith(composed.lead)
        assert len(document["text"]) <= LONGEST_TEXT


@pytest.mark.parametrize("name", FIRST_AID)
def test_first_aid_is_said_in_every_language(name: str) -> None:
    """Every language that there is has the answers of first aid in its own words."""
    for code in LANGUAGES:
        assert spoken_in(code).answers[name].language == code


# ---- reading ------------------------------------------------------------------------------------


def called(base: KnowledgeBase) -> re.Pattern[str]:
    """Every name of a weed, a product or a lawn grass."""
    entries = (*base.weeds.values(), *base.products.values(), *base.turf.values())
    names = sorted({entry.name for entry in entries}, key=len, reverse=True)
    return re.compile("|".join(map(re.escape, names)), re.I)


NAMES = called(spoken_in("en"))


@pytest.mark.parametrize("topic", BASE.answers.values(), ids=lambda topic: topic.id)
def test_a_filled_page_reads_easily(topic: Topic) -> None:
    """Filled in, spoken and in full, an answer reads at grade 8 or below; a name counts as `it`."""
    for name, ctx in some_contexts(spoken_in("en")):
        said = compose(topic, ctx)
        for main in (said.short, said.answer):
            texts = (said.lead, *said.first, main, *said.told, *said.added, said.exact)
            assert grade(NAMES.sub("it", " ".join(filter(None, texts)))) <= CUSTOMER, name


@pytest.mark.parametrize("code", LANGUAGES)
def test_a_filled_text_is_a_sentence(code: str) -> None:
    """No text doubles a word, begins small, counts below nothing or says one of many."""
    base = spoken_in(code)
    wrong = re.compile(
        r"\b(\w+) \1\b|[{}]|\.\.|\s[.,;]|-\d+ (?:day|hour)|(?<![\d.,])\b0 (?:to|a) "
        r"|(?<!to )(?<!a )(?<![\d.,/])\b1 (?:sprays|days|hours|years|días|horas|años|galones)\b",
        re.I,
    )
    for topic in base.answers.values():
        for name, ctx in some_contexts(base):
            said = compose(topic, ctx)
            for text in (said.lead, *said.first, said.answer, said.short, *said.added):
                assert not wrong.search(text), (topic.id, name, text)
                assert not text or not text[0].islower(), (topic.id, name, text)


# ---- numbers ------------------------------------------------------------------------------------

TYPED = {  # numbers of a method or of a way to measure, which no label or weed sets
    "calibrate-my-sprayer": {"10", "25", "1,000"},
    "measure-my-lawn": {"3.14"},
    "how-much-for-my-lawn": {"1,000"},
}
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")


def for_homeowners(topic: Topic) -> Iterator[str]:
    """The texts of a topic that a homeowner gets, as they are written."""
    yield from (topic.lead or "", topic.answer, topic.short, *(one.say for one in topic.add))


def test_no_text_types_a_number_that_the_knowledge_base_has() -> None:
    """But for a few of measuring, every number in an answer comes from a placeholder."""
    typed = {
        topic.id: {n for text in for_homeowners(topic) for n in NUMBER.findall(text)}
        for topic in BASE.answers.values()
    }
    assert {name: numbers for name, numbers in typed.items() if numbers} == TYPED


@pytest.mark.parametrize("code", LANGUAGES)
def test_every_number_said_is_one_that_was_filled_in(code: str) -> None:
    """Whatever is known, each number of an answer stands in the words of one of its figures."""
    base = spoken_in(code)
    for topic in base.answers.values():
        for name, ctx in some_contexts(base):
            said = compose(topic, ctx)
            filled = {n for f in said.fillings.values() for n in NUMBER.findall(f.words)}
            allowed = filled | TYPED.get(topic.id, set())
            for text in (said.lead, *said.first, said.answer, said.short, *said.added):
                assert {*NUMBER.findall(text)} <= allowed, (topic.id, name, text)


def changed(base: KnowledgeBase, product: str, **figures: object) -> KnowledgeBase:
    """The knowledge base with other figures on one label."""
    label = replace(base.products[product], **figures)  # type: ignore[arg-type]
    return replace(base, products={**base.products, product: label})


def of_example(base: KnowledgeBase) -> Context:
    call = load_call(ROOT / "knowledge/examples/ground-ivy-watered.yaml", base, today=TODAY)
    return of_call(Advisor(base).diagnose(call), base)


def test_a_figure_changed_on_a_label_changes_answer_and_diagnosis_alike() -> None:
    """Five days more between sprays move the answer, the next spray and the next look by five."""
    interval = BASE.products["larkmoor-broadleaf"].interval_days
    before = of_example(BASE)
    after = of_example(changed(BASE, "larkmoor-broadleaf", interval_days=interval + 5))
    for ctx, days in ((before, interval), (after, interval + 5)):
        assert ctx.diagnosis is not None
        assert VALUES["interval"](ctx).span == Span(days, days)
        assert ctx.diagnosis.label.interval_days == days
        last = ctx.diagnosis.call.applications[-1].sprayed
        assert last is not None
        assert ctx.diagnosis.look.not_before == last.last_day + dt.timedelta(days=days)
        day = ctx.diagnosis.look.not_before
        assert VALUES["next_spray"](ctx).words == BASE.speech.day(day.month, day.day)


def test_a_figure_changed_on_a_label_changes_answer_and_plan_alike() -> None:
    """The sprays of a plan keep the wait that the answer gives, and its count of the year."""
    name = "larkmoor-broadleaf"
    for figures in ({}, {"interval_days": 75.0}, {"per_year": 1}):
        base = changed(BASE, name, **figures)
        ctx = Context(base, TODAY, product=base.products[name])
        wait, most = VALUES["interval"](ctx).span, VALUES["per_year"](ctx).span
        assert wait is not None
        assert most is not None
        request = Request(("dandelion", "white-clover"), "lake-plain", dt.date(2027, 1, 1))
        steps = Planner(base, "lake-plain").plan(replace(request, products=(name,))).steps
        days = [step.day for step in steps]
        assert all((b - a).days >= wait.high for a, b in pairwise(days))
        assert all(len([d for d in days if d.year == year]) <= most.high for year in (2027, 2028))
        assert days


SCALAR = {
    "rainfast": "rainfast_h",
    "interval": "interval_days",
    "per_year": "per_year",
    "mow_before": "mow_before_h",
    "mow_after": "mow_after_h",
    "seed_after": "seed_after_days",
    "new_grass": "new_grass_days",
    "keeps": "keeps_years",
}


@pytest.mark.parametrize("figure", SCALAR)
def test_an_answer_follows_its_figure_and_its_version_too(figure: str) -> None:
    """A figure changed changes the words and the version of the answers that use it, no other."""
    name = "larkmoor-broadleaf"
    was = getattr(BASE.products[name], SCALAR[figure])
    other = changed(BASE, name, **{SCALAR[figure]: was + 7})
    before = Context(BASE, TODAY, product=BASE.products[name])
    after = Context(other, TODAY, product=other.products[name])
    for topic in BASE.answers.values():
        one, two = compose(topic, before), compose(topic, after)
        used = figure in one.fillings
        assert (one.version != two.version) == used, topic.id
        if used:
            assert one.fillings[figure].words != two.fillings[figure].words
    uses = "{" + figure + "}"
    texts = [
        t for topic in BASE.answers.values() for t in (*for_homeowners(topic), topic.technician)
    ]
    assert any(uses in text for text in texts)


def test_a_version_is_of_the_texts_and_the_figures() -> None:
    """Each text of an answer that is said changes its version; a phrasing does not."""
    ctx = dict(some_contexts(BASE))["larkmoor-broadleaf"]
    for topic in BASE.answers.values():
        version = compose(topic, ctx).version
        assert compose(replace(topic, ask=(*topic.ask, "more")), ctx).version == version
        for text in ("lead", "answer", "short", "technician"):
            mended = replace(topic, **{text: f"{getattr(topic, text) or ''} Mended."})
            replaced = text in ("answer", "short") and " Mended." not in getattr(
                compose(mended, ctx), text
            )  # something is said instead
            assert (compose(mended, ctx).version == version) == replaced, (topic.id, text)


VERSIONS = """
import datetime as dt, json, sys
from advisor.answers.compose import compose
from advisor.answers.context import Context
from advisor.knowledge import load
from pathlib import Path
base = load(Path(sys.argv[1]))
contexts = [Context(base, dt.date(2026, 11, 25), product=p) for p in base.products.values()]
print(json.dumps([compose(t, c).version for t in base.answers.values() for c in contexts]))
"""


def test_versions_are_the_same_whatever_the_hash_seed() -> None:
    """Python's hash seed, the time zone and the locale change no version."""
    found = set()
    for seed, zone in (("0", "UTC"), ("4711", "Asia/Tokyo")):
        told = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C"}
        told["PYTHONPATH"] = str(ROOT)
        command = [sys.executable, "-c", VERSIONS, str(ROOT / "knowledge")]
        found.add(subprocess.run(command, env=told, check=True, capture_output=True).stdout)
    assert len(found) == 1
    here = [
        compose(topic, Context(BASE, TODAY, product=product)).version
        for topic in BASE.answers.values()
        for product in BASE.products.values()
    ]
    assert json.loads(found.pop()) == here


# ---- what is said for whom ----------------------------------------------------------------------


def say(topic: str, **known: object) -> Composed:
    base = spoken_in("en")
    return compose(base.answers[topic], replace(Context(base, TODAY), **known))  # type: ignore[arg-type]


def product(name: str) -> Product:
    return spoken_in("en").products[name]


def test_what_is_said_instead_leaves_out_the_rest() -> None:
    """For granules the answer on a spray is not said, nor are its figures."""
    said = say("rain-after-spraying", product=product("stonecroft-preventer"))
    assert said.answer == said.short
    assert said.answer.startswith("For granules a gentle rain is good.")
    assert "rainfast" not in [f.name for f in said.fillings.values() if not f.dropped]


def test_what_is_said_first_stands_before_the_answer() -> None:
    """The amount for a gallon comes before how to mix, in tablespoons where it makes some."""
    said = say("how-much-per-gallon", product=product("larkmoor-broadleaf"))
    assert said.first == (
        "The label's spot mix for Larkmoor Broadleaf Lawn Spray is 1.5 fluid ounces per gallon, "
        "which is 3 tablespoons.",
    )
    reply = Reply("question", Context(BASE, TODAY), None, said)
    page = plain(customer_answer(reply, spoken_in("en"), Channel.SPOKEN, Page()))
    assert page.startswith(said.first[0])


def test_a_range_asks_for_what_would_make_it_exact() -> None:
    """Without a product the wait is a range, and it is said what to tell; with one it is exact."""
    assert say("spray-again-when").exact == BASE.phrases["answer-exact-product"]
    assert say("spray-again-when", product=product("larkmoor-broadleaf")).exact == ""


def test_an_answer_in_english_has_english_figures_in_every_language() -> None:
    """What is not translated yet is said in English throughout, its figures and names as well."""
    for code in LANGUAGES:
        base = spoken_in(code)
        for topic in base.answers.values():
            if topic.language == "en":
                for name, ctx in some_contexts(base):
                    here = compose(topic, ctx)
                    english = dict(some_contexts(spoken_in("en")))[name]
                    assert here.version == compose(topic, english).version


@pytest.mark.parametrize("code", [c for c in LANGUAGES if c != "en"])
def test_a_translated_answer_has_every_sentence(code: str) -> None:
    """Each addition of a translated answer is translated, and none that is gone is kept."""
    for name, wording in BASE.languages[code].answers.items():
        english = BASE.answers[name]
        assert {*wording.add} == {one.say for one in english.add}, name
        said = {one.say: wording.add[one.say] for one in english.add}
        texts = {english.answer: wording.answer, english.short: wording.short, **said}
        for text, to in texts.items():
            names = {*PLACEHOLDER.findall(text)}
            assert {*PLACEHOLDER.findall(to)} == names, (name, text)


@pytest.mark.parametrize("code", [c for c in LANGUAGES if c != "en"])
def test_a_translated_answer_reads_out_no_english(code: str) -> None:
    """What labels say on water, people and clothes is translated; what helps is else left out."""
    base = spoken_in(code)
    topics = [topic for topic in base.answers.values() if topic.language == code]
    for weed, product in zip(base.weeds, [*base.products] * 3, strict=False):
        ctx = Context(base, TODAY, product=base.products[product], weed=base.weeds[weed])
        for topic in topics:
            for name, figure in compose(topic, ctx).fillings.items():
                if name in ("kept_out", "near_water", "reentry", "protective"):
                    assert not re.search(r"\b(?:the|and|of|or)\b", figure.words), figure.words


HEARD = {
    "mide 5000 pies cuadrados": ["5,000 ft2"],
    "son cinco mil pies cuadrados": ["5,000 ft2"],
    "20 por 30 pies": ["600 ft2"],
    "un tanque de 2 galones": ["2 gal"],
    "rocié ayer": ["1 day"],
    "hace 4 días": ["4 days"],
    "hace cuatro dias": ["4 days"],
    "llovió a las dos horas": ["2 hours"],
    "media hora después": ["30 minutes"],
    "hace tres semanas": ["3 weeks"],
    "estamos a 95 grados": ["95 F"],
    "cada año sale más": [],
}


@pytest.mark.parametrize("question", HEARD)
def test_amounts_are_heard_in_spanish(question: str) -> None:
    """Areas, tanks, times and heat are read out of a Spanish question, with accents or without."""
    heard = BASE.languages["es"].speech.heard
    found = amounts(question, heard, (*WANTED, VOLUME))
    assert [show_amount(amount) for amount in found] == HEARD[question]


# ---- as a stranger runs it ----------------------------------------------------------------------


@pytest.fixture(scope="module")
def cache_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the runs below keep what they learn, apart from the user's own."""
    return tmp_path_factory.mktemp("cache")


class Stranger:
    """Runs the command with a data folder of its own."""

    def __init__(self, data: Path, cache: Path) -> None:
        self.data = data
        self.told = {"CAMEBACK_DATA": str(data), "CAMEBACK_CACHE": str(cache), "COLUMNS": "80"}

    def __call__(self, *words: str) -> Result:
        return CliRunner().invoke(app, words, env=self.told)


@pytest.fixture
def run(tmp_path: Path, cache_folder: Path) -> Stranger:
    """The command, with nothing kept yet."""
    return Stranger(tmp_path / "data", cache_folder)


def test_a_question_without_an_answer_is_kept_and_counted(run: Stranger) -> None:
    """It is kept once asked, with its day and the nearest topics and nothing else, and listed."""
    for question in ("How do I get rid of grubs?", "how do i get rid of grubs"):
        assert run("answer", question).exit_code == 4
    lines = (run.data / unanswered.FILE).read_text("utf-8").splitlines()
    assert [sorted(json.loads(line)) for line in lines] == [["at", "nearest", "question"]] * 2
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\d", json.loads(line)["at"]) for line in lines)
    listed = run("unanswered")
    assert re.search(r"^ +2  how do i get rid of grubs  \(nearest: ", listed.stdout)
    assert listed.stdout.endswith("1 question without an answer\n")
    document = json.loads(run("unanswered", "--json").stdout)
    assert (document["format"], document["version"]) == ("cameback-unanswered", 1)
    (only,) = document["questions"]
    assert (only["question"], only["count"]) == ("how do i get rid of grubs", 2)
    assert {*only["nearest"]} <= BASE.answers.keys()
    assert run("unanswered", "--clear").stdout == "forgotten\n"
    assert run("unanswered").stdout == "0 questions without an answer\n"


def test_an_answered_question_is_not_kept(run: Stranger) -> None:
    """Nothing is written when there is an answer."""
    assert run("answer", "when can I mow after spraying").exit_code == 0
    assert not run.data.exists()


@pytest.mark.parametrize(
    "content", [b"", b"\n\n", b"\xff\xfe\x00garbage", b'{"torn": ', b"[1, 2]\n3\nnull\n"]
)
def test_a_broken_list_of_questions_lists_nothing(run: Stranger, content: bytes) -> None:
    """An empty, torn or foreign file is no error; the next question is added to it all the same."""
    run.data.mkdir()
    (run.data / unanswered.FILE).write_bytes(content)
    empty = run("unanswered")
    assert (empty.exit_code, empty.stdout) == (0, "0 questions without an answer\n")
    assert json.loads(run("unanswered", "--json").stdout)["questions"] == []
    run("answer", "how do I get rid of grubs")
    assert run("unanswered").stdout.endswith("1 question without an answer\n")


def test_a_question_that_cannot_be_kept_is_still_replied_to(run: Stranger) -> None:
    """Where the folder is none the reply stands, and a note says that nothing was kept."""
    run.data.write_text("a file")
    result = run("answer", "how do I get rid of grubs")
    assert result.exit_code == 4
    assert result.stdout.startswith(BASE.phrases["answer-none"])
    assert result.stderr.startswith("note: the question could not be kept in ")
    assert run("unanswered").stdout == "0 questions without an answer\n"


def test_what_could_reach_a_person_is_not_kept(run: Stranger) -> None:
    """Phone numbers and addresses of the question are masked; no name of the user is written."""
    run("answer", "grubs everywhere, call me on 555-123-4567 or a.b@example.com")
    kept = (run.data / unanswered.FILE).read_text("utf-8")
    assert "[number]" in kept
    assert "[address]" in kept
    assert "4567" not in kept
    assert "example.com" not in kept


# ---- questions in Spanish ------------------------------------------------------------------------

ASKED_IN_SPANISH = {  # written apart from the phrasings, before any was tried
    "kids-and-pets-reentry": ["¿ya pueden pisar el jardín mis hijos?"],
    "mow-after-spraying": [
        "¿cuándo paso la máquina de cortar?",
        "mi jardinero viene el viernes a cortar y usted aplicó el miércoles",
    ],
    "rain-after-spraying": [
        "anoche llovió fuerte después de que vinieron",
        "¿el aguacero de la tarde se llevó lo que puse?",
    ],
    "rain-forecast": ["el pronóstico dice lluvia a las cinco", "¿lo aplico si va a lloviznar?"],
    "nothing-happening-yet": [
        "puse el líquido el domingo y la hierba está como si nada",
        "no se ve ningún cambio",
    ],
    "how-long-to-die": ["¿para cuándo estará seca la maleza?", "¿cuánto se tarda en hacer efecto?"],
    "will-it-hurt-my-grass": ["tengo san agustín, ¿le hace daño?"],
    "grass-turned-yellow": ["quedaron manchas amarillas en el césped"],
    "back-after-years": [
        "¿por qué cada año tengo la misma plaga de hierba?",
        "la matamos el año pasado y otra vez",
    ],
    "back-after-weeks": ["salieron hojitas nuevas del mismo lugar"],
    "spray-again-when": [
        "¿cuándo toca la segunda?",
        "¿cuántos días tienen que pasar para repetir?",
    ],
    "best-season": ["¿en qué temporada sirve mejor?", "¿es mejor esperar al otoño?"],
    "seed-after-spraying": [
        "¿cuándo se puede sembrar zacate nuevo?",
        "¿cuánto aguanto para tirar la semilla?",
    ],
    "water-after-spraying": [
        "¿a qué hora puedo regar?",
        "se prendió solo el riego después de rociar",
    ],
    "what-to-wear": ["¿necesito lentes?", "¿puedo hacerlo en sandalias?"],
    "on-skin": ["se me empaparon los zapatos con el herbicida"],
    "breathed-in": ["me dio tos con el olor"],
    "near-pond": ["vivo a la orilla de un lago"],
    "near-well": ["el agua de mi casa viene de un pozo"],
    "near-food-garden": ["mis matas de tomate quedaron torcidas"],
    "mix-with-other-chemicals": ["¿le puedo poner un chorrito de cloro?"],
    "stronger-dose": ["quiero ponerlo más concentrado", "le puse el doble por error"],
    "windy-spraying": ["sopla el viento, ¿se puede?"],
    "health-worries": ["¿da cáncer esto?", "mi esposa está embarazada"],
    "drift-to-neighbor": ["le cayó a las flores de la vecina"],
    "how-much-per-gallon": [
        "¿cuántas cucharadas lleva un galón?",
        "¿cuánto pongo en mi mochila de 4 galones?",
    ],
    "how-much-for-my-lawn": ["mi césped es de 3,000 pies cuadrados, ¿cuánto necesito?"],
}
FIRST_AID_IN_SPANISH = {
    "creo que mi niña se comió unas bolitas del fertilizante": "swallowed",
    "mi nieto bebió de la botella del herbicida": "swallowed",
    "me brincó producto a los ojos": "in-eyes",
    "me cayó en el brazo, ¿cuándo puedo cortar el pasto?": "on-skin",
    "mi perro está babeando, estuvo en el césped tratado": "pet-exposed",
}


@pytest.fixture(scope="module")
def spanish(cache_folder: Path) -> Answerer:
    """The knowledge base in Spanish, ready to answer."""
    return Answerer(spoken_in("es"), cache_folder)


def test_most_questions_in_spanish_find_their_topic(spanish: Answerer) -> None:
    """Six in ten or more are answered rightly at once, one in ten or fewer wrongly."""
    nothing = Context(spoken_in("es"), TODAY)
    right = wrong = 0
    for topic, questions in ASKED_IN_SPANISH.items():
        for question in questions:
            composed = spanish.answer(question, nothing).composed
            if composed is not None:
                right += composed.topic.id == topic
                wrong += composed.topic.id != topic
    asked = sum(len(questions) for questions in ASKED_IN_SPANISH.values())
    assert right >= 0.6 * asked
    assert wrong <= 0.1 * asked


@pytest.mark.parametrize("question", FIRST_AID_IN_SPANISH)
def test_first_aid_comes_first_in_spanish(spanish: Answerer, question: str) -> None:
    """Somebody hurt is answered first, in Spanish, whatever else is asked."""
    composed = spanish.answer(question, Context(spoken_in("es"), TODAY)).composed
    assert composed is not None
    assert composed.topic.id == FIRST_AID_IN_SPANISH[question]
    assert composed.topic.language == "es"
