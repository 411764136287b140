"""What somebody asks to have mixed: from the words of a command to exact numbers.

The command line and the desk hand their words over here, and `mixing` answers what comes out. Words
that cannot be used are an `AskError`; whether the label allows what is asked is not looked at.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from fractions import Fraction

from advisor.dose.cups import Cup, cup
from advisor.dose.exact import OUTPUT, SPRAY, UNITS, Pair, both, parse_area, single
from advisor.model import KnowledgeBase, Product, Turf, Weed
from advisor.names import did_you_mean
from advisor.unit_table import Wanted
from advisor.units import Amount, UnitError, parse_amount

GRANULE = "granule"


class AskError(ValueError):
    """Words that cannot be used: what is wrong with them, and what to write instead."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(f"{message}. {hint}" if hint else message)
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Words:
    """The words as they were written; None where nothing was."""

    product: str
    area: str | None = None
    tank: str | None = None
    output: str | None = None
    weed: str | None = None
    turf: str | None = None
    rate: str | None = None
    cup: str | None = None
    partners: tuple[str, ...] = ()
    spot: bool = False
    used: str | None = None
    hardness: str | None = None


@dataclass(frozen=True, slots=True)
class Used:
    """What this lawn has had of the product this year: applications, or product per 1,000 ft2."""

    times: int | None = None
    amount: Pair | None = None


@dataclass(frozen=True, slots=True)
class Wanting:
    """A product for the tank, and its rate where one was asked for."""

    product: Product
    rate: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Ask:
    """A mix asked for. Areas in 1,000 ft2, spray in gal, product in fl oz or, dry, in oz.

    `rate` of a product is per 1,000 ft2, or per gal of spray where spots are sprayed.
    """

    main: Wanting
    partners: tuple[Wanting, ...] = ()
    weed: Weed | None = None
    turf: Turf | None = None
    area: Fraction | None = None
    tank: Fraction | None = None
    output: Fraction | None = None
    cup: Cup | None = None
    spot: bool = False
    used: Used = field(default_factory=Used)
    hardness: Pair | None = None

    @property
    def products(self) -> tuple[Product, ...]:
        """All products asked for, the main one first."""
        return (self.main.product, *(p.product for p in self.partners))


def matter_of(product: Product) -> str:
    """Whether a product is measured by volume or by weight: as its label gives its rates."""
    return product.rates[0].amount.dimension.partition("-")[0]


def rate_dimension(product: Product, *, spot: bool) -> str:
    """The dimension of a rate of the product: per area, or per volume of spray."""
    return f"{matter_of(product)}-per-{'volume' if spot else 'area'}"


def read(words: Words, base: KnowledgeBase) -> Ask:
    """The ask that the words make.

    Raises:
        AskError: where they make none.
    """
    product = base.products[known("product", words.product, base.products)]
    area = area_of("--area", words.area)
    weed = None if words.weed is None else base.weeds[known("weed", words.weed, base.weeds)]
    turf = None if words.turf is None else base.turf[known("lawn grass", words.turf, base.turf)]
    ask = Ask(
        main=Wanting(product, _rate("--rate", words.rate, product, words.spot)),
        partners=tuple(_partner(text, base, words.spot) for text in words.partners),
        weed=weed,
        turf=turf,
        area=area,
        tank=one("--tank", words.tank, "volume", SPRAY),
        output=one("--output", words.output, "volume-per-area", OUTPUT),
        cup=_cup(words.cup, product),
        spot=words.spot,
        used=_used(words.used, product, area),
        hardness=_hardness(words.hardness),
    )
    _enough(ask, words)
    return ask


def _enough(ask: Ask, words: Words) -> None:
    """Whether the words give all that the kind of mix needs, and nothing it cannot use."""
    names = [p.id for p in ask.products]
    if len(set(names)) < len(names):
        raise AskError("the same product is named twice", "Name each product once.")
    if ask.main.product.formulation == GRANULE:
        given = {
            "--tank": words.tank is not None,
            "--output": words.output is not None,
            "--with": bool(words.partners),
            "--spot": words.spot,
        }
        useless = [option for option, was_given in given.items() if was_given]
        if useless:
            hint = "Give the area; `cameback calibrate spreader` checks the spreader."
            name = ask.main.product.name
            raise AskError(f"{name} is spread dry; {useless[0]} is of no use", hint)
        wanted = {"--area": ask.area}
    elif ask.spot:
        wanted = {"--tank": ask.tank}
        if ask.area is not None:
            wanted["--output"] = ask.output
    else:
        wanted = {"--area": ask.area, "--tank": ask.tank, "--output": ask.output}
    missing = [option for option, value in wanted.items() if value is None]
    if missing:
        hints = {
            "--area": 'Write e.g. --area "3500 ft2" or --area "50 x 70 ft".',
            "--tank": 'Write e.g. --tank "2 gal".',
            "--output": "`cameback calibrate` finds what the sprayer puts out.",
        }
        raise AskError(f"{' and '.join(missing)} must be given", hints[missing[-1]])


# ---- one word --------------------------------------------------------------------------------


@contextmanager
def naming(option: str) -> Iterator[None]:
    """Say which option it was that could not be read."""
    try:
        yield
    except UnitError as error:
        raise AskError(f"{option}: {error.message}", error.hint) from None


def one(option: str, text: str | None, dimension: str | Wanted, unit: str) -> Fraction | None:
    """The one number of an option, in a unit; None where the option is not given."""
    if text is None:
        return None
    with naming(option):
        return single(parse_amount(text, dimension), unit)


def area_of(option: str, text: str | None) -> Fraction | None:
    """The area of an option, in 1,000 ft2."""
    if text is None:
        return None
    with naming(option):
        return parse_area(text)


def known(kind: str, name: str, ids: Collection[str]) -> str:
    """An id of the knowledge base."""
    if name not in ids:
        hint = did_you_mean(name, ids) or f"known: {', '.join(sorted(ids))}"
        raise AskError(f"there is no {kind} `{name}`", hint)
    return name


def _rate(option: str, text: str | None, product: Product, spot: bool) -> Fraction | None:
    dimension = rate_dimension(product, spot=spot)
    return one(option, text, dimension, UNITS[dimension])


def _partner(text: str, base: KnowledgeBase, spot: bool) -> Wanting:
    """A product, or a product and its rate: `reedholm-sedge=0.031 oz per 1000 ft2`."""
    name, _, rate = (part.strip() for part in text.partition("="))
    product = base.products[known("product", name, base.products)]
    return Wanting(product, _rate("--with", rate or None, product, spot))


def _cup(text: str | None, product: Product) -> Cup | None:
    """The cup; ounces on a cup for a liquid are fluid ounces."""
    if text is None:
        return None
    matter = matter_of(product)
    with naming("--cup"):
        said = parse_amount(text, ("mass", "volume"))
        if matter == "volume" and said.unit == "oz":
            said = Amount(said.low, said.high, "volume", "fl oz", said.text)
        if said.dimension != matter:
            hint = "Give the steps of the scale, such as 0.1 oz or 1 g."
            if matter == "volume":
                hint = "Give the marks of the cup, such as 1 fl oz or 5 mL."
            measured = "by volume" if matter == "volume" else "by weight"
            raise AskError(f"--cup: {product.name} is measured {measured}", hint)
        return cup(said)


def _used(text: str | None, product: Product, area: Fraction | None) -> Used:
    """What was used this year: applications, product per area, or product on this area in all."""
    if text is None:
        return Used()
    matter = matter_of(product)
    with naming("--used-this-year"):
        amount = parse_amount(text, (f"{matter}-per-area", matter, "count"))
        if amount.dimension == "count":
            times = amount.exact("count")
            if times[0] != times[1] or times[0].denominator > 1:
                raise AskError(f"--used-this-year: `{text}` is not a whole number of sprayings")
            return Used(times=int(times[0]))
        low, high = both(amount)
        if amount.dimension == matter:
            if area is None:
                hint = "Give --area, or the product used per 1000 ft2."
                raise AskError(f"--used-this-year: `{text}` needs the area it went on", hint)
            low, high = low / area, high / area
        return Used(amount=(low, high))


def _hardness(text: str | None) -> Pair | None:
    if text is None:
        return None
    with naming("--water-hardness"):
        return both(parse_amount(text, "hardness"), "ppm")
