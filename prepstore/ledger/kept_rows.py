"""The history of a store as rows that travel, and such rows into a store that is new."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from enum import StrEnum
from typing import Any, Final

from sqlalchemy import Connection, TableClause, func, insert, select

from prepstore.amounts import of_billionths, plain
from prepstore.cell_types import Name, fold
from prepstore.columns import TABLES, Column, Table
from prepstore.history import (
    HISTORY,
    Billionths,
    Day,
    History,
    KeptContainerChange,
    KeptMovement,
)
from prepstore.ledger.containers import CONTAINER_CHANGES
from prepstore.ledger.entries import ENTRIES
from prepstore.ledger.light import light_table
from prepstore.ledger.lots import STOCK, TAKEN_BY, lot_names, put_lots, taken_by
from prepstore.ledger.movements import MOVEMENTS, SESSION_USES
from prepstore.ledger.names import NAME_CHANGES
from prepstore.ledger.orders import ORDER_CHANGES
from prepstore.ledger.reserved_labels import LABEL_CHANGES
from prepstore.ledger.save import save_rows
from prepstore.ledger.timetable import TIMETABLE_CHANGES
from prepstore.written import STORE, WrittenRow, WrittenSet

HISTORY_TABLES: Final[Mapping[str, TableClause]] = {
    "entries": ENTRIES,
    "movements": MOVEMENTS,
    "session_uses": SESSION_USES,
    "order_changes": ORDER_CHANGES,
    "name_changes": NAME_CHANGES,
    "timetable_changes": TIMETABLE_CHANGES,
    "container_changes": CONTAINER_CHANGES,
    "label_changes": LABEL_CHANGES,
}
"""Where each table of a history is kept, former lots left out: these are rows of `stock`."""

_CALLED: Final[Mapping[tuple[str, str], str]] = {
    ("entries", "day"): "on_day",
    ("movements", "change"): "billionths",
    ("movements", "order"): "order_line",
    ("name_changes", "table"): "of_table",
    ("container_changes", "change"): "billionths",
    ("container_changes", "item_change"): "item_billionths",
}
"""Table and column of a history, and what the store's file calls it where that is another name."""


def _cell(table: Table, column: str) -> Any:  # noqa: ANN401 - a light column
    return HISTORY_TABLES[table.name].c[_CALLED.get((table.name, column), column)]


# Out of a store


def history_rows(connection: Connection) -> dict[str, list[WrittenRow]]:
    """Return every row of the history by table, in the order of recording, blank cells left out.

    A lot is named by its label as its row spells it.
    """
    found = {name: list(_rows(connection, HISTORY[name])) for name in HISTORY_TABLES}
    return {**found, "former_lots": list(_former_lots(connection))}


def _rows(connection: Connection, table: Table) -> Iterator[WrittenRow]:
    columns = table.columns.values()
    spell = _speller(connection) if table.fact is KeptMovement else str
    in_words: dict[str, Callable[[Any], str]] = {
        column.name: _in_digits if column.reads is Billionths else str for column in columns
    }
    in_words |= {"lot": spell}
    cells = [_cell(table, column.name) for column in columns]
    rows = select(*cells).order_by(_cell(table, table.key[0]))
    names = [column.name for column in columns]
    for number, row in enumerate(connection.execute(rows), start=2):
        text = {
            name: in_words[name](value)
            for name, value in zip(names, row, strict=True)
            if value is not None and value != ""
        }
        yield WrittenRow(table.name, number, STORE, text)


def _speller(connection: Connection) -> Callable[[Any], str]:
    labels = {key: label for key, (label, _) in lot_names(connection).items()}
    return lambda key: labels.get(key, key)


def _in_digits(billionths: int) -> str:
    return plain(of_billionths(billionths))


def _former_lots(connection: Connection) -> Iterator[WrittenRow]:
    """Yield the rows of lots that are gone, each with the row of `stock` that stands below it."""
    columns = tuple(TABLES["stock"].columns)
    rows = connection.execute(select(STOCK).order_by(STOCK.c.position)).mappings()
    below, number = 2, 2
    for row in rows:
        if row["gone"] is None:
            below += 1
            continue
        cells = {name: row[name] for name in (*columns, "gone") if row[name] is not None}
        if entry := taken_by(row["key"]):
            cells[TAKEN_BY] = entry
        yield WrittenRow("former_lots", number, STORE, {**cells, "above_row": str(below)})
        number += 1


# Into a store


def is_blank(connection: Connection) -> bool:
    """Return whether a store holds nothing at all."""
    tables = [*(light_table(name, "position") for name in TABLES), *HISTORY_TABLES.values()]
    counts = (connection.execute(select(func.count()).select_from(table)) for table in tables)
    return not any(count.scalar_one() for count in counts)


def put_history(
    connection: Connection, rows: WrittenSet, former_lots: Sequence[WrittenRow], history: History
) -> None:
    """Fill a store that holds nothing with tables and with the history that led to them.

    Balances follow by themselves.

    Args:
        connection: Of `writing`.
        rows: Rows of a set by table.
        former_lots: The rows of lots that are gone.
        history: All that was recorded.

    Raises:
        sqlalchemy.exc.IntegrityError: They do not agree with one another.
    """
    save_rows(connection, {}, {name: of for name, of in rows.items() if name != "stock"})
    put_lots(connection, _in_their_places(rows.get("stock", []), former_lots))
    for name, table in HISTORY_TABLES.items():
        kept = _kept(HISTORY[name], getattr(history, name))
        if kept:
            # Rows as they are, without SQLAlchemy's work on each.
            connection.exec_driver_sql(str(insert(table).compile(connection)), kept)


def _in_their_places(
    stock: Sequence[WrittenRow], former_lots: Sequence[WrittenRow]
) -> list[Mapping[str, str]]:
    """Return the cells of all lots, each that is gone above the row that it stood above."""
    gone = [(int(row.text["above_row"]), 0, row.text) for row in former_lots]
    there = [(row.number, 1, row.text) for row in stock]
    in_order = sorted([*gone, *there], key=lambda placed: placed[:2])
    return [
        {column: cell for column, cell in text.items() if column != "above_row"}
        for _, _, text in in_order
    ]


def _kept(table: Table, rows: Sequence[Any]) -> list[tuple[Any, ...]]:
    """Return what the store's file holds of the rows of a table, in the order of its columns."""
    columns = {
        _CALLED.get((table.name, column.name), column.name): column
        for column in table.columns.values()
    }
    return list(
        zip(
            *(_values(columns[cell.name], rows) for cell in HISTORY_TABLES[table.name].c),
            strict=True,
        )
    )


def _values(column: Column, rows: Sequence[Any]) -> list[Any]:
    """Return what the store's file holds of one column."""
    values = [getattr(row, column.field) for row in rows]
    if column.name == "lot" and column.reads is Name:
        return [fold(value) for value in values]
    if column.reads is Day:
        return [value and value.isoformat() for value in values]
    if column.name in ("was", "now"):
        # A cell that was blank is a text without signs; where no cell changed there is none.
        values = [value or _blank(row) for value, row in zip(values, rows, strict=True)]
    if isinstance(column.reads, type) and issubclass(column.reads, StrEnum):
        return [None if value is None else str(value) for value in values]
    return values


def _blank(row: Any) -> str | None:  # noqa: ANN401 - a row that has `was` and `now`
    if isinstance(row, KeptContainerChange):
        return None if row.was is None and row.now is None else ""
    return None if isinstance(row, KeptMovement) and row.changed is None else ""
