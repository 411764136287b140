"""Options of which one would be ignored: every such pair is refused, and says which to drop.

The table of pairs is the program's own, so that none of them is left untried; which pairs must be
in it is said here for whole groups of options. Nothing is answered in most of these tests.
"""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from example_calls import PATHS, ROOT
from typer.main import get_command
from typer.testing import CliRunner, Result

from cli.clashes import RULES, Clash, Rule, shown
from cli.main import app

CALL = str(PATHS["ground-ivy-watered"])
WEATHER = str(ROOT / "knowledge" / "examples" / "lake-plain-2026.csv")
ARGUMENTS = {
    "diagnose": [CALL],
    "answer": ["when can the dog go out"],
    "mix": ["larkmoor-broadleaf"],
    "weather": [WEATHER],
    "show": ["ground-ivy"],
    "handbook": ["out"],
    "calibrate convert": ["65 gal/acre"],
}
VALUES = {
    "--why": "wet-before",
    "--lang!=en": "es",
    "--for": "customer",
    "--channel": "email",
    "--engine": "auto",
    "--plants": "3",
    "--angle": "80",
    "--against": "knowledge",
}
FLAGS = ("--json", "--clear", "--coverage", "--keep-mowing", "--compare")


@pytest.fixture(autouse=True)
def cache(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Keep what the program keeps out of the home folder."""
    monkeypatch.setenv("CAMEBACK_CACHE", str(tmp_path_factory.getbasetemp() / "kept"))
    monkeypatch.setenv("CAMEBACK_DATA", str(tmp_path_factory.getbasetemp() / "data"))


def run(*words: str) -> Result:
    """Run `cameback`."""
    return CliRunner().invoke(app, words)


def said(end: str) -> list[str]:
    """One end of a rule as somebody would type it."""
    if end == "CALL":
        return [CALL]
    name = end.split("=", maxsplit=1)[0].removesuffix("!")
    if end in VALUES or name in VALUES:
        value = VALUES.get(end, VALUES.get(name, ""))
        return [name, end.partition("=")[2] if "!" not in end and "=" in end else value]
    if name in FLAGS:
        return [name]
    return [name, end.partition("=")[2] or "1"]


def every_rule() -> Iterator[Any]:
    """Each rule with its command."""
    for name, rules in RULES.items():
        for rule in rules:
            other = rule.beside if isinstance(rule, Clash) else rule.without
            yield pytest.param(name, rule, other, id=f"{name} {rule.drop} {other}")


def commands() -> Iterator[tuple[str, Any]]:
    """Every command with its parsed definition."""
    for name, found in get_command(app).commands.items():  # type: ignore[attr-defined]
        inner = getattr(found, "commands", None)
        if inner is None:
            yield name, found
        else:
            yield from ((f"{name} {each}", one) for each, one in inner.items())


def refused(result: Result) -> str:
    """What a refusal says: exit code 2, nothing on the standard output, two lines."""
    assert (result.exit_code, result.stdout) == (2, "")
    first, hint = result.stderr.splitlines()
    assert first.startswith("error: ")
    assert hint.startswith("    Drop ")
    return result.stderr


@pytest.mark.parametrize(("name", "rule", "other"), list(every_rule()))
def test_every_pair_is_refused(name: str, rule: Rule, other: str) -> None:
    """Two options of which one would be ignored exit with 2: both are named, and which to drop."""
    words = [*name.split(), *ARGUMENTS.get(name, []), *said(rule.drop)]
    if isinstance(rule, Clash):
        words += said(other)
    message = refused(run(*words))
    assert shown(rule.drop) in message.splitlines()[0]
    assert shown(other) in message.splitlines()[0]
    assert f"Drop {shown(rule.drop)}" in message


@pytest.mark.parametrize(("name", "rule", "other"), list(every_rule()))
def test_rules_are_about_options_that_exist(name: str, rule: Rule, other: str) -> None:
    """Both ends of a rule are options or arguments of its command, and its reason is a sentence."""
    parameters = dict(commands())[name].params
    known = {word for parameter in parameters for word in parameter.opts} | {
        str(parameter.human_readable_name).strip("[]") for parameter in parameters
    }
    ends = {end.split("=")[0].removesuffix("!") for end in (rule.drop, other)}
    assert ends <= known
    assert rule.why.endswith(".")


@pytest.mark.parametrize("name", [name for name, _ in commands()])
def test_a_document_leaves_no_option_of_a_page_standing(name: str) -> None:
    """Beside `--json` every option that only shapes a page is refused, on every command."""
    options = {word for parameter in dict(commands())[name].params for word in parameter.opts}
    if "--json" not in options:
        return
    ends = {rule.drop for rule in RULES.get(name, ()) if isinstance(rule, Clash)
            if rule.beside == "--json"}  # fmt: skip
    shaping = {"--color", "--for", "--channel", "--why"} & options
    assert shaping == {end.split("=")[0] for end in ends} - {"--lang!"}


def valued_once() -> Iterator[Any]:
    """Each option of each command that takes one value."""
    for name, command in commands():
        for parameter in command.params:
            once = parameter.param_type_name == "option" and not parameter.multiple
            if once and not parameter.is_flag:
                yield pytest.param(name, parameter, id=f"{name} {parameter.opts[0]}")


@pytest.mark.parametrize(("name", "parameter"), list(valued_once()))
def test_an_option_given_twice_is_refused(name: str, parameter: Any) -> None:
    """Of an option given twice only the last would count: exit code 2, and it is named."""
    choices = getattr(parameter.type, "choices", None)
    word = str(getattr(choices[0], "value", choices[0])) if choices else "7"
    option = parameter.opts[0]
    twice = [option, word, option, word]
    message = refused(run(*name.split(), *ARGUMENTS.get(name, []), *twice))
    assert message.startswith(f"error: {option} is given twice\n")


@pytest.mark.parametrize(
    "words",
    [
        ["diagnose", CALL, "--json", "--json"],
        ["diagnose", CALL, "--json", "--color", "never"],
        ["diagnose", CALL, "--json", "--lang", "en"],
        ["diagnose", CALL, "--why", "wet-before", "--for", "technician"],
        ["diagnose", CALL, "--why", "wet-before", "--color", "always"],
        ["diagnose", CALL, "--for", "customer", "--lang", "es", "--color", "always"],
        ["mix", "larkmoor-broadleaf", "--spot", "--tank", "2gal", "--json", "--units", "metric"],
        ["calibrate", "course", "--swath", "6ft", "--json"],
        ["weather", WEATHER, "--json", "--to", "2026-05-20", "--color", "auto"],
        ["list", "weeds", "--habit", "rhizomes", "--json"],
    ],
    ids=" ".join,
)
def test_options_that_go_together_are_answered(words: list[str]) -> None:
    """What no option takes from another is answered with exit code 0."""
    result = run(*words)
    assert (result.exit_code, result.stderr) == (0, "")


@pytest.mark.parametrize(
    ("words", "option"),
    [
        (["mix", "stonecroft-preventer", "--area", "3500 ft2", "--water-hardness", "300 ppm"],
         "--water-hardness"),
        (["calibrate", "convert", "4 lb/1000 ft2", "--tank", "2 gal"], "--tank"),
        (["weather", WEATHER, "--file-units", "metric"], "--file-units"),
    ],
)  # fmt: skip
def test_options_that_what_is_named_has_no_use_for(words: list[str], option: str) -> None:
    """An option that the product, the output or the file makes useless is refused, and named."""
    assert option in refused(run(*words))


def test_two_files_in_one_place(tmp_path: Path) -> None:
    """A calendar and a sheet with one name are refused, as is a file that the plan is read from."""
    call = tmp_path / "call.yaml"
    call.write_bytes(Path(CALL).read_bytes())
    same = str(tmp_path / "plan")
    for words in (["--ics", same, "--html", same], ["--html", str(call)]):
        result = run("plan", str(call), *words)
        assert (result.exit_code, result.stdout) == (2, "")
        assert "in the same run" in result.stderr
    assert call.read_bytes() == Path(CALL).read_bytes()
    assert list(tmp_path.iterdir()) == [call]


def test_a_loop_of_links_is_no_file(tmp_path: Path) -> None:
    """A link that leads to itself is refused like any file that is not there: no traceback."""
    loop = tmp_path / "loop"
    loop.symlink_to("loop")
    assert run("plan", str(loop)).exit_code == 1
    assert run("plan", CALL, "--ics", str(loop)).exit_code == 2
    assert run("handbook", str(loop)).exit_code == 2


@pytest.mark.parametrize(
    "words", [["diagnose", CALL, "--knowledge"], ["list", "kinds", "--knowledge"]]
)
def test_a_name_too_long_is_no_folder(words: list[str]) -> None:
    """A knowledge folder whose name the system cannot take is none: exit code 3, no traceback."""
    result = run(*words, "x" * 5000)
    assert (result.exit_code, result.stdout) == (3, "")


def test_escape_codes_in_names_are_not_obeyed(tmp_path: Path) -> None:
    """A file name with a line end and an escape code in it is shown escaped, on one line."""
    call = tmp_path / "a\nb\x1b[31m.yaml"
    call.write_text("weed: nosuch\n", encoding="utf-8")
    result = run("diagnose", str(call))
    assert result.exit_code == 1
    assert "\x1b" not in result.stderr
    assert "a\\nb\\x1b[31m.yaml:1:" in result.stderr


def test_each_knowledge_folder_keeps_its_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two folders used in turn each keep one copy, which the other leaves as it is."""
    kept = tmp_path / "kept"
    monkeypatch.setenv("CAMEBACK_CACHE", str(kept))
    other = Path(shutil.copytree(ROOT / "knowledge", tmp_path / "other"))
    list_them = ["list", "kinds"]
    run(*list_them)
    run(*list_them, "--knowledge", str(other))
    before = {path: path.stat().st_mtime_ns for path in kept.iterdir()}
    run(*list_them)
    run(*list_them, "--knowledge", str(other))
    assert len(before) == 2
    assert {path: path.stat().st_mtime_ns for path in kept.iterdir()} == before


def test_no_handbook_of_wrong_knowledge(tmp_path: Path) -> None:
    """A handbook of a folder that holds no knowledge exits with 3 and leaves nothing behind."""
    (tmp_path / "empty").mkdir()
    result = run("handbook", str(tmp_path / "out"), "--knowledge", str(tmp_path / "empty"))
    assert (result.exit_code, result.stdout) == (3, "")
    assert [path.name for path in tmp_path.iterdir()] == ["empty"]


@pytest.mark.parametrize("name", [name for name, _ in commands()])
def test_the_example_of_the_help_runs(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The `Example:` in the help of each command runs as it is written, with exit code 0."""
    monkeypatch.setenv("COLUMNS", "200")
    text = run(*name.split(), "--help").stdout
    (example,) = re.findall(r"Example: cameback (.*?)\n\n", text, re.DOTALL)
    (tmp_path / "knowledge").symlink_to(ROOT / "knowledge")
    monkeypatch.chdir(tmp_path)
    result = run(*shlex.split(example))
    assert (result.exit_code, result.stderr) == (0, "")
