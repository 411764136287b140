"""The shape of the project: imports go one way, modules stay short, documents name what exists.

Reads the source of `advisor`, `cli` and `tests`, never runs it, and tries the commands and the call
that the README shows. It says nothing of what the answers are.
"""

from __future__ import annotations

import ast
import re
import shlex
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from example_calls import ROOT, advisor, knowledge
from typer.main import get_command

from advisor import __version__
from advisor.call import parse_call
from cli.main import app

LAYERS = (
    "advisor cli",  # the version, and a docstring
    "advisor.terms advisor.problem advisor.names advisor.spoken advisor.dates advisor.control",
    "advisor.yamlsyntax advisor.unit_table advisor.fact advisor.degree_days",
    "advisor.yamlfile advisor.units advisor.heat",
    "advisor.schema advisor.when advisor.plausible advisor.equipment advisor.speech",
    "advisor.model/ advisor.account advisor.weather/",
    "advisor.reading advisor.growth advisor.spray_days",
    "advisor.build_things advisor.build_rules advisor.build_answers advisor.build_heat",
    "advisor.build_languages advisor.languages",
    "advisor.build_places advisor.build_relations advisor.build_sprayers advisor.build_trials",
    "advisor.call_reader",
    "advisor.knowledge_folder",
    "advisor.knowledge_cache",
    "advisor.knowledge",
    "advisor.catalog",
    "advisor.call advisor.written",
    "advisor.dose/",
    "advisor.derive/",
    "advisor.expect advisor.facts advisor.published advisor.weather_report",
    "advisor.windows advisor.wordings",
    "advisor.engine/",
    "advisor.tiers",
    "advisor.kinds advisor.losses advisor.weighed",
    "advisor.weighing",
    "advisor.questions",
    "advisor.diagnosis",
    "advisor.planning/",
    "advisor.answers/",
    "advisor.checking/",
    "advisor.render/",
    "cli.shared cli.measuring",
    "cli.answer_options cli.clashes cli.plan_words",
    "cli.answers cli.browsing cli.calibrates cli.checks cli.diagnoses cli.handbooks cli.lists",
    "cli.mixes cli.plans cli.weathers",
    "cli.main",
)
"""A module imports only from layers above its own here; `package/` stands for all of a package."""

ONLY_IN = {
    "durable": ("advisor.engine.durable_engine",),
    "durable_rules_engine": ("advisor.engine.durable_engine",),
    "clips": ("advisor.engine.clips_engine",),
    "yaml": ("advisor.yamlsyntax", "advisor.yamlfile"),
    "jsonschema": ("advisor.schema",),
    "referencing": ("advisor.schema",),
    "pickle": ("advisor.knowledge_cache",),
    "sqlite3": ("advisor.journal",),
    "typer": ("cli/",),
    "rapidfuzz": ("advisor.names", "advisor.answers/"),
    "snowballstemmer": ("advisor.answers.stems",),
    "numpy": ("advisor.answers.vectors", "advisor.answers.meaning"),
    "readability": ("advisor.checking/",),
    "icalendar": ("advisor.render/",),
    "jinja2": ("advisor.render/",),
    "markupsafe": ("advisor.render/",),
}
"""Who may import what; a library named nowhere here may be imported nowhere."""

MAY_TOUCH_FILES = (
    "advisor.knowledge",
    "advisor.knowledge_folder",
    "advisor.knowledge_cache",
    "advisor.schema",
    "advisor.yamlfile",
    "advisor.weather/",
    "advisor.journal",
    "advisor.checking/",
    "advisor.answers.kept",
    "advisor.answers.meaning",
    "advisor.answers.unanswered",
    "advisor.answers.vectors",
)
TOUCHES_FILES = {"open", "read_text", "read_bytes", "write_text", "write_bytes", "touch"}
TOUCHES_FILES |= {"glob", "rglob", "iterdir", "listdir", "scandir", "is_file", "is_dir", "exists"}
TOUCHES_FILES |= {"stat", "mkdir", "makedirs", "rmdir", "unlink", "remove", "rename", "chmod"}
PRINTS_OR_EXITS = {"print", "input", "exit", "quit", "breakpoint"}
LONGEST = 350


def module_name(path: Path) -> str:
    """The dotted name of a source file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


SOURCES = {
    module_name(path): path
    for package in ("advisor", "cli")
    for path in sorted((ROOT / package).rglob("*.py"))
    if "_data" not in path.parts
}
TESTS = sorted((ROOT / "tests").rglob("*.py"))


@cache
def tree(path: Path) -> ast.Module:
    """The syntax tree of a source file."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def imports(module: str) -> Iterator[str]:
    """Every module that a module imports, wherever in it the statement stands."""
    for node in ast.walk(tree(SOURCES[module])):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module} imports relatively"
            for alias in node.names:
                full = f"{node.module}.{alias.name}"
                yield full if full in SOURCES else str(node.module)


def covers(pattern: str, module: str) -> bool:
    """Whether a name stands for a module: its own, or `package/` for all of a package."""
    package = pattern.removesuffix("/")
    return module == package or (pattern.endswith("/") and module.startswith(f"{package}."))


def layer(module: str) -> int:
    """The place of a module in `LAYERS`."""
    found = [n for n, row in enumerate(LAYERS) if any(covers(p, module) for p in row.split())]
    assert len(found) == 1, f"say once in LAYERS where {module} stands"
    return found[0]


def package(module: str) -> str:
    """The package of `LAYERS` that a module belongs to, or the module itself."""
    return next(name for name in LAYERS[layer(module)].split() if covers(name, module))


def needs(module: str) -> set[str]:
    """The modules of this project that a module imports."""
    return {name for name in imports(module) if name in SOURCES}


@pytest.mark.parametrize("module", SOURCES)
def test_imports_go_one_way(module: str) -> None:
    """A module imports from this project only what stands above it, or beside it in its package."""
    own = layer(module)
    others = {name for name in needs(module) if package(name) != package(module)}
    assert {name for name in others if layer(name) >= own} == set()


def test_no_import_goes_in_a_circle() -> None:
    """Within a package too, no module needs itself by way of others."""
    left = {module: needs(module) for module in SOURCES}
    while ready := [module for module, names in left.items() if not names & left.keys()]:
        for module in ready:
            del left[module]
    assert left == {}


def test_layers_name_only_what_exists() -> None:
    """Every name in `LAYERS` is a module or a package."""
    names = [name for row in LAYERS for name in row.split()]
    assert [n for n in names if not any(covers(n, module) for module in SOURCES)] == []


@pytest.mark.parametrize("module", SOURCES)
def test_libraries_are_imported_where_they_belong(module: str) -> None:
    """Each engine and each library is imported only in the modules made for it."""
    foreign = {name.split(".")[0] for name in imports(module)} - {"advisor", "cli"}
    wrong = {
        name
        for name in foreign
        if (name in ONLY_IN or name not in sys.stdlib_module_names)
        and not any(covers(pattern, module) for pattern in ONLY_IN.get(name, ()))
    }
    assert wrong == set()


def test_dependencies_are_the_libraries_imported() -> None:
    """What pyproject.toml asks for is what is imported, beside what comes with it and extras."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = {re.split(r"[\[><=!~; ]", text)[0].lower() for text in project["dependencies"]}
    used = {name.split(".")[0] for module in SOURCES for name in imports(module)}
    made_by = packages_distributions()
    made_by = {n: [d.lower().replace("_", "-") for d in found] for n, found in made_by.items()}
    foreign = (
        used
        - {"advisor", "cli", "referencing", "markupsafe", "numpy"}
        - set(sys.stdlib_module_names)
    )
    assert {d for name in foreign for d in made_by[name]} == asked


def calls(module: str) -> Iterator[tuple[str, str, int]]:
    """Every call in a module: what it is called on (or nothing), its name, its line."""
    for node in ast.walk(tree(SOURCES[module])):
        if isinstance(node, ast.Call):
            if isinstance(node.func, ast.Name):
                yield "", node.func.id, node.lineno
            elif isinstance(node.func, ast.Attribute):
                yield ast.unparse(node.func.value), node.func.attr, node.lineno


ADVISOR = [module for module in SOURCES if module.split(".")[0] == "advisor"]


@pytest.mark.parametrize("module", ADVISOR)
def test_only_loaders_touch_files(module: str) -> None:
    """Only the loaders, the log and the checker touch files or folders."""
    if any(covers(pattern, module) for pattern in MAY_TOUCH_FILES):
        return
    touched = [
        (n, line) for on, n, line in calls(module) if n in TOUCHES_FILES and (on or n == "open")
    ]
    assert touched == []


@pytest.mark.parametrize("module", ADVISOR)
def test_advisor_never_prints_or_exits(module: str) -> None:
    """Nothing in `advisor` prints, asks, exits, or reaches for the standard streams."""
    assert [(n, line) for on, n, line in calls(module) if not on and n in PRINTS_OR_EXITS] == []
    reached = {
        ast.unparse(node)
        for node in ast.walk(tree(SOURCES[module]))
        if isinstance(node, ast.Attribute | ast.Name)
    }
    forbidden = {"sys.exit", "os._exit", "sys.stdout", "sys.stderr", "sys.stdin", "SystemExit"}
    assert reached & forbidden == set()


@pytest.mark.parametrize("module", ADVISOR)
def test_advisor_asks_neither_clock_nor_environment(module: str) -> None:
    """Today's date, the folder and the seed are arguments: the same call gets the same answer."""
    asked = {(on, name) for on, name, _ in calls(module)}
    assert {name for _, name in asked} & {"today", "now", "utcnow", "localtime"} == set()
    assert ("time", "time") not in asked
    assert {name for on, name in asked if on == "random"} <= {"Random"}  # which is given a seed
    wrong = {"secrets", "uuid", "os", "locale", "socket"} & set(imports(module))
    assert wrong == set()


@pytest.mark.parametrize("module", SOURCES)
def test_modules_are_short(module: str) -> None:
    """No source file is longer than 350 lines."""
    lines = len(SOURCES[module].read_text(encoding="utf-8").splitlines())
    assert lines <= LONGEST


@pytest.mark.parametrize(
    "path", [*SOURCES.values(), *TESTS], ids=lambda p: str(p.relative_to(ROOT))
)
def test_every_module_says_what_it_is(path: Path) -> None:
    """Every module starts with a docstring."""
    assert (ast.get_docstring(tree(path)) or "").strip() != ""


@pytest.mark.parametrize("path", TESTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_test_states_what_it_shows(path: Path) -> None:
    """Every test has a docstring, which is a statement that ends in a full stop."""
    functions = (ast.FunctionDef, ast.AsyncFunctionDef)
    named = [n for n in ast.walk(tree(path)) if isinstance(n, functions)]
    tests = [n for n in named if n.name.startswith("test_")]
    wrong = [n.name for n in tests if not (ast.get_docstring(n) or "").rstrip().endswith(".")]
    assert wrong == []


def document(name: str) -> str:
    """The text of one of the documents beside the code."""
    return (ROOT / name).read_text(encoding="utf-8")


def named_in(text: str) -> set[str]:
    """The modules and package folders named in backticks."""
    return set(re.findall(r"`((?:advisor|cli)/[\w/]*(?:\.py|/))`", text))


def test_every_module_is_on_the_map() -> None:
    """DEVELOPERS.md names every module, or the folder of its package."""
    named = named_in(document("DEVELOPERS.md"))
    files = [p.relative_to(ROOT) for p in SOURCES.values() if p.name != "__init__.py"]
    missing = [
        str(path)
        for path in files
        if path.as_posix() not in named and f"{path.parent.as_posix()}/" not in named
    ]
    assert missing == []


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "CHANGELOG.md"])
def test_documents_name_only_what_exists(name: str) -> None:
    """Every module, folder and file that a document names in backticks is there."""
    text = document(name)
    paths = named_in(text)
    paths |= set(re.findall(r"`((?:knowledge|schemas|tests|\.ci)/[\w/.-]*)`", text))
    paths |= set(re.findall(r"`([A-Z]+\.md|[\w-]+\.(?:toml|lock))`", text))
    assert {path for path in paths if not (ROOT / path).exists()} == set()


def test_the_changelog_knows_this_version() -> None:
    """CHANGELOG.md has a section for the version, and it is the newest."""
    sections = re.findall(r"^## (\S+)", document("CHANGELOG.md"), re.MULTILINE)
    assert sections[0] == __version__


def shown_commands(text: str) -> list[str]:
    """The `cameback` commands in a document, in its blocks and in its sentences."""
    blocks = "\n".join(re.findall(r"^```sh\n(.*?)^```", text, re.MULTILINE | re.DOTALL))
    in_blocks = re.findall(r"(?:^|&& |\| )(?:\S*/)?(cameback [^\n&|>]*)", blocks, re.MULTILINE)
    return in_blocks + re.findall(r"`(cameback [^`\n]+)`", text)


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "CHANGELOG.md"])
def test_commands_shown_can_be_given(name: str) -> None:
    """Every command that a document shows is understood, and the files it names are there."""
    commands = shown_commands(document(name))
    assert commands != []
    for command in commands:
        understood(command)


def understood(line: str) -> None:
    """Parse one command line as the program does, without running it."""
    group = get_command(app)
    words = shlex.split(line.replace("[DIR]", "knowledge"))[1:]
    words = [w.replace("CALL.yaml", "knowledge/examples/ground-ivy-watered.yaml") for w in words]
    if words[0].startswith("-"):
        options = {option for parameter in group.params for option in parameter.opts}
        assert words[0] in options | {"--help"}, line
        return
    assert words[0] in group.commands, line
    if len(words) == 1:  # the command is spoken of, not shown
        return
    for word in words[1:]:
        assert "/" not in word or (ROOT / word).exists(), f"{word} is not there: {line}"
    group.commands[words[0]].make_context(words[0], words[1:])


def test_the_call_in_the_readme_gets_an_answer() -> None:
    """The call file printed in the README is read without a problem and diagnosed."""
    (shown,) = re.findall(r"^```yaml\n(.*?)^```", document("README.md"), re.MULTILINE | re.DOTALL)
    found = advisor("auto").diagnose(parse_call(shown, "README.md", knowledge()))
    assert found.kind.chance > 0


def test_the_changelog_counts_right() -> None:
    """The numbers of weeds, products, causes and so on in the changelog are those shipped."""
    base = knowledge()
    counts = {
        "weeds": base.weeds,
        "invented products": base.products,
        "causes": base.causes,
        "kinds of comeback": base.kinds,
        "stops": base.stops,
        "site features": base.sites,
        "invented regions": base.regions,
    }
    text = " ".join(document("CHANGELOG.md").split())
    assert [name for name, found in counts.items() if f"{len(found)} {name}" not in text] == []
