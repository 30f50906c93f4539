"""Written rows to facts: every cell by its column's reader, every mistake noted."""

import datetime
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import cache
from typing import Any, Final

from prepstore import cell_types
from prepstore.catalogue import Catalogue, Goods
from prepstore.cell_types import fold
from prepstore.columns import SETTING_FIELD, TABLES, Column, Table, columns_of
from prepstore.facts import OnOrder
from prepstore.problems import Problem, at, nearest
from prepstore.settings import Settings
from prepstore.tables.cells import READERS
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import STORE, WrittenRow, WrittenSet

Known = list[tuple[WrittenRow, Any]]
"""The facts of one table, each beside the row it was read from."""


Readers = Mapping[Any, Callable[[str], Any]]
"""How each type of column is read."""


def understand(
    written: WrittenSet, tables: Mapping[str, Table] = TABLES, readers: Readers = READERS
) -> tuple[dict[str, Known], list[Problem]]:
    """Return the facts of each table beside their rows, and every cell that cannot be read.

    A row with a mistake yields a fact all the same where the cell can stand in by `STAND_INS`, so
    that the rest of the row is checked in one go; else it yields none, so that one mistake is told
    once. A cell that the reader of files has told already is passed over.
    """
    problems: list[Problem] = []
    known = {
        name: [
            (row, fact)
            for row in written.get(name, ())
            if (fact := _fact(table, row, readers, problems)) is not None
        ]
        for name, table in tables.items()
    }
    return known, problems


BLANK: Final = object()
"""Stands in as a blank cell does: by the column's default."""


def _blank(*columns: str) -> dict[str, Any]:
    return dict.fromkeys(columns, BLANK)


STAND_INS: Final[Mapping[str, Mapping[str, Any]]] = {
    "items": _blank(
        "cas", "hazards", "minimum", "restock_to", "opened_life", "daily_capacity", "turnaround",
        "minutes_per_use", "storage", "notes", "peroxide_test", "peroxide_test_sealed", "retired",
        "shelf_life", "most_held", "group", "retention", "acid_or_base",
    ),
    "solutions": _blank(
        "step", "largest_batch", "minimum", "restock_to", "make_within", "hazards", "storage",
        "instructions", "retired", "minutes_to_make", "to", "pH", "flash_point", "viscosity",
    ),
    "hazard_limits": _blank("from", "below", "m_factor", "ate", "form", "in_force", "source"),
    "practicals": {"title": "", **_blank("group_size", "notes", "retired")},
    "practical_lines": {
        "amount": None,
        "per": cell_types.Per.GROUP,
        **_blank(
            "spare", "to", "within", "shared_by", "container", "one_lot", "notes", "holds_back"
        ),
    },
    "timetable": {
        "date": datetime.date.min,
        "students": 0,
        **_blank("start", "end", "room", "group_size", "demonstrator_sets"),
    },
    "stock": {
        "amount": None,
        **_blank("opened", "state", "containers", "place", "received", "tested", "batch_number"),
    },
    "packs": {"size": None, "price": Decimal(0)},
    "price_breaks": {"price": Decimal(0)},
    "waste_streams": _blank(
        "container", "fill_limit", "empty_containers", "part_full", "list_code", "notes"
    ),
}  # fmt: skip
"""What stands in for a cell that cannot be read, by table and column: cells from which no other
check draws a conclusion. A set with such a cell is refused, so nothing is ever planned from it."""


def _fact(table: Table, row: WrittenRow, readers: Readers, problems: list[Problem]) -> Any:  # noqa: ANN401 - any fact
    """Return the fact that a row states, or None where too little of it can be read."""
    values, unread = _cells(table, row, readers, problems)
    stand_ins = STAND_INS.get(table.name, {})
    if not unread <= stand_ins.keys():
        return None
    for name in unread:
        if stand_ins[name] is not BLANK:
            values[table.columns[name].field] = stand_ins[name]
    return table.fact(**values)


def _cells(
    table: Table, row: WrittenRow, readers: Readers, problems: list[Problem]
) -> tuple[dict[str, Any], set[str]]:
    """Return what a row's cells say, by field, and the columns that say nothing one can read."""
    values: dict[str, Any] = {}
    unread = set(row.told)
    for name, column in table.columns.items():
        if name in row.told:
            continue
        text = row.text.get(name)
        try:
            if text is not None:
                values[column.field] = _value(readers[column.reads], text)
            elif column.required:
                _refuse_blank(column, row)
        except UnreadableError as error:
            unread.add(name)
            problems.append(at(row, name, error.code, error.what, _remedy(column, error)))
    return values, unread


def _refuse_blank(column: Column, row: WrittenRow) -> None:
    """Refuse a blank cell of a column that must be given; an older store may lack some."""
    if not (column.may_lack and row.source == STORE):
        raise UnreadableError("cell-missing", f"{column.name} is blank.", _expected(column))


@cache
def _value(read: Callable[[str], Any], text: str) -> Any:  # noqa: ANN401 - any type
    """Return what a text says; the same few texts stand in column after column."""
    return read(text)


_BY_EXAMPLE: Final = {"number-unreadable", "count-unreadable", "percent-unreadable"}


def _remedy(column: Column, error: UnreadableError) -> str:
    """Return what is expected: of a number, by the column's own example."""
    if error.code in _BY_EXAMPLE and column.example:
        return f"Write it like {column.example}. {column.about}"
    return error.remedy


def _expected(column: Column) -> str:
    example = f" For example: {column.example}." if column.example else ""
    return f"It must be given. {column.about}{example}"


def goods_of(known: Mapping[str, Known]) -> Goods:
    """Gather what the stores keep from the facts of the tables; a wrong setting is its default."""
    return Goods(**_goods(known, read_settings(known["settings"])[0]))


def _goods(known: Mapping[str, Known], settings: Settings) -> dict[str, Any]:
    return {
        "settings": settings,
        "items": _by_name(known["items"], "item"),
        "solutions": _by_name(known["solutions"], "solution"),
        "parts": _grouped(known["solution_parts"], "solution"),
        "suppliers": _by_name(known["suppliers"], "supplier"),
        "packs": _by_name(known["packs"], "pack"),
        "price_breaks": _grouped(known["price_breaks"], "pack"),
        "hazard_limits": _grouped(known["hazard_limits"], "item"),
        "storage_limits": _by_name(known["storage_limits"], "storage"),
        "streams": _by_name(known["waste_streams"], "stream"),
    }


def catalogue_of(known: Mapping[str, Known], settings: Settings) -> Catalogue:
    """Gather what is known whatever the week from the facts of all tables."""
    return Catalogue(
        **_goods(known, settings),
        practicals=_by_name(known["practicals"], "practical"),
        lines=_grouped(known["practical_lines"], "practical"),
        replacements=_by_name(known["replacements"], "item"),
    )


def facts_of(rows: Known) -> tuple[Any, ...]:
    """Return the facts of one table in the order of its rows."""
    return tuple(fact for _, fact in rows)


def to_come(on_order: Known) -> tuple[OnOrder, ...]:
    """Return what is still to come; rows of 0 packs only clear others."""
    return tuple(fact for _, fact in on_order if fact.packs)


def _by_name(rows: Known, column: str) -> dict[str, Any]:
    return {fold(getattr(fact, column)): fact for _, fact in rows}


def _grouped(rows: Known, column: str) -> dict[str, tuple[Any, ...]]:
    groups: dict[str, list[Any]] = {}
    for _, fact in rows:
        groups.setdefault(fold(getattr(fact, column)), []).append(fact)
    return {name: tuple(group) for name, group in groups.items()}


def read_settings(rows: Iterable[tuple[WrittenRow, Any]]) -> tuple[Settings, list[Problem]]:
    """Return the settings, defaults where none is given, and what is wrong with them."""
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    columns = columns_of(Settings)
    for row, setting in rows:
        field = SETTING_FIELD.get(fold(setting.setting))
        if field is None:
            expected = nearest(fold(setting.setting), SETTING_FIELD)
            problems.append(
                at(row, "setting", "setting-unknown", "is not a setting that is known.", expected)
            )
        elif setting.value is not None:
            try:
                values[field] = READERS[columns[field].reads](setting.value)
            except UnreadableError as error:
                problems.append(at(row, "value", error.code, error.what, error.remedy))
    return Settings(**values), problems
