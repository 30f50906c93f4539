"""Which items are water."""

from typing import Final

from prepstore.cell_types import fold
from prepstore.chemistry.formulae import elements
from prepstore.facts import Item

CAS_NUMBER_OF_WATER: Final = "7732-18-5"

_FORMULA: Final = {"H": 2, "O": 1}
_KINDS: Final = ("deionised", "deionized", "demineralised", "distilled", "purified", "tap")
_NAMES: Final = {"water", *(f"{kind} water" for kind in _KINDS)}
"""Names under which water is kept; common practice, no source. Lime water is none of them."""


def is_water(item: Item) -> bool:
    """Return whether an item is water: by its CAS number, its formula, or without both its name."""
    if item.cas is None and item.formula is None:
        return fold(item.item) in _NAMES
    is_by_formula = item.formula is not None and elements(item.formula) == _FORMULA
    return is_by_formula or item.cas == CAS_NUMBER_OF_WATER
