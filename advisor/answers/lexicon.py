"""What the words of a question mean: slang put plainly, typing mistakes put right, names, groups.

Built once from the knowledge base; `features` reads the result, `context` is filled from its names.
It knows nothing of topics.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from advisor.answers.amounts import amounts, weather_words
from advisor.answers.spelling import Speller
from advisor.answers.stems import stemmer
from advisor.answers.words import root, words
from advisor.model import KnowledgeBase
from advisor.units import Amount

WEED, TURF, PRODUCT = "weed", "turf", "product"
LONGEST_PHRASE = 7
Phrase = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Name:
    """A weed, a lawn grass or a product named in a text, and where."""

    kind: str
    id: str
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Reading:
    """A text as the finder sees it.

    `words` are corrected; product names are taken out of them, since they say what it is about
    and not what is asked. `stems` are theirs; `groups` are the groups of synonyms they belong to.
    """

    words: tuple[str, ...]
    stems: tuple[str, ...]
    groups: tuple[str, ...]
    names: tuple[Name, ...]
    amounts: tuple[Amount, ...]
    unknown: tuple[str, ...]


class Lexicon:
    """The words of one knowledge base; `texts` are the phrasings that the spelling goes by."""

    def __init__(self, base: KnowledgeBase, texts: Iterable[str] = ()) -> None:
        asking = base.asking
        self._stem = stemmer(base.speech.language)
        self._say = {tuple(words(k)): tuple(words(v)) for k, v in asking.say.items()}
        self._names = dict(_names(base))
        self._groups: dict[Phrase, set[str]] = {}
        counts: Counter[str] = Counter()
        for group, members in asking.means.items():
            for member in members:
                phrase = tuple(words(member))
                counts.update(phrase)
                key = tuple(root(w) for w in phrase)
                self._groups.setdefault(key, set()).add(group)
        self._first_aid = {
            name: {tuple(words(call)) for call in calls}
            for name, calls in asking.first_aid.items()
            if name in base.answers
        }
        for phrase in (*self._names, *self._say.values(), *self._first_aid_phrases()):
            counts.update(phrase)
        for text in texts:
            counts.update(self._put_plainly(words(text)))
        self._counts = counts
        self._speller = Speller(counts)

    def read(self, text: str) -> Reading:
        """A text, read."""
        said = [self._speller.correct(w) for w in self._put_plainly(words(text))]
        said = self._put_plainly(said)
        names = tuple(self._named(said))
        taken = {i for n in names if n.kind == PRODUCT for i in range(n.first, n.last + 1)}
        kept = tuple(w for i, w in enumerate(said) if i not in taken)
        groups = {g for phrase in _phrases(kept, 4) for g in self._groups.get(_roots(phrase), ())}
        told = amounts(text)
        groups |= {n.kind for n in names} | {a.dimension for a in told} | {*weather_words(told)}
        unknown = tuple(w for w in kept if w not in self._counts)
        stems = tuple(self._stem(w) for w in kept)
        return Reading(kept, stems, tuple(sorted(groups)), names, told, unknown)

    def first_aid(self, reading: Reading) -> list[str]:
        """The topics of first aid that a text calls for, the most urgent first."""
        said = set(_phrases(reading.words, LONGEST_PHRASE))
        return [name for name, calls in self._first_aid.items() if calls & said]

    def _first_aid_phrases(self) -> Iterator[Phrase]:
        for calls in self._first_aid.values():
            yield from sorted(calls)

    def _put_plainly(self, said: Sequence[str]) -> list[str]:
        """Slang and spellings of the list put as they are meant."""
        plain: list[str] = []
        i = 0
        while i < len(said):
            for n in range(min(3, len(said) - i), 0, -1):
                meant = self._say.get(tuple(said[i : i + n]))
                if meant is not None:
                    plain.extend(meant)
                    i += n
                    break
            else:
                plain.append(said[i])
                i += 1
        return plain

    def _named(self, said: Sequence[str]) -> Iterator[Name]:
        """Names in the order they stand; the longest that fits is taken."""
        i = 0
        while i < len(said):
            for n in range(min(LONGEST_PHRASE, len(said) - i), 0, -1):
                found = self._names.get(tuple(said[i : i + n]))
                if found is not None:
                    yield Name(*found, i, i + n - 1)
                    i += n
                    break
            else:
                i += 1


def _roots(phrase: Phrase) -> Phrase:
    return tuple(root(w) for w in phrase)


def _phrases(said: Sequence[str], longest: int) -> Iterator[Phrase]:
    for i in range(len(said)):
        for n in range(1, min(longest, len(said) - i) + 1):
            yield tuple(said[i : i + n])


def _names(base: KnowledgeBase) -> Iterator[tuple[Phrase, tuple[str, str]]]:
    """Everything that weeds, lawn grasses and products are called, the surest names last."""
    kinds = dict.fromkeys(base.weeds, WEED) | dict.fromkeys(base.turf, TURF)
    kinds |= dict.fromkeys(base.products, PRODUCT)
    called: list[tuple[str, str]] = [*base.asking.names.items()]
    called += [(name, w.id) for w in base.weeds.values() for name in w.names]
    called += [(t.name, t.id) for t in base.turf.values()]
    called += [(p.name, p.id) for p in base.products.values()]
    called += [(name.replace("-", " "), name) for name in kinds if name not in base.turf]
    for said, name in called:
        for phrase in _forms(words(said)):
            yield phrase, (kinds[name], name)


def _forms(said: Sequence[str]) -> Iterator[Phrase]:
    """A name, its plural, and a name of two words run together."""
    for last in (said[-1], said[-1] + "s", said[-1].removesuffix("y") + "ies"):
        yield (*said[:-1], last)
        if len(said) == 2:
            yield (said[0] + last,)


def ids(names: Iterable[Name], kind: str) -> list[str]:
    """The ids named of a kind, each once, in order."""
    return list(dict.fromkeys(n.id for n in names if n.kind == kind))
