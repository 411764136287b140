"""Drawings of the eight ways a weed lives on: what stands above the ground and what lies below.

Simple diagrams, one for each habit, not portraits of a plant. An orange dot is a piece that can
grow into a plant on its own, which is what a treatment has to kill.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping

from markupsafe import Markup

from advisor.render.cards.maker import Maker
from advisor.render.handbook.svg import element, frame, number

WIDE, TALL, GROUND = 260.0, 150.0, 66.0
Pieces = Iterator[Markup]


def habit_picture(habit: str, maker: Maker, name: str) -> Markup:
    """The drawing of a habit; `name` makes its ids unique on a page."""
    ground = [
        element("rect", x=0, y=GROUND, width=WIDE, height=TALL - GROUND, class_="soil"),
        element("line", x1=0, y1=GROUND, x2=WIDE, y2=GROUND, class_="ground"),
    ]
    title = maker.option("habit", habit)
    title = maker.say("picture-habit", habit=title)
    words = maker.say(f"habit-{habit}")
    return frame(name, title, words, (WIDE, TALL), [*ground, *DRAWINGS[habit]()])


# ---- strokes -----------------------------------------------------------------------------------


def _dot(x: float, y: float) -> Markup:
    return element("circle", cx=x, cy=y, r=4.2, class_="alive")


def _path(points: str, class_: str) -> Markup:
    return element("path", d=points, class_=class_)


def _root(x: float, y: float, *to: tuple[float, float]) -> Markup:
    """A root that winds through points."""
    here = f"M{number(x)} {number(y)}"
    for end_x, end_y in to:
        middle = (y + end_y) / 2
        here += f" C{number(x)} {number(middle)} {number(end_x)} {number(middle)}"
        here += f" {number(end_x)} {number(end_y)}"
        x, y = end_x, end_y
    return _path(here, "root")


def _leaf(x: float, y: float, length: float, turn: float, wide: float = 0.3) -> Markup:
    """A leaf from a point outwards; `turn` in degrees, 0 upright, to the right positive."""
    angle = math.radians(turn - 90)
    tip = (x + length * math.cos(angle), y + length * math.sin(angle))
    side = length * wide
    middle = (x + length * 0.55 * math.cos(angle), y + length * 0.55 * math.sin(angle))
    across = (-math.sin(angle) * side, math.cos(angle) * side)
    one = (middle[0] + across[0], middle[1] + across[1])
    two = (middle[0] - across[0], middle[1] - across[1])
    return _path(
        f"M{number(x)} {number(y)} Q{number(one[0])} {number(one[1])} {number(tip[0])} "
        f"{number(tip[1])} Q{number(two[0])} {number(two[1])} {number(x)} {number(y)}Z",
        "leaf",
    )


def _rosette(x: float, y: float, length: float, turns: tuple[float, ...]) -> Pieces:
    for turn in turns:
        yield _leaf(x, y, length, turn, 0.22)


def _stem(x: float, y: float, to_x: float, to_y: float) -> Markup:
    middle = (y + to_y) / 2
    return _path(
        f"M{number(x)} {number(y)} C{number(x)} {number(middle)} {number(to_x)} {number(middle)} "
        f"{number(to_x)} {number(to_y)}",
        "stem",
    )


def _grass(x: float, y: float, length: float, turns: tuple[float, ...]) -> Pieces:
    for turn in turns:
        yield _leaf(x, y, length, turn, 0.07)


def _tuft(x: float, y: float, size: float = 18) -> Pieces:
    """Fine roots below a point."""
    for across in (-0.6, -0.2, 0.25, 0.65):
        yield _root(x, y, (x + across * size, y + size * (1 - abs(across) / 3)))


# ---- habits ------------------------------------------------------------------------------------


def _taproot() -> Pieces:
    yield from _rosette(130, GROUND, 56, (-82, -64, -40, -14, 16, 42, 66, 84))
    yield _stem(130, GROUND, 136, 16)
    yield element("circle", cx=136, cy=14, r=8, class_="flower")
    yield _path(
        f"M121 {number(GROUND)} C122 96 128 120 131 146 C133 120 139 96 140 66 Z", "taproot"
    )
    yield _root(126, 92, (104, 106))
    yield _root(135, 102, (158, 118))
    yield _root(129, 116, (116, 132))
    yield _dot(130.5, GROUND + 6)


def _fibrous_crown() -> Pieces:
    yield from _rosette(130, GROUND, 58, (-78, -52, -26, 0, 26, 52, 78))
    for end in (70, 88, 104, 118, 130, 142, 156, 172, 190):
        yield _root(130, GROUND + 3, (130 + (end - 130) * 0.5, 92), (end, 128 - abs(end - 130) / 4))
    yield _dot(130, GROUND + 4)


def _stolons() -> Pieces:
    places = (34, 92, 148, 200, 244)
    for start, end in itertools.pairwise(places):
        middle = (start + end) / 2
        yield _path(
            f"M{start} {number(GROUND - 2)} Q{number(middle)} {number(GROUND - 16)} "
            f"{end} {number(GROUND - 2)}",
            "runner",
        )
    for number_, x in enumerate(places):
        size = 34 - number_ * 4
        for turn in (-48, -14, 18, 50):
            yield _leaf(x, GROUND - 2, size, turn, 0.32)
        yield from _tuft(x, GROUND, 30 - number_ * 4)
        yield _dot(x, GROUND)


def _rhizomes() -> Pieces:
    yield _path("M10 102 C60 96 80 108 130 102 S200 98 252 104", "rhizome")
    for x, y, size in ((40, 100, 46), (118, 103, 52), (196, 100, 42)):
        yield _path(f"M{x} {y} L{x} {number(GROUND)}", "shoot")
        yield from _grass(x, GROUND, size, (-34, -12, 10, 32))
        yield from _tuft(x, y, 26)
    for x, y in ((14, 102), (40, 100), (66, 101), (92, 103), (118, 103), (144, 101), (170, 99)):
        yield _dot(x, y)
    for x, y in ((196, 100), (222, 101), (248, 104)):
        yield _dot(x, y)


def _creeping_roots() -> Pieces:
    yield _root(124, GROUND, (128, 104), (122, 148))
    for points in (
        ((127, 92), (76, 96), (28, 90)),
        ((127, 92), (182, 98), (236, 92)),
        ((126, 120), (78, 126), (40, 134)),
        ((126, 120), (176, 124), (226, 134)),
    ):
        (x, y), *rest = points
        here = f"M{x} {y}" + "".join(f" L{end_x} {end_y}" for end_x, end_y in rest)
        yield _path(here, "spreading")
    for x, y in ((28, 90), (182, 97), (236, 92)):
        yield _path(f"M{x} {y} L{x} {number(GROUND)}", "shoot")
    for x, high in ((28, 34), (124, 58), (182, 40), (236, 30)):
        yield _stem(x, GROUND, x, GROUND - high)
        for step in range(1, 4):
            at = GROUND - high * step / 3.4
            yield _leaf(x, at, 15, 62 if step % 2 else -62, 0.26)
    for x, y in (
        (28, 90),
        (52, 93),
        (76, 96),
        (100, 94),
        (154, 95),
        (182, 98),
        (210, 95),
        (236, 92),
    ):
        yield _dot(x, y)
    for x, y in ((126, 84), (125, 108), (123, 136), (78, 126), (176, 124)):
        yield _dot(x, y)


def _tubers() -> Pieces:
    for x, y, to_x in ((84, 84, 84), (176, 84, 176)):
        yield _path(f"M{x} {y} L{to_x} {number(GROUND)}", "shoot")
        yield from _grass(x, GROUND, 56, (-30, 0, 30))
        yield from _tuft(x, y, 22)
    for (x, y), (end_x, end_y) in (
        ((84, 84), (34, 104)),
        ((84, 84), (66, 128)),
        ((84, 84), (126, 120)),
        ((176, 84), (160, 132)),
        ((176, 84), (204, 126)),
        ((176, 84), (232, 102)),
    ):
        yield _root(x, y, (end_x, end_y))
        yield element("ellipse", cx=end_x, cy=end_y + 5, rx=8, ry=9, class_="store")
        yield _dot(end_x, end_y + 5)
    for x in (84, 176):
        yield element("ellipse", cx=x, cy=88, rx=7, ry=7, class_="store")
        yield _dot(x, 88)


def _bulbs() -> Pieces:
    for turn in (-22, -10, 2, 14, 26):
        yield _leaf(130, 96, 84, turn, 0.05)
    for x, y, size in ((130, 108, 17), (106, 116, 9), (154, 117, 9), (116, 132, 6), (146, 133, 6)):
        top = y - size * 1.5
        yield _path(
            f"M{x} {number(top)} C{number(x + size * 1.3)} {number(y - size * 0.4)} "
            f"{number(x + size)} {number(y + size)} {x} {number(y + size)} "
            f"C{number(x - size)} {number(y + size)} {number(x - size * 1.3)} "
            f"{number(y - size * 0.4)} {x} {number(top)}Z",
            "store",
        )
        yield _dot(x, y)
    yield from _tuft(130, 126, 20)


def _seed_only() -> Pieces:
    yield _stem(108, GROUND, 108, 12)
    for step, side in ((16, 58), (26, -58), (38, 58), (48, -58)):
        yield _leaf(108, GROUND - step, 26, side, 0.26)
    yield element("circle", cx=108, cy=12, r=6, class_="flower")
    yield _root(108, GROUND, (110, 96), (106, 118))
    yield _root(109, 86, (92, 98))
    yield _root(109, 92, (126, 106))
    for x, y in ((132, 30), (148, 44), (164, 26), (182, 50), (206, 40)):
        yield element("ellipse", cx=x, cy=y, rx=2.6, ry=1.8, class_="seed")
    for x, y in ((40, 80), (62, 92), (152, 84), (174, 96), (196, 78), (222, 90), (240, 82)):
        yield element("ellipse", cx=x, cy=y, rx=3, ry=2.2, class_="seed")
    for x in (174, 222):
        yield _path(f"M{x} {94 if x == 174 else 88} L{x} {number(GROUND - 4)}", "shoot")
        yield _leaf(x, GROUND - 4, 9, -58, 0.34)
        yield _leaf(x, GROUND - 4, 9, 58, 0.34)
        yield _dot(x, GROUND)
    yield _dot(108, GROUND)


DRAWINGS: Mapping[str, Callable[[], Pieces]] = {
    "taproot": _taproot,
    "fibrous-crown": _fibrous_crown,
    "stolons": _stolons,
    "rhizomes": _rhizomes,
    "creeping-roots": _creeping_roots,
    "tubers": _tubers,
    "bulbs": _bulbs,
    "seed-only": _seed_only,
}
