"""What is wrong with a file somebody wrote, where, and what would be right.

Every loader and checker answers with `Problem` values, and raises them together as `ProblemsFound`;
the command line prints them. Nothing here reads a file, decides what is wrong, or prints.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

CODES: Final[dict[str, str]] = {
    # K0: the file and its YAML, knowledge base and call file alike
    "K001": "there is no such file",
    "K002": "not an ordinary file",
    "K003": "the file cannot be read",
    "K004": "the file is too large",
    "K005": "the file is not UTF-8",
    "K006": "a character that has no place in text",
    "K007": "the file is empty",
    "K008": "the YAML cannot be read",
    "K009": "a tab where only spaces may stand",
    "K010": "a key is written twice",
    "K011": "an anchor (&)",
    "K012": "an alias (*)",
    "K013": "a tag (!)",
    "K014": "a merge key (<<)",
    "K015": "more than one document in the file",
    "K016": "a key that is not text",
    "K017": "nested too deep",
    "K018": "a comma cut a value in two",
    "K019": "the file does not hold keys and values",
    "K020": "a file in the knowledge folder that no loader claims",
    "K021": "a file that the knowledge folder needs is missing",
    # K1: the shape of a file, as its schema has it
    "K101": "a key that is not known here",
    "K102": "a key is missing",
    "K103": "the wrong type of value",
    "K104": "not one of the possible words",
    "K105": "a number out of bounds",
    "K106": "text not in the form needed",
    "K107": "too many or too few entries",
    "K108": "an entry is written twice",
    "K109": "exactly one of several keys is needed",
    # C1: what a call file says
    "C101": "a value that cannot be read",
    "C102": "a value that is not plausible",
    "C103": "a name that is not known",
    "C104": "the day of the call is not possible",
    "C105": "something happened after the call",
    "C106": "too many applications",
    "C107": "a time that cannot be read",
    "C108": "a weather file that cannot be had",
    # W1: a weather file as a whole
    "W101": "not a CSV file",
    "W102": "a column that is needed is missing",
    "W103": "a column whose unit is missing or does not fit",
    "W104": "the units of a weather file cannot be told",
    "W105": "no row of a weather file can be read",
    # W2: a row of a weather file, which is skipped
    "W201": "a row with too few cells",
    "W202": "a day or time that cannot be read",
    "W203": "a row that comes twice or out of order",
    "W204": "a value that is no number",
    "W205": "a value that is not possible",
    "W206": "a row of another station",
    # K2: references between files
    "K201": "a name that leads nowhere",
    "K202": "named in two lists that exclude each other",
    "K203": "the id is not the name of the file",
    "K204": "an id is used twice",
    "K205": "a retired id is used again",
    "K206": "a lookalike that does not name this weed back",
    "K207": "a rate for a weed that the label does not list",
    "K208": "a weed without a control figure for what its products hold",
    # K3: facts and units
    "K301": "a fact that does not exist",
    "K302": "a test that does not suit the fact's type",
    "K303": "an option that the fact does not have",
    "K304": "a number outside what the fact can be",
    "K305": "a condition that always holds",
    "K306": "an amount that cannot be read",
    "K307": "a range that runs backwards",
    "K308": "not a day of the year",
    "K309": "an example's value that cannot be read",
    "K310": "shares that do not add up or do not cover the range",
    "K311": "seasons that do not make up the year",
    "K312": "a placeholder that nothing fills in",
    # K4: rules and their examples
    "K401": "an example on which a rule should fire but does not",
    "K402": "an example that is no near miss",
    "K403": "a condition that no near miss tests",
    "K404": "a condition that never holds",
    "K405": "a kind, cause or stop that nothing can show",
    "K406": "a fact that no rule reads",
    "K407": "a fact that is not known yet in this tier",
    "K408": "too many alternatives in a rule",
    "K409": "a rule that does not speak for its own kind",
    "K410": "an example gives a fact that the rule does not read",
    "K411": "held_by names a fact that the rule does not read",
    "K412": "an alternative that another one covers",
    "K209": "a weed, turf or product that no plan can be made for",
    "K210": "declared retreatments that the kill model does not give",
    "K211": "a figure without an origin",
    "K212": "a weed that no lawn product lists",
    "K213": "a weed's file that leaves something out",
    "K413": "a rule that can never fire",
    "K414": "a rule that says nothing its neighbor does not say",
    "K415": "two rules that give opposite advice on the same facts",
    "K416": "an exemption that is no longer needed",
    "K417": "a relation between facts that cannot hold",
    "K418": "an example that no call could give",
    "K603": "a question that no answer is found for",
    "K604": "an answer or a phrase that is never said",
    # K5: what the rules engines cannot take
    "K501": "more than a rules engine can take",
    # K6: the example calls
    "K601": "an example call that gives no answer",
    "K602": "a cause or stop shown on a well-made treatment",
    # K7: the texts people read, and the ways they ask
    "K701": "a text that is hard to read",
    "K702": "too few ways of asking",
    "K703": "a way of asking that is listed twice",
    "K704": "an answer too long for a text message",
}
"""Every code with its one-line meaning. A code keeps its meaning for ever."""

EXCERPT_WIDTH: Final = 100
"""Characters of a source line that an excerpt shows; longer lines are cut around the place."""

_LINE_END: Final = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake at one place; sorts by path, line and column.

    Line and column count from 1; 0 means the whole file. The message is one line, says what is
    wrong in plain words and never shows the insides of the program; the hint says what is right.
    """

    path: str
    line: int
    column: int
    code: str
    message: str
    hint: str = ""

    def text(self) -> str:
        """`path:line:column: error CODE: message`, then the hint on an indented line of its own."""
        place = f"{self.path}:{self.line}:{self.column}"
        first = escaped(f"{place}: error {self.code}: {self.message}")
        return f"{first}\n    {escaped(self.hint)}" if self.hint else first


class ProblemsFound(Exception):
    """One or more problems, sorted, each once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = sorted_unique(problems)
        if not self.problems:
            raise ValueError("ProblemsFound needs at least one problem")
        super().__init__("\n".join(problem.text() for problem in self.problems))


def sorted_unique(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems by place, each once."""
    return tuple(sorted(set(problems)))


def split_lines(text: str) -> list[str]:
    """The lines of a text as YAML counts them."""
    return _LINE_END.split(text)


def escaped(text: str) -> str:
    """The text on one line, with an escape for each character a terminal might obey, not show."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


def printable(text: str) -> str:
    """The text with a mark for each character that a terminal might obey instead of showing."""
    return "".join(c if c.isprintable() else "\ufffd" for c in text)


def excerpt(source_text: str, problem: Problem) -> str:
    """The line the problem is on with a caret under its column; empty for a whole-file problem."""
    lines = split_lines(source_text)
    if not 1 <= problem.line <= len(lines) or problem.column < 1:
        return ""
    line = printable(lines[problem.line - 1].replace("\t", " "))
    at = min(problem.column - 1, len(line))
    number = f"{problem.line} | "
    start = max(0, at - EXCERPT_WIDTH // 2) if len(line) > EXCERPT_WIDTH else 0
    shown = line[start : start + EXCERPT_WIDTH].rstrip()
    left = "..." if start else ""
    right = "..." if len(line) > start + EXCERPT_WIDTH else ""
    caret = " " * (len(number) + len(left) + at - start) + "^"
    return f"{number}{left}{shown}{right}\n{caret}"
