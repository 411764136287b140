"""What the checks look at: the loaded base, its files, and what an engine makes of its examples.

`run` makes one `Subject` for a folder and hands it to every check, so that files are read again
and engines built only once, and only where a check needs them. It judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import Path

from advisor.checking.boxes import Space
from advisor.checking.corpus import Case, run_calls
from advisor.checking.pages import Pages
from advisor.checking.trials import Trials
from advisor.engine.limits import Limit, limits
from advisor.model import Cause, Example, Exemption, Kind, KnowledgeBase, Relation, Rule, Stop, Weed
from advisor.problem import Problem

Owner = Cause | Kind | Stop
Check = Callable[["Subject"], Iterator[Problem]]


class Subject:
    """One knowledge folder under check."""

    def __init__(self, base: KnowledgeBase, folder: Path, engine: str = "auto") -> None:
        self.base = base
        self.folder = folder
        self.engine = engine
        self.pages = Pages(folder)
        self.needed: set[Exemption] = set()
        self._found: dict[Check, tuple[Problem, ...]] = {}

    def found(self, check: Check) -> tuple[Problem, ...]:
        """What a check finds; it is run once."""
        if check not in self._found:
            self._found[check] = tuple(check(self))
        return self._found[check]

    def excused(self, code: str, exemptions: Iterable[Exemption], *sides: Collection[str]) -> bool:
        """Whether a problem is meant to be so; the exemption that says it is noted as needed.

        Args:
            code: the problem's code.
            exemptions: those of the files that the problem is about.
            sides: what it is about, each with all the ids it goes by; an exemption names one each.
        """
        every = {name for side in sides for name in side}
        for one in exemptions:
            meant = one.code == code and one.about <= every
            if meant and all(one.about & set(side) for side in sides):
                self.needed.add(one)
                return True
        return False

    @property
    def exempting(self) -> Iterator[Owner | Weed]:
        """Everything whose file may hold exemptions."""
        base = self.base
        for entries in (base.kinds, base.causes, base.stops, base.weeds):
            yield from entries.values()

    @cached_property
    def space(self) -> Space:
        """What facts can be together."""
        return Space(self.base.facts, self.relations)

    @cached_property
    def relations(self) -> tuple[Relation, ...]:
        """The relations between facts, without those that exclude an earlier one."""
        kept: tuple[Relation, ...] = ()
        for relation in self.base.relations:
            space = Space(self.base.facts, (*kept, relation))
            if space.possible({fact: space.whole(fact) for fact in relation.facts}):
                kept = (*kept, relation)
        return kept

    @property
    def tiers(self) -> tuple[tuple[str, Mapping[str, Owner]], ...]:
        """The folders that hold rules, in the order in which their rules run."""
        base = self.base
        return ("kinds", base.kinds), ("causes", base.causes), ("stops", base.stops)

    @property
    def owners(self) -> Iterator[tuple[str, Owner]]:
        """Everything that has rules, with the path of its file."""
        for name, owners in self.tiers:
            for owner in owners.values():
                yield self.path(name, owner.id), owner

    def path(self, folder: str, name: str) -> str:
        """The path of an entry's file, as problems show it."""
        return str(self.folder / folder / f"{name}.yaml")

    @cached_property
    def impossible(self) -> frozenset[str]:
        """Ids of the rules that can never hold, so that trying them is no use."""
        return frozenset(
            rule.id for rule in self.base.rules() if not any(map(self.space.holds, rule.clauses))
        )

    @cached_property
    def over_limits(self) -> Mapping[str, tuple[Limit, ...]]:
        """For each folder of rules, what of it no engine should be given."""
        return {
            name: tuple(limits(c for o in owners.values() for r in o.rules for c in r.clauses))
            for name, owners in self.tiers
        }

    @cached_property
    def trials(self) -> Trials:
        """The examples, tried on an engine."""
        tiers = [
            [rule for owner in owners.values() for rule in owner.rules]
            for name, owners in self.tiers
            if not self.over_limits[name]
        ]
        return Trials(tiers, self.base.facts, self.engine)

    def tried(self) -> Iterator[Rule]:
        """The rules whose examples can be tried."""
        for name, owners in self.tiers:
            if not self.over_limits[name]:
                for owner in owners.values():
                    yield from (rule for rule in owner.rules if rule.id not in self.impossible)

    def examples(self, *, firing: bool) -> Iterator[tuple[Rule, Example]]:
        """The examples that can be tried: those that must fire, or the near misses."""
        for rule in self.tried():
            for example in rule.fires if firing else rule.quiet:
                yield rule, example

    @cached_property
    def cases(self) -> tuple[Case, ...]:
        """The example calls, diagnosed; none where the rules do not fit an engine."""
        if any(self.over_limits.values()):
            return ()
        return run_calls(self.base, self.folder, self.engine)
