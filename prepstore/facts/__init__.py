"""What is known: one class a table, one field a column.

These classes are the only list of columns there is. `prepstore.columns` reads them, and
the reader, the writer, the store and the reference pages follow. A field's type says how its
cell is read (`prepstore.cell_types`); a field without a default is a column that must be given.
"""

from prepstore.facts.department import SettingRow, StorageLimit, WasteStream
from prepstore.facts.described import column
from prepstore.facts.goods import Item, Solution, SolutionPart
from prepstore.facts.hazards import HazardLimit
from prepstore.facts.practicals import Practical, PracticalLine, Replacement, Session
from prepstore.facts.retirement import is_retired
from prepstore.facts.supply import Lot, OnOrder, Pack, PriceBreak, Supplier

__all__ = [
    "HazardLimit",
    "Item",
    "Lot",
    "OnOrder",
    "Pack",
    "Practical",
    "PracticalLine",
    "PriceBreak",
    "Replacement",
    "Session",
    "SettingRow",
    "Solution",
    "SolutionPart",
    "StorageLimit",
    "Supplier",
    "WasteStream",
    "column",
    "is_retired",
]
