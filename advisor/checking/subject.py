"""What the checks look at: the loaded base, its files, and what an engine makes of its examples.

`run` makes one `Subject` for a folder and hands it to every check, so that files are read again
and engines built only once, and only where a check needs them. It judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from pathlib import Path

from advisor.checking.corpus import Case, run_calls
from advisor.checking.logic import never_holds
from advisor.checking.pages import Pages
from advisor.checking.trials import Trials
from advisor.engine.limits import Limit, limits
from advisor.model import Cause, Example, Kind, KnowledgeBase, Rule, Stop

Owner = Cause | Kind | Stop


class Subject:
    """One knowledge folder under check."""

    def __init__(self, base: KnowledgeBase, folder: Path, engine: str = "auto") -> None:
        self.base = base
        self.folder = folder
        self.engine = engine
        self.pages = Pages(folder)

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
        """Ids of the rules that contradict themselves, so that trying them is no use."""
        return frozenset(
            rule.id for rule in self.base.rules() if all(never_holds(c) for c in rule.clauses)
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
