"""Whether numbers can meet bounds on themselves, on their sums and on their differences, exactly.

`boxes` asks it where facts are bound to each other. Every bound becomes an edge between a number or
its negative and another one, and the bounds contradict each other just when the edges close a
circle of negative length; nothing here knows what the numbers are.

References:
    The octagon abstract domain, Higher-Order and Symbolic Computation 19, 2006 (bounds on sums and
    differences of two numbers as edges of a graph, decided by its shortest paths).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

Node = tuple[str, int]
Length = tuple[Fraction, int]
"""A length, and how many strict bounds are in it: each makes it less by less than any number."""


@dataclass(frozen=True, slots=True)
class Least:
    """The sum of one or two numbers, each with its sign, is at least `least`, or more if strict."""

    terms: tuple[Node, ...]
    least: Fraction
    strict: bool = False


def satisfiable(bounds: Iterable[Least]) -> bool:
    """Whether some numbers meet all bounds."""
    edges = [edge for bound in bounds for edge in _edges(bound)]
    nodes = {node for start, end, _ in edges for node in (start, end)}
    reached: dict[Node, Length] = dict.fromkeys(nodes, (Fraction(0), 0))
    for _ in range(len(nodes) + 1):
        changed = False
        for start, end, (length, strict) in edges:
            so_far = reached[start]
            new = (so_far[0] + length, so_far[1] + strict)
            if new < reached[end]:
                reached[end] = new
                changed = True
        if not changed:
            return True
    return False


def _edges(bound: Least) -> list[tuple[Node, Node, Length]]:
    """A bound as edges: the number at the end of one is at most its length above that at the start.

    The bound a + b >= c says that -b is at most -c above a; so does -a above b.
    """
    first, second = bound.terms if len(bound.terms) == 2 else bound.terms * 2
    factor = 1 if len(bound.terms) == 2 else 2
    length = (-factor * bound.least, -1 if bound.strict else 0)
    found = [(first, _negative(second), length)]
    return found if first == second else [*found, (second, _negative(first), length)]


def _negative(node: Node) -> Node:
    return node[0], -node[1]
