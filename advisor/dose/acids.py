"""Acid equivalent: how much of a salt or an ester is the acid that does the work.

`mixing` asks it what a rate delivers per acre, so that products of other forms can be compared. The
fractions are worked out from formula masses (standard atomic weights: IUPAC, rounded as below);
what is not in the table has no fraction, and none is guessed.
"""

from __future__ import annotations

import re
from fractions import Fraction

WEIGHTS = {
    element: Fraction(weight)
    for element, weight in {
        "C": "12.011", "H": "1.008", "O": "15.999", "N": "14.007", "Cl": "35.45",
        "F": "18.998", "K": "39.098", "P": "30.974",
    }.items()
}  # fmt: skip

ACIDS = {
    "2,4-D": "C8H6Cl2O3",
    "dicamba": "C8H6Cl2O3",
    "mecoprop-P": "C10H11ClO3",
    "triclopyr": "C7H4Cl3NO3",
    "fluroxypyr": "C7H5Cl2FN2O3",
    "clopyralid": "C6H3Cl2NO2",
    "quinclorac": "C10H5Cl2NO2",
    "glyphosate": "C3H8NO5P",
}
"""Formulas of the acids, by ISO common name."""

AMINES = {
    "dimethylamine": "C2H7N",
    "isopropylamine": "C3H9N",
    "diglycolamine": "C4H11NO2",
    "triethylamine": "C6H15N",
    "monoethanolamine": "C2H7NO",
}
"""An amine salt is the acid and the amine together."""

IONS = {"potassium": "K", "choline": "C5H14NO"}
"""In these salts the ion takes the place of one hydrogen."""

ALCOHOLS = {
    "2-ethylhexyl": "C8H18O",
    "isooctyl": "C8H18O",
    "butoxyethyl": "C6H14O2",
    "1-methylheptyl": "C8H18O",
}
"""An ester is the acid and the alcohol less one water."""


def mass(formula: str) -> Fraction:
    """The formula mass in g/mol: `C8H6Cl2O3` is 221.03."""
    parts = re.findall(r"([A-Z][a-z]?)([0-9]*)", formula)
    return sum((WEIGHTS[element] * int(count or 1) for element, count in parts), Fraction(0))


def fraction(active: str, form: str) -> Fraction | None:
    """The share of a form that is acid: 0.831 for the dimethylamine salt of 2,4-D.

    Args:
        active: ISO common name of the acid.
        form: the form as labels name it: `dimethylamine salt`, `butoxyethyl ester`, `acid`.

    Returns:
        None where the acid or the form is not in the tables.
    """
    acid = ACIDS.get(active)
    if acid is None:
        return None
    if form == "acid":
        return Fraction(1)
    name, _, kind = form.rpartition(" ")
    whole = mass(acid)
    if kind == "salt" and name in AMINES:
        return whole / (whole + mass(AMINES[name]))
    if kind == "salt" and name in IONS:
        return whole / (whole - mass("H") + mass(IONS[name]))
    if kind == "ester" and name in ALCOHOLS:
        return whole / (whole + mass(ALCOHOLS[name]) - mass("H2O"))
    return None
