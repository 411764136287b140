"""Every placeholder that an answer may use, and what it says in a context.

`compose` asks here for each `{name}` of a text; `checking` asks which names there are. The figures
are those of the labels, the weeds and the diagnosis, never figures of its own.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.answers.case_values import CASE_VALUES
from advisor.answers.filling import Fill
from advisor.answers.product_values import PRODUCT_VALUES
from advisor.answers.weed_values import WEED_VALUES

VALUES: Mapping[str, Fill] = {**PRODUCT_VALUES, **WEED_VALUES, **CASE_VALUES}
"""Placeholder to the function that fills it."""
