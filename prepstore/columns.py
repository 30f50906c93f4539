"""What each table and column is, read off the facts: the one description all rooms use."""

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from enum import StrEnum
from functools import cache
from types import UnionType
from typing import Any, Final, get_args, get_type_hints

from prepstore import cell_types, facts
from prepstore.settings import Settings


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: `reads` is the type that says how its cell is read.

    One that is written only `where_used` is left out of a table in which no row has it. One that
    `may_lack` is required in what is loaded, and older stores may lack it.
    """

    name: str
    field: str
    reads: Any
    required: bool
    may_lack: bool
    about: str
    example: str
    where_used: bool

    @property
    def fixed_words(self) -> tuple[str, ...]:
        """Return the words that the column takes; empty where it takes others as well."""
        if self.reads is cell_types.Flag:
            return ("yes", "no")
        if isinstance(self.reads, type) and issubclass(self.reads, StrEnum):
            return tuple(str(word) for word in self.reads)
        return ()


@dataclass(frozen=True, slots=True)
class Table:
    """A table: its fact, the columns that name a row, and what a set replaces as a whole.

    `key` is empty where rows have no name of their own; `replaced_by` is then the column whose
    names say which rows a new set replaces. One that is written only `where_used` is left out of a
    set in which it has no row.
    """

    name: str
    fact: type
    key: tuple[str, ...]
    replaced_by: str | None = None
    where_used: bool = False

    @property
    def columns(self) -> Mapping[str, Column]:
        """Return the columns by name, in the order they are written."""
        return columns_of(self.fact)

    @property
    def about(self) -> str:
        """Return what a row of the table is, in a sentence."""
        return (self.fact.__doc__ or "").strip()


@cache
def columns_of(fact: type) -> Mapping[str, Column]:
    """Return the columns of a fact by name, in the order of its fields."""
    types = get_type_hints(fact)
    return {
        (name := member.name.rstrip("_")): Column(
            name=name,
            field=member.name,
            reads=_without_none(types[member.name]),
            required=member.metadata["required"],
            may_lack=member.metadata["required"] and member.default is not MISSING,
            about=member.metadata["about"],
            example=member.metadata["example"],
            where_used=member.metadata["where_used"],
        )
        for member in fields(fact)
    }


def _without_none(hint: Any) -> Any:  # noqa: ANN401 - a type hint may be any object
    if isinstance(hint, UnionType) or type(None) in get_args(hint):
        return next(part for part in get_args(hint) if part is not type(None))
    return hint


TABLES: Final[Mapping[str, Table]] = {
    table.name: table
    for table in (
        Table("items", facts.Item, ("item",)),
        Table("solutions", facts.Solution, ("solution",)),
        Table("solution_parts", facts.SolutionPart, ("solution", "item"), "solution"),
        Table(
            "hazard_limits",
            facts.HazardLimit,
            ("item", "class", "h_code", "form", "in_force"),
            where_used=True,
        ),
        Table("practicals", facts.Practical, ("practical",)),
        Table("practical_lines", facts.PracticalLine, (), "practical"),
        Table("timetable", facts.Session, ("session",)),
        Table("stock", facts.Lot, ("lot",)),
        Table("suppliers", facts.Supplier, ("supplier",)),
        Table("packs", facts.Pack, ("pack",)),
        Table("price_breaks", facts.PriceBreak, ("pack", "from"), "pack", where_used=True),
        Table("storage_limits", facts.StorageLimit, ("storage",), where_used=True),
        Table("on_order", facts.OnOrder, ("reference", "pack", "due")),
        Table("waste_streams", facts.WasteStream, ("stream",)),
        Table("replacements", facts.Replacement, ("item",)),
        Table("settings", facts.SettingRow, ("setting",)),
    )
}
"""Every table of a set, in the order they are read and written."""

SETTING_FIELD: Final[Mapping[str, str]] = {
    (name if not name.startswith("spare_") else name.replace("_", " ")): name
    for name in (member.name for member in fields(Settings))
}
"""The name of each setting as people write it, and its field in `settings.Settings`."""

NAME_COLUMN: Final[Mapping[str, str]] = {
    "items": "item",
    "solutions": "solution",
    "practicals": "practical",
    "suppliers": "supplier",
    "packs": "pack",
    "waste_streams": "stream",
}
"""The column that holds the names of each table that others refer to."""

_ITEM_OR_SOLUTION = ("items", "solutions")

NAMED_IN: Final[Mapping[tuple[str, str], tuple[str, ...]]] = {
    ("solution_parts", "solution"): ("solutions",),
    ("solution_parts", "item"): _ITEM_OR_SOLUTION,
    ("hazard_limits", "item"): ("items",),
    ("practical_lines", "practical"): ("practicals",),
    ("practical_lines", "item"): _ITEM_OR_SOLUTION,
    ("practical_lines", "holds_back"): _ITEM_OR_SOLUTION,
    ("timetable", "practical"): ("practicals",),
    ("stock", "item"): _ITEM_OR_SOLUTION,
    ("packs", "item"): _ITEM_OR_SOLUTION,
    ("packs", "supplier"): ("suppliers",),
    ("price_breaks", "pack"): ("packs",),
    ("on_order", "pack"): ("packs",),
    ("replacements", "item"): _ITEM_OR_SOLUTION,
    ("replacements", "replaced_by"): _ITEM_OR_SOLUTION,
}
"""Table and column, and the tables in one of which its name must stand."""


def places_of(table: str) -> tuple[tuple[str, str], ...]:
    """Return each table and column in which a thing of a table is named, its own row first.

    >>> places_of("practicals")
    (('practicals', 'practical'), ('practical_lines', 'practical'), ('timetable', 'practical'))
    """
    elsewhere = (place for place, named_in in NAMED_IN.items() if table in named_in)
    return ((table, NAME_COLUMN[table]), *elsewhere)
