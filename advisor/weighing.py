"""Puts findings into the kill model: control as done, as it could have been, and who lost what.

`diagnosis` calls it once on what the engine found, `questions` again for every answer it tries.
It decides no cause: it takes the findings as they are and gives each its loss.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from advisor import control as c
from advisor.account import Call
from advisor.derive.fitting import is_preventer
from advisor.derive.label import label_of
from advisor.expect import Expectations
from advisor.fact import FactSet
from advisor.losses import READ, Losses, Values
from advisor.model import Cause, KnowledgeBase
from advisor.terms import Options, Truth
from advisor.tiers import Finding
from advisor.weighed import LEAST_GAP, CauseFinding, Range, Weighing

BESIDE = ("biology", "site")
"""Groups of causes that stand beside the mistakes, never instead of them."""


@dataclass(frozen=True, slots=True)
class _Ready:
    """Findings made ready for the kill model."""

    grouped: Mapping[str, CauseFinding]
    players: Mapping[str, CauseFinding]
    bases: tuple[c.Base, ...]
    losing: Mapping[str, tuple[c.Draw, ...]]
    missing: int
    short_chance: float
    repeats: int | None


class Scales:
    """Weighs findings on one call; the call's constants are worked out once."""

    def __init__(
        self, call: Call, facts: FactSet, base: KnowledgeBase, expectations: Expectations
    ) -> None:
        self._call = call
        self._told = [facts.values(n) for n in range(len(facts.of_applications))]
        self._base = base
        self._weed = call.weed or call.weed_treated
        self._count = len(facts.of_applications)
        self._expect = expectations
        self.labels = tuple(label_of(call, a, base) for a in (call.applications or (None,)))
        self._losses = Losses(call, base, expectations, self.labels)
        self._known_causes: dict[object, tuple[list[Finding], CauseFinding]] = {}
        self._known_draws: dict[object, tuple[CauseFinding, list[c.Draw]]] = {}

    def weigh(
        self,
        findings: Iterable[Finding],
        kinds: Mapping[str, Truth],
        values: Values | None = None,
    ) -> Weighing:
        """Control and shares, given what the rules found and which kinds are possible.

        `values` are the facts for each application where they are not those of the call: an answer
        that is tried.
        """
        ready = self._ready(findings, kinds, values or self._told)
        bases, losing, missing = ready.bases, ready.losing, ready.missing
        plain = c.Program(bases, losing)
        accounts = [(plain.account(), 1 - ready.short_chance)]
        if missing:
            longer = c.Program(bases, losing, missing, bases[-1])
            accounts.append((longer.account(), ready.short_chance))
        done = accounts[0][0].done
        lost, won = self._figures(ready.players, accounts, done)
        won |= {name: plain.control(rest) - done for name, rest in _by_one_change(ready, plain)}
        weighed = [
            replace(f, lost=max(0.0, lost[name]), won=max(0.0, won[name])) if name in lost else f
            for name, f in ready.grouped.items()
        ]
        low, high = plain.extremes()
        best = sum(account.undone * chance for account, chance in accounts)
        extra = (bases[-1],) * missing if ready.short_chance == 1 else ()
        could_low, could_high = c.Program(bases + extra).extremes()
        return Weighing(
            Range(min(low, done), done, max(high, done)),
            Range(min(could_low, best), best, max(could_high, best)),
            tuple(sorted(weighed, key=_by_weight)),
            ready.repeats,
        )

    def shares(
        self, findings: Iterable[Finding], kinds: Mapping[str, Truth], values: Values
    ) -> dict[str, float]:
        """Each cause's share of the control lost, as `weigh` gives it and nothing else."""
        ready = self._ready(findings, kinds, values)
        lost: dict[str, float] = {}
        programs = [(c.Program(ready.bases, ready.losing), 1 - ready.short_chance)]
        if ready.missing:
            longer = c.Program(ready.bases, ready.losing, ready.missing, ready.bases[-1])
            programs.append((longer, ready.short_chance))
        for program, chance in programs:
            if chance > 0:
                for name, value in program.shapley().items():
                    lost[name] = lost.get(name, 0.0) + chance * value
        gap = sum(lost.values())
        if gap <= LEAST_GAP:
            return {}
        return {name: value / gap for name, value in lost.items() if value > 0}

    def _ready(
        self, findings: Iterable[Finding], kinds: Mapping[str, Truth], values: Values
    ) -> _Ready:
        """Findings as the players and draws of a program."""
        grouped = self._grouped(findings, kinds, values)
        players = {name: f for name, f in grouped.items() if f.explains is not Truth.RULED_OUT}
        short = players.get(c.TOO_FEW)
        on_product = [self._product_causes(players, n) for n in range(self._count)]
        bases = tuple(self._base_at(n, on_product[n]) for n in range(self._count))
        repeats = c.retreatments(bases[-1].share, self._base.settings.target_survivors)
        read = tuple(known[name] for known in values for name in READ)
        setting = (bases, *map(len, on_product), read)
        draws = {
            name: tuple(self._draws(f, bases, on_product, values, setting))
            for name, f in players.items()
            if name != c.TOO_FEW
        }
        return _Ready(
            grouped,
            players,
            bases,
            {name: d for name, d in draws.items() if any(_has_loss(x) for x in d)},
            self._missing(repeats) if short else 0,
            short.chance if short else 0.0,
            repeats,
        )

    @staticmethod
    def _figures(
        players: Iterable[str], accounts: Sequence[tuple[c.Account, float]], done: float
    ) -> tuple[dict[str, float], dict[str, float]]:
        """What each cause cost and wins back, averaged over whether sprayings were missing.

        Putting one cause right leaves the missing sprayings missing, so its gain is read off the
        program as it was made; only for too few sprayings themselves off the longer one.
        """
        lost: dict[str, float] = dict.fromkeys(players, 0.0)
        won = dict.fromkeys(lost, 0.0)
        for account, chance in accounts:
            for name, value in account.lost.items():
                lost[name] += chance * value
        for name, control in accounts[0][0].without.items():
            won[name] = control - done
        if len(accounts) > 1:
            longer, chance = accounts[1]
            won[c.TOO_FEW] = chance * (longer.without[c.TOO_FEW] - done)
        return lost, won

    # ---- findings to causes ----------------------------------------------------------------

    def _grouped(
        self, findings: Iterable[Finding], kinds: Mapping[str, Truth], values: Values
    ) -> dict[str, CauseFinding]:
        by_cause: dict[str, list[Finding]] = {}
        for finding in findings:
            by_cause.setdefault(finding.rule.owner, []).append(finding)
        situation = (*kinds.items(), *(known["acts_through"] for known in values))
        result = {}
        for name in sorted(by_cause):
            key = (*map(id, by_cause[name]), situation)
            known = self._known_causes.get(key)
            if known is None:
                # the findings are kept with the cause, so that no other can take their identity
                made = self._cause(name, by_cause[name], kinds, values)
                known = self._known_causes[key] = (by_cause[name], made)
            result[name] = known[1]
        return result

    def _cause(
        self, name: str, findings: list[Finding], kinds: Mapping[str, Truth], values: Values
    ) -> CauseFinding:
        cause = self._base.causes[name]
        found = _without_doubles(findings)
        shown = any(f.truth is Truth.SHOWN for f in found)
        truth = Truth.SHOWN if shown else Truth.OPEN
        chance = 1.0 if shown else 1 - math.prod(1 - f.chance for f in found)
        explains = _explains(cause, kinds, values)
        return CauseFinding(cause, truth, explains, chance, tuple(found))

    def _missing(self, repeats: int | None) -> int:
        weed = self._base.weeds.get(self._weed or "")
        wanted = repeats or c.MOST_REPEATS
        if weed is not None:
            low, high = weed.retreatments.applications
            wanted = min(max(wanted, low), high)
        made = len(self._call.applications)
        return max(1, wanted - made)

    # ---- losses ----------------------------------------------------------------------------

    def _product_causes(self, players: Mapping[str, CauseFinding], n: int) -> list[str]:
        """The causes that blame the choice of product at an application; they share its gap."""
        return [
            name
            for name, found in players.items()
            if any(f.rule.loss_from == "product" and _acts_at(f, n) for f in found.findings)
        ]

    def _base_at(self, n: int, on_product: Sequence[str]) -> c.Base:
        label = self.labels[n]
        if on_product:
            return self._better(n)
        product = label.product.id if label.product else None
        return self._expect.of(self._weed, product, label.actives)

    def _better(self, n: int) -> c.Base:
        """The best fitting product's base; that of the product used where none does more."""
        label = self.labels[n]
        product = label.product.id if label.product else None
        preventers = is_preventer(product, self._base)
        best = self._expect.best(self._weed, self._call.turf, preventers=preventers)
        used = self._expect.of(self._weed, product, label.actives)
        return used if used.share > best.share else best

    def _draws(
        self,
        found: CauseFinding,
        bases: tuple[c.Base, ...],
        on_product: Sequence[Sequence[str]],
        values: Values,
        setting: object,
    ) -> list[c.Draw]:
        """As `_worked_out_draws`; the same findings are asked about many times over."""
        key = (id(found), setting)
        known = self._known_draws.get(key)
        if known is None:
            draws = self._worked_out_draws(found, bases, on_product, values)
            known = self._known_draws[key] = (found, draws)
        return known[1]

    def _worked_out_draws(
        self,
        found: CauseFinding,
        bases: tuple[c.Base, ...],
        on_product: Sequence[Sequence[str]],
        values: Values,
    ) -> list[c.Draw]:
        """The chance events behind a cause: one for all applications, or one for each."""
        losses = {
            (f.rule.id, f.application): self._losses.of(f, bases, on_product, values)
            for f in found.findings
        }
        hanging = [name for f in found.findings for name in f.open_facts]
        facts = self._base.facts
        if hanging and all(facts[name].scope == "call" for name in hanging):
            return [self._one_draw(found, losses)]
        draws = []
        for n in range(self._count):
            here = [f for f in found.findings if _acts_at(f, n)]
            outcomes = c.strongest_of((f.chance, losses[f.rule.id, f.application]) for f in here)
            reach = {n: 1.0}
            if n == self._count - 1 and here and all(self._expect.lasting[f.rule.id] for f in here):
                reach[c.MISSING] = 1.0
            draws.append(
                c.Draw(tuple(c.Outcome(p, dict.fromkeys(reach, loss)) for p, loss in outcomes))
            )
        return draws

    def _one_draw(
        self, found: CauseFinding, losses: Mapping[tuple[str, int | None], float]
    ) -> c.Draw:
        by_rule: dict[str, list[Finding]] = {}
        for f in found.findings:
            by_rule.setdefault(f.rule.id, []).append(f)
        ranked = sorted(
            by_rule.items(),
            key=lambda item: (-max(losses[item[0], f.application] for f in item[1]), item[0]),
        )
        left, outcomes = 1.0, []
        for rule, same in ranked:
            chance = max(f.chance for f in same)
            at: dict[int, float] = {}
            for f in same:
                loss = losses[rule, f.application]
                for n in range(self._count) if f.application is None else (f.application,):
                    at[n] = loss
                if self._expect.lasting[f.rule.id] and (f.application in (None, self._count - 1)):
                    at[c.MISSING] = loss
            outcomes.append(c.Outcome(left * chance, at))
            left *= 1 - chance
        return c.Draw(tuple(outcomes))


def _by_one_change(ready: _Ready, program: c.Program) -> Iterator[tuple[str, list[str]]]:
    """Each cause that one change puts right together with others, and the causes then left."""
    changes = {name: f.cause.change for name, f in ready.players.items() if f.cause.change}
    for name, change in changes.items():
        if list(changes.values()).count(change) > 1:
            yield name, [n for n in program.players if changes.get(n) != change]


def _by_weight(found: CauseFinding) -> tuple[bool, float, float, str]:
    return found.truth is not Truth.SHOWN, -found.lost, -found.chance, found.cause.id


def _without_doubles(findings: list[Finding]) -> list[Finding]:
    """One finding a rule and application; a rule that reads only the call's facts stands once."""
    seen: dict[tuple[str, int | None], Finding] = {}
    for f in findings:
        seen.setdefault((f.rule.id, f.application), f)
    return sorted(
        seen.values(),
        key=lambda f: (f.truth is not Truth.SHOWN, f.application or 0, f.rule.id),
    )


def _acts_at(finding: Finding, n: int) -> bool:
    return finding.application is None or finding.application == n


def _has_loss(draw: c.Draw) -> bool:
    return any(loss > 0 for o in draw.outcomes for loss in o.losses.values())


def _explains(cause: Cause, kinds: Mapping[str, Truth], values: Values) -> Truth:
    """Whether a cause can explain the comeback; for a preventer, seedlings are what survived it."""
    truths = [kinds.get(k, Truth.OPEN) for k in cause.explains]
    stands = cause.id == c.TOO_FEW  # more of a preventer kills no plant that stands
    if not stands and "survived" in cause.explains and "new-seedlings" not in cause.explains:
        seedlings = kinds.get("new-seedlings", Truth.OPEN)
        through = [known["acts_through"] for known in values]
        if any(isinstance(t, Options) and "leaf" not in t.possible for t in through):
            truths.append(seedlings)
        elif any(t != Options.of("leaf") for t in through) and seedlings is not Truth.RULED_OUT:
            truths.append(Truth.OPEN)
    return _strongest(truths)


def _strongest(truths: Iterable[Truth]) -> Truth:
    found = set(truths)
    for truth in (Truth.SHOWN, Truth.OPEN):
        if truth in found:
            return truth
    return Truth.RULED_OUT
