"""Options that cannot stand side by side, because one of them would be ignored.

Every command parses its words through here before it runs: a pair of which one would change nothing
is refused, as is an option given twice of which only the last would count. What the options mean is
the commands' own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from typer.core import TyperCommand

from cli import shared


@dataclass(frozen=True, slots=True)
class Clash:
    """Of two options given together the one to drop, and why.

    An option is written `--name`, or `--name=value` and `--name!=value` where it clashes with, or
    but for, one value alone. An argument is written in capitals.
    """

    drop: str
    beside: str
    why: str


@dataclass(frozen=True, slots=True)
class Needs:
    """An option that is of no use without another one, and why."""

    drop: str
    without: str
    why: str


Rule = Clash | Needs

_COLOR = Clash("--color=always", "--json", "a document has no colors.")
_DOCUMENT = "the document is the same for every reader."
_ENGINE = "the rules run only on a call."
_WEED = Needs("--weed", "--product", "a weed chooses among the rates of a label.")
_CALIBRATION = (_COLOR, _WEED)
_SPREADING = Clash("--weed", "--want", "the result is set against what you want.")


def _each(beside: str, drops: Iterable[str], why: str) -> tuple[Clash, ...]:
    return tuple(Clash(drop, beside, why) for drop in drops)


_AGAINST = ("--product", "--weed", "--tank", "--want")

RULES: Final[Mapping[str, tuple[Rule, ...]]] = {
    "diagnose": (
        Clash("--why", "--json", "the document holds the whole answer."),
        Clash("--for", "--json", _DOCUMENT),
        Clash("--lang!=en", "--json", "the document is in English."),
        Clash("--for=customer", "--why", "the chain is written for the technician."),
        Clash("--lang!=en", "--why", "the chain is written for the technician, in English."),
        Needs("--lang!=en", "--for=customer", "the technician's page is in English."),
        _COLOR,
    ),
    "answer": (
        Clash("--for", "--json", _DOCUMENT),
        Clash("--channel", "--json", "the document holds every part of the answer."),
        Clash("--channel", "--for=technician", "a channel is how a homeowner gets it."),
        Clash("--color=always", "--channel=text", "a text message has no colors."),
        Needs("--engine", "--call", _ENGINE),
        _COLOR,
    ),
    "unanswered": (Clash("--json", "--clear", "nothing is listed when they are forgotten."),),
    "mix": (_COLOR,),
    "calibrate course": (
        *_each(
            "--swath",
            ("--caught", "--plot", *_AGAINST),
            "for a width of spray the answer is the length of the course, and nothing else.",
        ),
        *_CALIBRATION,
    ),
    "calibrate jar": _CALIBRATION,
    "calibrate boom": (
        Clash("--rated", "--flow", "what was caught counts for more than what is printed."),
        Clash("--rated-at", "--flow", "the flow as caught is known."),
        Clash("--pressure", "--flow", "the flow as caught was caught at that pressure."),
        Needs("--rated-at", "--pressure", "at its rated pressure a nozzle gives what it is rated."),
        Clash("--length", "--speed", "the speed is known."),
        Clash("--time", "--speed", "the speed is known."),
        Clash("--height", "--spacing", "the width is known."),
        Clash("--angle", "--spacing", "the width is known."),
        *_CALIBRATION,
    ),
    "calibrate refill": _CALIBRATION,
    "calibrate hose-end": (
        *_each(
            "--plants",
            ("--cover", "--caught", "--caught-in", "--plot", *_AGAINST),
            "for a number of plants the answer is the spray for all of them, and nothing else.",
        ),
        Needs("--each", "--plants", "it is what each of so many plants takes."),
        *_CALIBRATION,
    ),
    "calibrate spreader": (_SPREADING, *_CALIBRATION),
    "calibrate convert": _CALIBRATION,
    "weather": (_COLOR,),
    "plan": (
        Needs("--keep-mowing", "--mow", "it says that those mowing days stand."),
        Needs("--engine", "CALL", _ENGINE),
        Clash("--for", "--json", _DOCUMENT),
        *_each(
            "--for=customer",
            ("--compare", "--intend", "--forecast"),
            "what a customer reads is the plan alone.",
        ),
        _COLOR,
    ),
    "show": (_COLOR,),
    "handbook": (),
    "check": (
        Clash("--coverage", "--against", "they are two questions. Ask one at a time."),
        _COLOR,
    ),
}
"""The rules of every command with more than one option that could clash, most telling first."""


def command(name: str) -> type[TyperCommand]:
    """The class of a command, by its name behind `cameback`, that holds it to its rules."""
    rules = RULES.get(name, ())

    class Checked(TyperCommand):
        """A command that refuses options of which one would be ignored."""

        def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
            """Parse as ever, then hold what was given to the rules."""
            words = list(args)
            rest = super().parse_args(ctx, args)
            if not ctx.resilient_parsing:
                _check(rules, ctx.params, self._given(ctx, words))
            return rest

        def _given(self, ctx: Any, words: list[str]) -> Mapping[str, str]:
            """The names of the parameters, by how they were written; one given twice is refused."""
            given: dict[str, str] = {}
            *_, order = self.make_parser(ctx).parse_args(args=words)
            for parameter in order:
                option = parameter.param_type_name == "option"
                shown = parameter.opts[0] if option else str(parameter.human_readable_name)
                name = shown.strip("[]").split(".")[0]
                twice = name in given and option and not parameter.multiple
                if twice and not getattr(parameter, "is_flag", False):
                    shared.usage(f"{name} is given twice", "Drop one; only the last would count.")
                if option or ctx.params.get(str(parameter.name)) not in (None, ()):
                    given[name] = str(parameter.name)
            return given

    return Checked


def _check(rules: Iterable[Rule], values: Mapping[str, Any], given: Mapping[str, str]) -> None:
    for rule in rules:
        if not _holds(rule.drop, values, given):
            continue
        drop = shown(rule.drop)
        if isinstance(rule, Clash) and _holds(rule.beside, values, given):
            message = f"{drop} is of no use beside {shown(rule.beside)}"
            shared.usage(message, f"Drop {drop}: {rule.why}")
        if isinstance(rule, Needs) and not _holds(rule.without, values, given):
            message = f"{drop} is of no use without {shown(rule.without)}"
            shared.usage(message, f"Drop {drop}, or give both: {rule.why}")


def _holds(end: str, values: Mapping[str, Any], given: Mapping[str, str]) -> bool:
    """Whether an option was given, with the value that counts."""
    name, unlike, value = _parts(end)
    if name not in given:
        return False
    return not value or (str(values[given[name]]) == value) != unlike


def _parts(end: str) -> tuple[str, bool, str]:
    name, _, value = end.partition("=")
    return name.removesuffix("!"), name.endswith("!"), value


def shown(end: str) -> str:
    """An option as it is written in a message: `--for customer`."""
    name, unlike, value = _parts(end)
    return f"{name} {value}" if value and not unlike else name
