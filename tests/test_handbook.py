"""The handbook: well-formed pages, no link that leads nowhere, every entry at home, the same bytes.

Reads the pages as a browser would, with the parser of the standard library. How they look was
looked at in a browser; what can be held is held here.
"""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from example_calls import ROOT, knowledge
from typer.testing import CliRunner, Result

from advisor.catalog import Ref
from advisor.published import of_weed
from advisor.render.cards.library import Library
from advisor.render.cards.maker import shares
from advisor.render.handbook.addresses import CHAPTERS, HOME, OWN_PAGE, PRINT, Addresses
from advisor.render.handbook.bars import bar
from advisor.render.handbook.book import handbook
from advisor.render.handbook.habits import DRAWINGS
from advisor.render.handbook.svg import YEAR, pieces
from advisor.render.handbook.year import LEFT, WIDTH, year_picture
from cli import shared
from cli.main import app

BASE = knowledge()
LIBRARY = Library(BASE)
KEY = (14.0, 12.0)
"""Width and height of the colored squares of the key."""
VOID = {"meta", "link", "br", "hr", "img", "input"}


@dataclass
class Reader(HTMLParser):
    """What stands on a page: ids, links, headings, pictures, and whatever is not well-formed."""

    ids: list[str] = field(default_factory=list)
    hrefs: list[str] = field(default_factory=list)
    levels: list[int] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    tags: list[str] = field(default_factory=list)
    labels: list[str] = field(default_factory=list)
    pictures: list[dict[str, str | None]] = field(default_factory=list)
    loads: list[str] = field(default_factory=list)
    attributes: dict[str, dict[str, str | None]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._begin(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._begin(tag, attrs)

    def _begin(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if len(found) != len(attrs):
            self.wrong.append(f"{tag} has an attribute twice")
        self.tags.append(tag)
        self.attributes.setdefault(tag, found)
        if name := found.get("id"):
            self.ids.append(name)
        if tag == "a":
            self.hrefs.append(found.get("href") or "")
        if re.fullmatch("h[1-6]", tag):
            self.levels.append(int(tag[1]))
        if tag == "svg":
            self.pictures.append(found)
        self.labels += (found.get("aria-labelledby") or "").split()
        self.loads += [v for k, v in attrs if k in ("src", "srcset", "data", "poster") and v]

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(f"</{tag}> closes nothing open")

    def close(self) -> None:
        super().close()
        self.wrong += [f"{tag} is left open" for tag in self.open]


@cache
def pages() -> dict[str, str]:
    """The handbook of the shipped knowledge base."""
    return handbook(BASE)


@cache
def read(file: str) -> Reader:
    """A page as parsed."""
    reader = Reader()
    reader.feed(pages()[file])
    reader.close()
    return reader


FILES = sorted(pages())


# ---- pages -------------------------------------------------------------------------------------


@pytest.mark.parametrize("file", FILES)
def test_every_page_is_well_formed(file: str) -> None:
    """Every tag is closed where it should be, and no id or attribute is used twice on a page."""
    page = read(file)
    assert page.wrong == []
    assert len(page.ids) == len(set(page.ids))


@pytest.mark.parametrize("file", FILES)
def test_every_page_can_be_heard_and_seen(file: str) -> None:
    """A page has its language, a title, one main heading, and no level of heading is skipped."""
    page = read(file)
    assert page.attributes["html"]["lang"] == "en"
    assert re.search(r"<title>\S.*</title>", pages()[file])
    assert page.attributes["meta"] != {}
    assert 'name="viewport" content="width=device-width' in pages()[file]
    assert page.levels.count(1) == 1
    assert page.levels[0] == 1
    steps = zip(page.levels, page.levels[1:], strict=False)
    assert [(a, b) for a, b in steps if b > a + 1] == []
    assert page.tags.count("main") == 1


@pytest.mark.parametrize("file", FILES)
def test_every_picture_says_what_it_shows(file: str) -> None:
    """Each picture has a title, and what names its label is on the page."""
    page = read(file)
    for picture in page.pictures:
        assert picture["role"] == "img"
        assert picture.get("aria-label") or picture.get("aria-labelledby")
    assert set(page.labels) <= set(page.ids)
    assert page.tags.count("title") == 1 + page.tags.count("svg")


@pytest.mark.parametrize("file", FILES)
def test_no_page_needs_anything_else(file: str) -> None:
    """No script, no style sheet, picture or font from elsewhere, no address to load."""
    page = read(file)
    assert set(page.tags) & {"script", "link", "iframe", "object", "embed", "img", "base"} == set()
    assert page.loads == []
    assert re.search(r"@import|url\(|javascript:| on[a-z]+=", pages()[file]) is None


@pytest.mark.parametrize("file", FILES)
def test_nothing_is_left_unfilled(file: str) -> None:
    """No placeholder, template mark, Python value or name of a phrase is left in a page."""
    body = pages()[file].partition("</style>")[2]
    assert re.search(r"\{\{|\{%|\bNone\b|Markup\(|Undefined|>card-[a-z]", body) is None


# ---- links -------------------------------------------------------------------------------------


@pytest.mark.parametrize("file", FILES)
def test_no_link_leads_nowhere(file: str) -> None:
    """Every link leads to a page of the handbook and to an anchor on it."""
    for href in read(file).hrefs:
        target, _, anchor = href.partition("#")
        target = target or file
        assert target in pages(), href
        if anchor:
            assert anchor in read(target).ids, href


def test_every_page_can_be_reached() -> None:
    """From the first page links lead to every other."""
    seen, left = {HOME}, [HOME]
    while left:
        for href in read(left.pop()).hrefs:
            target = href.partition("#")[0]
            if target and target not in seen:
                seen.add(target)
                left.append(target)
    assert seen == set(pages())


@pytest.mark.parametrize("ref", list(LIBRARY.catalog), ids=lambda ref: f"{ref.kind}-{ref.id}")
def test_every_id_has_its_home(ref: Ref) -> None:
    """Every entry has a page or an anchor, in the linked pages and on the one to print."""
    addresses = Addresses(BASE)
    anchor = addresses.anchor(ref.kind, ref.id)
    file = addresses.file(ref)
    assert anchor in read(file).ids
    assert anchor in read(PRINT).ids
    if ref.kind in OWN_PAGE:
        assert file == f"{ref.kind}-{ref.id}.html"


def test_the_page_to_print_leads_only_to_itself() -> None:
    """On the page to print all links are anchors, but the one back to the first page."""
    assert {h.partition("#")[0] for h in read(PRINT).hrefs} <= {"", HOME}


def test_the_first_page_leads_to_every_chapter() -> None:
    """The contents name every chapter, and every weed."""
    hrefs = set(read(HOME).hrefs)
    assert {f"{name}.html" for name in CHAPTERS} <= hrefs
    assert {f"weed-{name}.html" for name in BASE.weeds} <= hrefs


def test_the_index_knows_every_name() -> None:
    """Every name, by-name and botanical name of every weed stands in the index with its page."""
    body = pages()["names.html"]
    for weed in BASE.weeds.values():
        for name in weed.names:
            written = name.replace("'", "&#39;")
            assert f'<a href="weed-{weed.id}.html">{written}</a>' in body
    for product in BASE.products.values():
        assert f'<a href="product-{product.id}.html">{product.name}</a>' in body


# ---- what stands on them -----------------------------------------------------------------------


def text_of(file: str) -> str:
    """The words of a page, without tags."""
    body = re.sub(r"<svg.*?</svg>", " ", pages()[file].partition("<main")[2], flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", "", body).split())


@pytest.mark.parametrize("name", BASE.weeds)
def test_every_figure_of_control_shows_its_origin(name: str) -> None:
    """Beside each active's share and range stands where it is from: a source, or a word for it."""
    body = pages()[f"weed-{name}.html"]
    for active, control in BASE.weeds[name].control.items():
        figure = shares(control.low, control.share, control.high)
        target = f"source-{control.basis.source}" if control.basis.source else "origins"
        row = rf"{re.escape(active)}</a>(?:(?!</tr>|</li>).)*?{re.escape(figure)} "
        row += rf'<a class="from[^"]*" href="[^"]*#{target}"'
        assert re.search(row, body, re.DOTALL), f"{name}, {active}"


@pytest.mark.parametrize("name", BASE.weeds)
def test_all_of_a_weed_is_on_its_page(name: str) -> None:
    """Every season, look-alike, limit, sentence, product and published trial is on the page."""
    weed = BASE.weeds[name]
    text = text_of(f"weed-{name}.html")
    said = [*(s.why for s in weed.seasons), *(s.say for s in (*weed.kept_out_by, *weed.specials))]
    said += [other.decide for other in weed.lookalikes] + [limit.because for limit in weed.sites]
    said += [p.name for p in BASE.products.values() if p.lists(name) != "not-listed"]
    said += [one.trial.says for one in of_weed(name, BASE)]
    escaped = [" ".join(s.replace("&", "&amp;").replace("'", "&#39;").replace('"', "&#34;").split())
               for s in said]  # fmt: skip
    assert [words for words in escaped if words not in text] == []
    ids = read(f"weed-{name}.html").ids
    assert {f"trial-{one.trial.id}" for one in of_weed(name, BASE)} <= set(ids)
    assert {f"year-{name}-title", f"habit-{name}-title"} <= set(ids)


def test_sources_say_who_cites_them() -> None:
    """In the chapter of sources each weed that cites one for a figure is linked from it."""
    body = pages()["sources.html"]
    cards = dict(re.findall(r'<article[^>]*id="source-([^"]+)">(.*?)</article>', body, re.DOTALL))
    assert cards.keys() == BASE.sources.keys()
    for weed in BASE.weeds.values():
        bases = [c.basis for c in weed.control.values()] + [weed.retreatments.basis]
        for basis in bases:
            if basis.source:
                assert f'href="weed-{weed.id}.html"' in cards[basis.source]


def test_a_rule_stands_under_what_it_shows() -> None:
    """Each rule's box holds its conditions, its effect, its origin, and all of its examples."""
    for cause in BASE.causes.values():
        text = text_of(f"cause-{cause.id}.html")
        for rule in cause.rules:
            for example in (*rule.fires, *rule.quiet):
                name = example.name.replace("'", "&#39;").replace('"', "&#34;")
                assert name.replace("&amp;", "&") in text.replace("&amp;", "&"), rule.id


def test_every_habit_is_drawn() -> None:
    """There is a drawing for each habit that a weed can have, and for no other."""
    assert set(DRAWINGS) == set(BASE.facts["habit"].options)


# ---- pictures ----------------------------------------------------------------------------------


def rects(picture: str, kind: str) -> list[tuple[float, float, float]]:
    """Left, width and height of the rectangles of a class."""
    found = []
    for rect in re.findall(r"<rect[^>]*>", picture):
        if re.search(rf'class="[^"]*\b{kind}\b', rect):
            values = dict(re.findall(r'(x|width|height)="([^"]+)"', rect))
            found.append(tuple(float(values[k]) for k in ("x", "width", "height")))
    return found  # type: ignore[return-value]


@pytest.mark.parametrize("name", BASE.weeds)
def test_the_picture_of_the_year_is_to_scale(name: str) -> None:
    """The seasons fill the year once, the higher the better, each as long as its days."""
    weed = BASE.weeds[name]
    drawn = str(year_picture(weed, LIBRARY.maker))
    for fit in ("best", "fair", "poor"):
        inside = [r for r in rects(drawn, f"fit-{fit}") if r[1:] != KEY]
        assert all(x >= LEFT and x + wide <= LEFT + WIDTH + 0.2 for x, wide, _ in inside)
        days = sum(s.stretch.days for s in weed.seasons if s.fit == fit)
        assert sum(r[1] for r in inside) == pytest.approx(days / YEAR * WIDTH, abs=1)
    seasons = [r for r in rects(drawn, "season") if r[1:] != KEY]
    assert sum(r[1] for r in seasons) == pytest.approx(WIDTH, abs=1)
    best = max(s.share for s in weed.seasons)
    assert max(r[2] for r in seasons) == pytest.approx(92 * best)


@pytest.mark.parametrize("name", BASE.weeds)
def test_a_stretch_over_new_year_is_drawn_in_two(name: str) -> None:
    """The parts of a season add up to its days, and none runs out of the year."""
    for season in BASE.weeds[name].seasons:
        parts = pieces(season.stretch)
        assert sum(end - start for start, end in parts) * YEAR == pytest.approx(season.stretch.days)
        assert all(0 <= start < end <= 1 for start, end in parts)


def test_a_bar_is_to_scale() -> None:
    """A bar's range runs from its low to its high, and its share is as long as the share."""
    drawn = str(bar(0.35, 0.6, 0.75))
    values = {
        m[5]: (float(m[0]), float(m[2]))
        for m in re.findall(
            r'<rect x="([^"]+)" y="([^"]+)" width="([^"]+)" height="([^"]+)"( )class="([^"]+)"',
            drawn,
        )
    }
    assert values["range"] == (35, 40)
    assert values["share"] == (0, 60)
    assert "60 % (35 to 75)" in drawn


# ---- colors and paper --------------------------------------------------------------------------


def luminance(color: str) -> float:
    """Relative luminance of a color, as WCAG 2.2 defines it."""
    digits = color.lstrip("#")
    digits = "".join(2 * c for c in digits) if len(digits) == 3 else digits
    parts = [int(digits[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """The contrast of two colors, from 1 to 21."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_words_stand_out() -> None:
    """Every color of words has a contrast of 4.5 and more on both grounds (WCAG 2.2, 1.4.3)."""
    style = pages()[HOME].partition("<style>")[2].partition("</style>")[0]
    colors = dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{3,6})", style))
    assert contrast("#fff", "#000") == pytest.approx(21)
    for words in ("ink", "soft", "leaf", "amber"):
        for ground in ("paper", "wash"):
            assert contrast(colors[words], colors[ground]) >= 4.5, f"{words} on {ground}"
    assert contrast("#fff", colors["leaf"]) >= 4.5


def test_paper_is_thought_of() -> None:
    """For paper there are page breaks between chapters and sheets, whole rows, unclipped tables."""
    style = pages()[PRINT].partition("@media print")[2].partition("</style>")[0]
    assert re.search(r"section\.chapter, article\.sheet \{ break-before: page; \}", style)
    assert "break-inside: avoid" in style
    assert "display: table-header-group" in style
    assert re.search(r"\.scroll \{ overflow: visible; \}", style)
    assert "@media (max-width: 640px)" in pages()[PRINT]
    assert pages()[PRINT].count('class="chapter"') == len(CHAPTERS)


# ---- the same bytes ----------------------------------------------------------------------------


def digest(found: dict[str, str]) -> str:
    """A digest of all pages with their names."""
    told = hashlib.sha256()
    for name in sorted(found):
        told.update(f"{name}\0{found[name]}\0".encode())
    return told.hexdigest()


@pytest.mark.parametrize("seed", ["1", "77"])
def test_the_same_knowledge_gives_the_same_bytes(seed: str) -> None:
    """Another process with another order of its sets writes the very same pages."""
    code = (
        "import hashlib\nfrom advisor.knowledge import load\nfrom pathlib import Path\n"
        "from advisor.render.handbook.book import handbook\n"
        f"found = handbook(load(Path({str(ROOT / 'knowledge')!r})))\n"
        "told = hashlib.sha256()\n"
        "for name in sorted(found):\n"
        "    told.update((name + chr(0) + found[name] + chr(0)).encode())\n"
        "import sys; sys.stdout.write(told.hexdigest())"
    )
    environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True, text=True, env=environment, timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout == digest(pages())


# ---- the command -------------------------------------------------------------------------------


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The knowledge base and its handbook are made once for all runs of the command."""
    monkeypatch.setattr(shared, "knowledge", lambda _folder: BASE)
    monkeypatch.setattr("advisor.render.handbook.book.handbook", lambda _base: pages())


def run(*words: str) -> Result:
    result = CliRunner().invoke(app, ["handbook", *words], env={"CAMEBACK_CACHE": ""})
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def files(folder: Path) -> Iterator[str]:
    yield from sorted(path.name for path in folder.iterdir())


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("place", ["new", "empty", "deep/new"])
def test_the_command_writes_every_page(tmp_path: Path, place: str) -> None:
    """The pages are written as they are, into a new or an empty folder; nothing else is left."""
    out = tmp_path / place
    if place == "empty":
        out.mkdir()
    result = run(str(out))
    assert (result.exit_code, result.stderr) == (0, "")
    assert f"{len(pages())} pages" in result.stdout
    assert {name: (out / name).read_bytes() for name in files(out)} == {
        name: text.encode() for name, text in pages().items()
    }
    assert list(files(out.parent)) == [out.name]


@pytest.mark.usefixtures("quick")
def test_a_handbook_is_replaced(tmp_path: Path) -> None:
    """A handbook that is there is replaced whole, pages that are gone with it."""
    out = tmp_path / "book"
    run(str(out))
    (out / "weed-gone.html").write_text((out / "index.html").read_text())
    assert run(str(out)).exit_code == 0
    assert set(files(out)) == set(pages())


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("other", ["notes.txt", "page.html", "folder"])
def test_what_is_no_handbook_is_left_alone(tmp_path: Path, other: str) -> None:
    """A folder that holds anything but pages of a handbook is refused, and stays as it is."""
    out = tmp_path / "book"
    run(str(out))
    kept = out / other
    if other == "folder":
        kept.mkdir()
    else:
        kept.write_text("mine")
    before = set(files(out))
    result = run(str(out))
    assert (result.exit_code, result.stdout) == (2, "")
    assert other in result.stderr
    assert set(files(out)) == before


@pytest.mark.usefixtures("quick")
def test_a_file_is_no_folder(tmp_path: Path) -> None:
    """A file in place of the folder is refused and kept."""
    out = tmp_path / "book"
    out.write_text("mine")
    result = run(str(out))
    assert (result.exit_code, result.stdout) == (2, "")
    assert out.read_text() == "mine"


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("there", [False, True], ids=["new", "over a handbook"])
def test_nothing_is_left_half_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool
) -> None:
    """Where writing fails midway there is no new folder, and an old handbook stays whole."""
    out = tmp_path / "book"
    if there:
        run(str(out))
    write, count = Path.write_bytes, iter(range(1000))

    def failing(path: Path, content: bytes) -> int:
        if next(count) == 40:
            raise OSError(28, "No space left on device")
        return write(path, content)

    monkeypatch.setattr(Path, "write_bytes", failing)
    result = run(str(out))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "No space left on device" in result.stderr
    assert list(files(tmp_path)) == (["book"] if there else [])
    if there:
        assert set(files(out)) == set(pages())


def test_a_wrong_knowledge_base_makes_no_handbook(tmp_path: Path) -> None:
    """Where the knowledge base is wrong the command exits with 3 and writes nothing."""
    (tmp_path / "knowledge").mkdir()
    result = run(str(tmp_path / "book"), "--knowledge", str(tmp_path / "knowledge"))
    assert (result.exit_code, result.stdout) == (3, "")
    assert list(files(tmp_path)) == ["knowledge"]
