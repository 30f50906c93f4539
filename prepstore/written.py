"""Rows as they were written: text by column, and where each row stands.

The reader of tables and the store both yield these; one reader turns them into facts.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from prepstore.cell_types import fold
from prepstore.columns import TABLES

STORE = "the store"


@dataclass(frozen=True, slots=True)
class WrittenRow:
    """One row of a table.

    `text` holds the cells that are not blank, trimmed, by column name. `source` is the file, or
    `STORE`; `number` is the row as a spreadsheet numbers it. `columns` are the columns that
    the table had, blank cells included, so that an update leaves the others alone. `told` are
    the columns of which the reader has said already that something is wrong.
    """

    table: str
    number: int
    source: str
    text: Mapping[str, str]
    columns: frozenset[str] = frozenset()
    told: frozenset[str] = frozenset()

    @property
    def key(self) -> tuple[str, ...]:
        """Return the folded cells that name the row; empty where the table has no key."""
        return tuple(fold(self.text.get(column, "")) for column in TABLES[self.table].key)

    def names(self, but: str = "") -> tuple[str, ...]:
        """Return the cells by which a person knows the row, two at most; not that of a column."""
        cells = (self.text.get(column) for column in _TELLING if column != but)
        return tuple(filter(None, cells))[:2]


_TELLING: Final = (
    "session", "practical", "solution", "pack", "lot", "item", "supplier", "stream", "setting",
    "reference",
)  # fmt: skip
"""Columns by which people know a row, those that tell most first."""


WrittenSet = Mapping[str, list[WrittenRow]]
"""Rows by table name; a table that a set does not have is absent."""
