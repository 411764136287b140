"""`cameback mix` and `cameback calibrate` as they are used: pages, refusals, documents, units.

What is worked out is held by test_dose and test_calibrate; here it is what reaches the reader, on
which stream and with which exit code. Every document is checked against its schema.
"""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from typer.main import get_command
from typer.testing import CliRunner, Result

from advisor.dose.asking import Words, read
from advisor.dose.cups import reading
from advisor.dose.exact import Measure
from advisor.dose.mixing import Mix, make
from advisor.model import KnowledgeBase
from advisor.render.layout import Page
from advisor.render.measured import System, number, said
from advisor.render.mix_page import CAUTIONS, cup_text, mix_page
from cli.main import app

F = Fraction
ROOT = Path(__file__).parents[1]
HAND = pint.UnitRegistry()
SCHEMAS = {
    name: Draft202012Validator(json.loads((ROOT / "schemas" / f"{name}.schema.json").read_text()))
    for name in ("mix", "calibration")
}
LAWN = '--area "3500 ft2" --tank "2 gal" --output "1 gal/1000 ft2"'
IVY = f"mix larkmoor-broadleaf --weed ground-ivy --turf tall-fescue {LAWN}"
MIXES = [
    f'{IVY} --cup "1 oz" --used-this-year 1',
    f'mix reedholm-sedge --weed yellow-nutsedge {LAWN} --with palewater-white --cup "1 g"',
    f'mix kettlebrook-quinclorac {LAWN} --water-hardness "300 ppm" --turf tall-fescue',
    f'mix tallowdene-ester {LAWN} --rate "48 fl oz/acre" --weed dandelion --used-this-year 5floz',
    f"mix oatmere-grass {LAWN} --weed smooth-crabgrass",
    f"mix palewater-white {LAWN} --rate '0.12 fl oz/M' --used-this-year 2 --water-hardness 12gpg",
    "mix larkmoor-broadleaf --spot --tank 1gal --cup 5mL",
    "mix fellmark-ester --spot --tank 1gal --area 200ft2 --output '2.5 gal/1000 ft2'",
    "mix cinderwick-total --spot --tank 1gal --turf tall-fescue",
    'mix stonecroft-preventer --area "50 x 70 ft" --cup 1lb',
]
REFUSED = [
    (f"{IVY} --rate '2 fl oz/1000 ft2'", ["refuse-rate-above"]),
    (f"mix larkmoor-broadleaf --weed goosegrass --turf bentgrass-turf {LAWN}",
     ["refuse-weed-not-listed", "refuse-turf-injured"]),
    (f"mix oatmere-grass {LAWN} --with larkmoor-broadleaf", ["refuse-tank-conflict"]),
    (f"{IVY} --used-this-year 2", ["refuse-year-count", "refuse-year-amount"]),
    ("mix reedholm-sedge --area 325m2 --tank 8L --output '3 L/100 m2'",
     ["refuse-too-little-water"]),
]  # fmt: skip
CALIBRATIONS = [
    "course --caught '40 fl oz'",
    "course --swath '6 ft'",
    "jar --plot 1000ft2 --cover 80s --caught 1gal",
    "jar --cover '16 s' --cover '18 s' --caught '7.5 fl oz' --product fellmark-ester --tank 3gal",
    "boom --flow 3.75gpm --speed 5mph --spacing 222in --drops VC --want '1 gal per 1000 ft2'",
    "boom --rated 0.4gpm --pressure 20psi --length 88ft --time 20s --height 20in --angle 80",
    "refill --plot 250ft2 --refilled 2qt --product quickfell-spot --weed henbit",
    "hose-end --plot 250ft2 --cover 20s --caught 1.25gal --product larkmoor-broadleaf",
    "hose-end --plants 6 --each 2qt",
    "spreader --plot 500ft2 --caught 1.5lb --product stonecroft-preventer --weed goosegrass",
    "spreader --plot 500ft2 --caught 2.5lb --want '4 lb per 1000 ft2'",
    "convert '65 gal per acre' --want '65 gal per acre'",
    "convert '4 lb/M'",
]


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache folder of these tests, so that the user's own is left alone."""
    return tmp_path_factory.mktemp("cache")


class Cameback:
    """Runs the command in this process, 80 columns wide."""

    def __init__(self, cache: Path) -> None:
        self.environment = {"CAMEBACK_CACHE": str(cache), "COLUMNS": "80", "NO_COLOR": "1"}

    def __call__(self, line: str) -> Result:
        """Run a command line. A mistake of the program, not of the caller, is raised."""
        result = CliRunner().invoke(app, shlex.split(line), env=self.environment)
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result

    def document(self, line: str, schema: str, code: int = 0) -> Any:
        """The document that a command prints, checked against its schema."""
        result = self(f"{line} --json")
        assert result.exit_code == code
        found = json.loads(result.stdout)
        assert [error.message for error in SCHEMAS[schema].iter_errors(found)] == []
        return found


@pytest.fixture
def cameback(cache: Path) -> Cameback:
    """The command with a cache of its own."""
    return Cameback(cache)


# ---- pages -----------------------------------------------------------------------------------


@pytest.mark.parametrize("line", [*MIXES, *(f"calibrate {line}" for line in CALIBRATIONS)])
@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_page(cameback: Cameback, line: str, units: str) -> None:
    """A page fits 80 columns, has every sentence filled in, no color, and nothing on stderr."""
    result = cameback(f"{line} --units {units}")
    assert (result.exit_code, result.stderr) == (0, "")
    assert max(len(text) for text in result.stdout.splitlines()) <= 80
    assert not re.search(r"[{}\x1b]|  \.|\bNone\b", result.stdout)
    assert result.stdout.endswith("\n")


@pytest.mark.parametrize("line", MIXES)
def test_cautions_are_always_there(cameback: Cameback, base: KnowledgeBase, line: str) -> None:
    """Every mix ends with the usual cautions and each label's signal word, gear, reentry, water."""
    page = " ".join(cameback(line).stdout.split())
    _, _, cautions = page.partition(base.phrases["head-cautions"])
    for name in CAUTIONS:
        assert base.phrases[f"caution-{name}"] in cautions
    for product in base.products.values():
        if re.search(rf"mix {product.id}\b|--with {product.id}\b", line):
            assert f"{product.name}: {product.signal_word}." in cautions
            assert all(wear.lower() in cautions.lower() for wear in product.protective)
            assert product.reentry in cautions
            assert product.near_water in cautions


def test_the_page_says_what_to_pour(cameback: Cameback) -> None:
    """Loads, marks, what the cup cannot measure, filling and the year are on the page."""
    page = " ".join(cameback(f'{IVY} --cup "1 oz" --used-this-year 1').stdout.split())
    for text in (
        "Tank 1, full: 2 gal for 2,000 ft2",
        "3 fl oz (88.7 mL) of Larkmoor Broadleaf Lawn Spray.",
        "On the cup or scale: 3 marks of 1 fl oz, exactly.",
        "Tank 2, the last: 1.5 gal for 1,500 ft2",
        "Not on this cup or scale: 2 marks of 1 fl oz would be 11 % less",
        "A cup or scale with a mark every 1 tsp measures it.",
        "In all 3.5 gal of spray with 5.25 fl oz (155 mL)",
        "1. Fill the tank half with clean water, 1 gal,",
        "Application 2 of the 2 that the label allows this year.",
        "50 % of the year's limit of 3 fl oz per 1,000 ft2.",
        "2,4-D: 1.23 lb per acre as acid, 1.48 lb per acre as dimethylamine salt.",
        "only suppresses ground ivy.",
    ):
        assert text in page


def test_metric_in_and_out(cameback: Cameback) -> None:
    """With metric units no US unit is left in what the program says, on a mix told in metric."""
    line = "mix larkmoor-broadleaf --area 325m2 --tank 8L --output '4.5 L/100 m2' --cup 5mL"
    page, _, _ = cameback(f"{line} --units metric").stdout.partition("CAUTIONS")
    assert "325 m2 of lawn" in page
    assert "marks of 5 mL" in page
    assert not re.search(r"\b(gal|fl oz|oz|ft2|lb|acre)\b", page)


def test_the_cup_is_named_in_its_own_marks(cameback: Cameback) -> None:
    """A cup in mL stays one in US units; a cup in ounces is said in mL in metric ones."""
    line = "mix larkmoor-broadleaf --spot --tank 1gal --cup"
    for cup, mark in (("5mL", "8 marks of 5 mL"), ("1oz --units metric", "1 mark of 29.6 mL")):
        assert mark in " ".join(cameback(f"{line} {cup}").stdout.split())


@given(
    st.fractions(F(1, 10), 50, max_denominator=40), st.fractions(F(1, 20), 5, max_denominator=40)
)
def test_the_error_of_a_cup_is_what_is_printed(
    base: KnowledgeBase, wanted: Fraction, mark: Fraction
) -> None:
    """The page prints how far the marks are off, to two digits, and which way."""
    ask = read(Words("larkmoor-broadleaf", spot=True, tank="1 gal", cup="1 oz"), base)
    assert ask.cup is not None
    found = reading(wanted, (wanted * F(4, 5), wanted * F(5, 4)), mark, F(1, 10))
    text = cup_text(found, replace(ask.cup, mark=mark), base, System.US)
    if found.marks == 0:
        assert "already over the label" in text
        return
    off = Decimal(abs(found.error).numerator * 100) / abs(found.error).denominator
    if off == 0:
        assert "exactly" in text
        return
    printed = re.search(r"([\d.]+) % (less|more)", text)
    assert printed is not None
    decimals = max(0, 1 - off.adjusted())
    expected = off.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    assert Decimal(printed[1]) == pytest.approx(expected)
    assert (printed[2] == "less") == (found.error < 0)
    assert f"{found.marks} mark" in text


# ---- refusals --------------------------------------------------------------------------------


@pytest.mark.parametrize(("line", "ids"), REFUSED)
def test_a_refusal(cameback: Cameback, base: KnowledgeBase, line: str, ids: list[str]) -> None:
    """A mix that the label forbids exits with 1, says why on stderr, and prints nothing to pour."""
    result = cameback(line)
    assert (result.exit_code, result.stdout) == (1, "")
    first, *reasons = re.split(r"\n  - ", result.stderr.strip())
    assert first == base.phrases["mix-refused"]
    assert len(reasons) == len(ids)
    assert max(len(text) for text in result.stderr.splitlines()) <= 80
    assert not re.search(r"[{}]", result.stderr)


@pytest.mark.parametrize(("line", "ids"), REFUSED)
def test_a_refusal_as_a_document(cameback: Cameback, line: str, ids: list[str]) -> None:
    """As a document a refusal has its reasons, its cautions, and no load."""
    found = cameback.document(line, "mix", code=1)
    assert [reason["id"] for reason in found["refused"]] == ids
    assert all(reason["says"] for reason in found["refused"])
    assert (found["loads"], found["totals"], found["filling"], found["year"]) == ([], [], [], None)
    assert found["cautions"]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("mix larkmor-broadleaf", "there is no product `larkmor-broadleaf`"),
        ("mix larkmoor-broadleaf", "--area and --tank and --output must be given"),
        (f"{IVY} --cup tiny", "--cup: "),
        ("calibrate jar", "--cover must be given"),
        ("calibrate convert 65", "OUTPUT: `65` has no unit"),
        ("calibrate hose-end --plants 0 --each 2qt", "at least one plant"),
        ("calibrate nothing", "nothing"),
        ("mix", "PRODUCT"),
    ],
)
def test_words_that_make_no_question(cameback: Cameback, line: str, says: str) -> None:
    """A command that cannot be understood exits with 2 and says what is wrong on stderr."""
    result = cameback(line)
    assert (result.exit_code, result.stdout) == (2, "")
    assert says in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr


# ---- documents -------------------------------------------------------------------------------


@pytest.mark.parametrize("line", MIXES)
def test_units_never_change_a_document(cameback: Cameback, line: str) -> None:
    """The metric document of a mix holds the same quantities, as pint converts them."""
    plain = cameback.document(f"{line} --units us", "mix")
    metric = cameback.document(f"{line} --units metric", "mix")
    pairs = list(zip(quantities(plain), quantities(metric), strict=True))
    assert pairs != []
    for one, other in pairs:
        for end in ("low", "high"):
            by_hand = one[end] * by_pint(one["unit"], other["unit"])
            assert other[end] == pytest.approx(by_hand, rel=1e-7)
    words = ("product", "weed", "refused", "spot")
    assert [plain[w] for w in words] == [metric[w] for w in words]
    assert [load["count"] for load in plain["loads"]] == [load["count"] for load in metric["loads"]]


@pytest.mark.parametrize("line", CALIBRATIONS)
def test_units_never_change_a_calibration(cameback: Cameback, line: str) -> None:
    """The metric document of a calibration holds the same quantities, as pint converts them."""
    plain = cameback.document(f"calibrate {line} --units us", "calibration")
    metric = cameback.document(f"calibrate {line} --units metric", "calibration")
    for one, other in zip(quantities(plain), quantities(metric), strict=True):
        by_hand = one["low"] * by_pint(one["unit"], other["unit"])
        assert other["low"] == pytest.approx(by_hand, rel=1e-7)
    assert (plain["within"], plain["leaves"]) == (metric["within"], metric["leaves"])
    assert plain["cautions"] != []


IN_PINT = {
    "fl oz": "fluid_ounce",
    "ft2": "foot**2",
    "m2": "meter**2",
    "acre": "(43560 * foot**2)",  # pint's own is a survey acre
    "gal": "gallon",
    "lb": "pound",
    "oz": "ounce",
    "ha": "hectare",
    "km": "kilometer",
    "h": "hour",
    "mph": "mile/hour",
    "min": "minute",
}


def by_pint(unit: str, other: str) -> float:
    """What pint multiplies a quantity in the one unit by to have it in the other."""
    return float((in_pint(unit) / in_pint(other)).to("dimensionless").magnitude)


def in_pint(unit: str) -> pint.Quantity[float]:
    """One of a unit, as pint reads it: `gal/1000 ft2`."""
    result = HAND.Quantity(1.0)
    for power, part in zip((1, -1), unit.split("/"), strict=False):
        number, _, name = part.rpartition(" ") if part[0].isdigit() else ("1", "", part)
        result *= (float(number) * HAND(IN_PINT.get(name, name))) ** power
    return result


def quantities(node: Any) -> Iterator[dict[str, Any]]:
    """Every quantity in a document, in order."""
    if isinstance(node, dict):
        if node.keys() == {"low", "high", "unit"}:
            yield node
            return
        node = list(node.values())
    if isinstance(node, list):
        for each in node:
            yield from quantities(each)


def test_the_document_is_the_mix(cameback: Cameback) -> None:
    """The document holds the figures of the mix, and its verdict on the cup."""
    found = cameback.document(f'{IVY} --cup "1 oz" --used-this-year 1', "mix")
    assert [load["products"][0]["amount"]["low"] for load in found["loads"]] == [3, 2.25]
    assert [load["products"][0]["measured"]["verdict"] for load in found["loads"]] == [
        "within",
        "too-little",
    ]
    assert found["loads"][1]["products"][0]["measured"]["error"] == pytest.approx(-1 / 9)
    assert found["finer_marks"][0]["low"] == pytest.approx(1 / 6)
    assert found["totals"] == [
        {"product": "larkmoor-broadleaf", "amount": {"low": 5.25, "high": 5.25, "unit": "fl oz"}}
    ]
    assert found["rates"][0]["lists"] == "suppresses"
    assert found["year"]["used_before"] == [1, 1]


# ---- words -----------------------------------------------------------------------------------


def test_a_quantity_reads_well() -> None:
    """A quantity is shown in the unit that reads best, in either system."""
    assert said(Measure(F(200), F(200), "fl oz"), System.US) == "1.56 gal"
    assert said(Measure(F(1, 8), F(1, 8), "gal"), System.US) == "16 fl oz"
    assert said(Measure(F(200), F(200), "fl oz"), System.METRIC) == "5.91 L"
    assert said(Measure(F(64), F(64), "oz/1000 ft2"), System.US) == "4 lb per 1,000 ft2"
    assert said(Measure(F(1), F(2), "gal/1000 ft2"), System.METRIC) == "4.07 to 8.15 L per 100 m2"
    assert number(Measure(F(1), F(2), "fl oz"), System.METRIC)["unit"] == "mL"


def used_phrases(base: KnowledgeBase) -> set[str]:
    """The sentences that are named in the code of mixes and calibrations, spelled out or built."""
    found: set[str] = set()
    folders = ("advisor/dose", "advisor/render", "cli")
    text = "".join(p.read_text() for folder in folders for p in (ROOT / folder).glob("*.py"))
    for name in base.phrases:
        prefixes = [name[: i + 1] + "{" for i, char in enumerate(name) if char == "-"]
        if f'"{name}"' in text or any(f'f"{prefix}' in text for prefix in prefixes):
            found.add(name)
    return found


def test_no_sentence_is_left_over(base: KnowledgeBase) -> None:
    """Every sentence kept for mixes and calibrations is one that the code can say."""
    prefixes = ("mix-", "fill-", "year-", "delivers", "note-", "refuse-", "calibrate-", "how-")
    kept = {name for name in base.phrases if name.startswith(prefixes)}
    assert kept - used_phrases(base) == set()


def test_every_sentence_named_is_there(base: KnowledgeBase) -> None:
    """Every sentence that the code of mixes and calibrations names is in phrases.yaml."""
    text = "".join(
        p.read_text()
        for folder in ("advisor/dose", "advisor/render", "cli")
        for p in (ROOT / folder).glob("*.py")
        if folder == "advisor/dose" or p.name.startswith(("mix", "calibrate", "measur"))
    )
    pattern = r'"((?:mix|fill|year|delivers|note|refuse|calibrate|how)-[a-z-]*[a-z])"'
    named = set(re.findall(pattern, text))
    assert len(named) > 60
    assert named - set(base.phrases) == set()


def test_a_mix_by_its_python(base: KnowledgeBase) -> None:
    """The page is the same text wherever it is wrapped, and lines keep to the width."""
    ask = read(Words("fellmark-ester", "3500 ft2", "2 gal", "1 gal/1000 ft2"), base)
    found: Mix = make(ask, base)
    wide = mix_page(found, base, Page(88), System.US)
    narrow = mix_page(found, base, Page(40), System.US)
    assert wide.split() == narrow.split()
    assert max(len(line) for line in narrow.splitlines()) <= 40


# ---- help ------------------------------------------------------------------------------------


def test_help_of_every_method_has_an_example(cameback: Cameback) -> None:
    """The help of every method of calibration has one example, and the example works."""
    methods = get_command(app).commands["calibrate"].commands  # type: ignore[attr-defined]
    assert len(methods) == 7
    for name in methods:
        page = cameback(f"calibrate {name} --help").stdout
        (line,) = re.findall(r"Example: cameback (.*)", page)
        assert line.startswith(f"calibrate {name} ")
        assert cameback(line).exit_code == 0
    for command in ("mix", "calibrate"):
        (line,) = re.findall(r"Example: cameback (.*)", cameback(f"{command} --help").stdout)
        assert cameback(line).exit_code == 0
