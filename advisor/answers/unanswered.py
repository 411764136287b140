"""Questions that got no answer, kept for whoever looks after the knowledge base.

One line of JSON for each, appended to a file in the user's data folder; the only module of this
package that writes anything a user would miss. It keeps the words, the day and the nearest topics,
nothing else: what could be a phone number or an address is masked before anything is written.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from advisor.answers.words import words

FILE = "unanswered.jsonl"
LONGEST = 300
_MAIL = re.compile(r"\S+@\S+")
_PHONE = re.compile(r"\(?\+?\d(?:[\s().-]*\d){6,}")


@dataclass(frozen=True, slots=True)
class Unanswered:
    """A question, how often it was asked, when last, and the topics that came nearest to it."""

    question: str
    count: int
    last: str
    nearest: tuple[str, ...]


def masked(question: str) -> str:
    """A question as it may be kept."""
    text = " ".join(question.split())[:LONGEST]
    return _PHONE.sub("[number]", _MAIL.sub("[address]", text))


def record(folder: Path, question: str, nearest: Sequence[str], at: dt.datetime) -> bool:
    """Append a question; whether it could be kept."""
    line = {
        "at": at.date().isoformat(),
        "question": masked(question),
        "nearest": list(nearest),
    }
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        path = folder / FILE
        path.touch(mode=0o600)
        torn = path.read_bytes()[-1:] not in (b"", b"\n")
        with path.open("a", encoding="utf-8") as file:  # one line, one write
            file.write("\n" * torn + json.dumps(line, ensure_ascii=False) + "\n")
    except OSError:
        return False
    return True


def recorded(folder: Path) -> tuple[Unanswered, ...]:
    """The questions kept, the most frequent first; the same words in any spelling count as one."""
    found: dict[str, list[Unanswered]] = {}
    try:
        lines = (folder / FILE).read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return ()
    for line in lines:
        entry = _entry(line)
        if entry is not None:
            found.setdefault(" ".join(words(entry.question)), []).append(entry)
    counted = [
        Unanswered(entries[-1].question, len(entries), entries[-1].last, entries[-1].nearest)
        for entries in found.values()
    ]
    return tuple(sorted(counted, key=lambda u: (-u.count, u.question)))


def clear(folder: Path) -> bool:
    """Forget all of them; whether there were any."""
    try:
        (folder / FILE).unlink()
    except OSError:
        return False
    return True


def _entry(line: str) -> Unanswered | None:
    """A line of the file; None where it is torn or foreign."""
    try:
        data = json.loads(line)
        nearest = tuple(str(name) for name in data["nearest"])
        return Unanswered(str(data["question"]), 1, str(data["at"]), nearest)
    except (ValueError, KeyError, TypeError):
        return None
