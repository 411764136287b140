"""Numbers as people write and say them: `1 1/2`, `½`, `1,000`, `half an inch`, `two or three`.

`units` and `when` read every number through here, before its unit. Nothing here knows what a unit
is, and nothing is rounded.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction


class UnitError(ValueError):
    """An amount that cannot be used: what is wrong with it, and what to write instead."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(f"{message}. {hint}" if hint else message)
        self.message = message
        self.hint = hint


NUMBER = re.compile(
    r"(?:(?:(?P<whole>[0-9]+) +|(?P<dashed>[1-9][0-9]*)-)?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    r"|(?P<plain>[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+(?:\.[0-9]+)?|\.[0-9]+))"
    r"(?![0-9]|[.,][0-9])"
)
"""A number as people write it: 2, 1.5, .5, 1,000, 1/2, 1 1/2 and 1-1/2 (one and a half)."""


def number_value(found: re.Match[str]) -> Fraction:
    """The exact value of a `NUMBER` found."""
    if len(found[0]) > 20:
        raise UnitError(f"`{found[0][:20]}...` has too many digits", "Write at most fifteen.")
    if found["plain"]:
        return Fraction(found["plain"].replace(",", ""))
    if not int(found["bottom"]):
        raise UnitError(f"`{found[0]}` divides by zero", "Write a fraction such as 1/2.")
    whole = int(found["whole"] or found["dashed"] or 0)
    return whole + Fraction(int(found["top"]), int(found["bottom"]))


_COUNTED = "zero|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"
_PARTS = {
    "two[ -]thirds": "2/3",
    "three[ -]quarters": "3/4",
    "half": "1/2",
    "third": "1/3",
    "quarter": "1/4",
}


def plain_text(written: str) -> str:
    """The text in plain characters: ½ as 1/2, ² as 2, dashes as hyphens, words as numbers."""
    pieces = []
    for character in written.replace("º", "").replace("°", "").replace("℉", "F").replace("℃", "C"):
        same = unicodedata.normalize("NFKC", character)
        pieces.append(f" {same.replace('⁄', '/')} " if "⁄" in same else same)
    text = re.sub(r"[‐‑‒–—−]", "-", "".join(pieces)).replace("″", '"').replace("′", "'")
    text = re.sub(r"[“”]", '"', text).replace("’", "'").replace("⁄", "/")
    for word, digits in _PARTS.items():
        text = re.sub(rf"\b({_COUNTED}|[0-9]+) and an? {word}\b", rf"\1 {digits}", text, flags=re.I)
        start, end = r"\b(?:(?:an?|one)[ -])?", r"(?: of)?(?: an?)?(?=[ -]|$)"
        text = re.sub(start + word + end, digits, text, flags=re.I)
    for number, word in enumerate(_COUNTED.split("|")):
        text = re.sub(rf"\b{word}\b", str(number), text, flags=re.I)
    text = re.sub(r"\b(?:[1a] )?thousand\b", "1000", text, flags=re.I)
    text = re.sub(r"(?<=[0-9]) of an? ", " ", text)
    return " ".join(text.split())
