"""The rows of lots: new ones, what they say after a booking, and those that are there no longer.

A row stays for the sake of the history, even where its lot is gone; lists and exports leave it out.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from sqlalchemy import Connection, Row, Select, delete, insert, select, update

from prepstore.cell_types import fold
from prepstore.columns import TABLES
from prepstore.ledger.light import largest, light_table, next_number, table_of_a_set
from prepstore.movements import AS_TYPED, Booking, Movement

STOCK: Final = table_of_a_set("stock")
BALANCES: Final = light_table("balances", "lot billionths last_movement")
_FIRST_ROW: Final = 2
"""Rows are numbered as a spreadsheet numbers them, below the heading."""
_AT_ONCE: Final = 500
"""Lots asked for in one go; SQLite takes 999 parameters at least."""


def add_lots(connection: Connection, lots: Iterable[Mapping[str, str]], entry: int) -> None:
    """Add the rows of new lots with an entry; one of the same label that is gone makes room."""
    rows = [{**cells, "key": fold(cells["lot"])} for cells in lots]
    for key in _gone_among(connection, [row["key"] for row in rows]):
        _rekey(connection, key, _aside(key, entry))
    _insert(connection, rows)


TAKEN_BY: Final = "label_taken_by"
"""What a history calls the entry with which another lot got the label of one that was gone."""


def put_lots(connection: Connection, lots: Iterable[Mapping[str, str]]) -> None:
    """Put in the rows of lots as a history has them.

    Of a lot that is gone the cells say why, under `gone`, and which entry took its label.
    """
    rows = []
    for cells in lots:
        key, entry = fold(cells["lot"]), cells.get(TAKEN_BY)
        own = {column: cell for column, cell in cells.items() if column != TAKEN_BY}
        rows.append({**own, "key": _aside(key, int(entry)) if entry else key})
    _insert(connection, rows)


def taken_by(key: str) -> str:
    """Return the entry that took the label of the lot with a key; blank where none did."""
    return key.partition(_ASIDE)[2]


def _insert(connection: Connection, rows: Sequence[Mapping[str, str]]) -> None:
    blank = dict.fromkeys(("gone", *TABLES["stock"].columns))
    first = max(next_number(connection, STOCK.c.position), _FIRST_ROW)
    placed = [
        {**blank, **row, "position": position} for position, row in enumerate(rows, start=first)
    ]
    if placed:
        connection.execute(insert(STOCK), placed)


def forget_gone(connection: Connection, keys: Iterable[str]) -> None:
    """Remove the rows of lots that are gone, so that a load can give their labels again.

    The movements of those lots stay, and belong to whatever row has the label when the transaction
    ends.
    """
    for key in _gone_among(connection, keys):
        connection.execute(delete(STOCK).where(STOCK.c.key == key))


def _gone_among(connection: Connection, keys: Iterable[str]) -> set[str]:
    return set(connection.execute(_all_gone()).scalars()).intersection(keys)


def _all_gone() -> Select[Any]:
    return select(STOCK.c.key).where(STOCK.c.gone.is_not(None))


def asked_for(booking: Booking) -> list[Select[Any]]:
    """Return what is asked before the rows of lots follow a booking."""
    of_new = [_all_gone(), largest(STOCK.c.position)] if booking.new_lots else []
    return [*of_new, *rows_of_lots(changed_lots(booking.movements))]


_ASIDE: Final = "\x1f"
"""Stands in the key of a row whose label another lot has by now; no label has it."""


def _aside(key: str, entry: int) -> str:
    """Return the key of a row that made room for another lot with an entry."""
    return f"{key}{_ASIDE}{entry}"


def _rekey(connection: Connection, key: str, to: str) -> None:
    connection.execute(update(STOCK).where(STOCK.c.key == key).values(key=to))


def swap_rows(connection: Connection, booking: Booking, entry: int, undone: int) -> None:
    """Let the rows that made room for lots of an entry stand in their places again.

    Args:
        connection: Of `writing`.
        booking: What undoes an entry.
        entry: The number under which it is recorded.
        undone: The number of the entry that it undoes.
    """
    for lot in booking.gone:
        aside = _aside(lot, undone)
        if connection.execute(select(STOCK.c.key).where(STOCK.c.key == aside)).scalar():
            _rekey(connection, lot, _aside(lot, entry))
            connection.execute(
                update(STOCK).where(STOCK.c.key == _aside(lot, entry)).values(gone="undone")
            )
            _rekey(connection, aside, lot)


def as_they_stand(connection: Connection, movements: Sequence[Movement]) -> tuple[Movement, ...]:
    """Return movements whose changed cells were what the rows say letter for letter.

    So that an undo writes back `usable` where that was typed, and nothing where nothing was.
    """
    of_lots = _rows_of(connection, changed_lots(movements))
    return tuple(_as_it_stands(one, of_lots.get(fold(one.lot), {})) for one in movements)


def changed_lots(movements: Iterable[Movement]) -> list[str]:
    """Return the folded labels of the lots of which movements change a cell of the row."""
    return list(dict.fromkeys(fold(one.lot) for one in movements if _changes_a_cell(one)))


def _changes_a_cell(movement: Movement) -> bool:
    return movement.change is not None and movement.change.column in TABLES["stock"].columns


def _as_it_stands(movement: Movement, row: Mapping[str, Any]) -> Movement:
    if movement.change is None or not _changes_a_cell(movement):
        return movement
    was = row.get(movement.change.column) or ""
    return replace(movement, change=replace(movement.change, was=was))


def let_rows_follow(connection: Connection, booking: Booking) -> None:
    """Let the rows of lots say what is typed of them: changed cells, and amounts found."""
    for movement in booking.movements:
        if movement.change is not None and movement.change.column in TABLES["stock"].columns:
            cells = {movement.change.column: movement.change.now or None}
            connection.execute(update(STOCK).where(STOCK.c.key == fold(movement.lot)).values(cells))
    typed = {
        fold(one.lot): one.written
        for one in booking.movements
        if one.what in AS_TYPED and one.written
    }
    for lot, amount in (typed | dict(booking.amounts)).items():
        connection.execute(update(STOCK).where(STOCK.c.key == lot).values(amount=amount))
    for lot, why in booking.gone.items():
        connection.execute(update(STOCK).where(STOCK.c.key == lot).values(gone=why or None))


def balances(connection: Connection, *lots: str) -> dict[str, int]:
    """Return what lots hold, in billionths, by folded label; all lots if none is named."""
    if not lots:
        return _by_lot(connection.execute(all_balances()))
    found: dict[str, int] = {}
    for some in balances_of(*lots):
        found.update(_by_lot(connection.execute(some)))
    return found


def all_balances() -> Select[Any]:
    """Return what `balances` asks of all lots."""
    return select(BALANCES.c.lot, BALANCES.c.billionths)


def balances_of(*lots: str) -> list[Select[Any]]:
    """Return what `balances` asks of some lots."""
    some = (lots[first : first + _AT_ONCE] for first in range(0, len(lots), _AT_ONCE))
    return [all_balances().where(BALANCES.c.lot.in_(of)) for of in some]


def _by_lot(rows: Iterable[Row[Any]]) -> dict[str, int]:
    return {row.lot: row.billionths for row in rows}


def lot_cells(connection: Connection, lots: Iterable[str]) -> dict[str, dict[str, str]]:
    """Return the cells of lots' rows that are not blank, by folded label; also of gone ones."""
    columns = TABLES["stock"].columns
    return {
        lot: {name: row[name] for name in columns if row[name] is not None}
        for lot, row in _rows_of(connection, lots).items()
    }


def lots_there(connection: Connection, lots: Iterable[str]) -> dict[str, dict[str, str]]:
    """Return the cells of the rows of lots that are not gone, by folded label, without blanks."""
    columns = TABLES["stock"].columns
    return {
        lot: {name: row[name] for name in columns if row[name] is not None}
        for lot, row in _rows_of(connection, lots).items()
        if row["gone"] is None
    }


def _rows_of(connection: Connection, lots: Iterable[str]) -> dict[str, Mapping[str, Any]]:
    """Return the rows of lots that have one, by folded label, in the order of the labels given."""
    wanted = list(lots)
    found: dict[str, Mapping[str, Any]] = {}
    for question in rows_of_lots(wanted):
        found |= {row["key"]: row for row in connection.execute(question).mappings()}
    return {lot: found[lot] for lot in wanted if lot in found}


def rows_of_lots(lots: Sequence[str]) -> list[Select[Any]]:
    """Return what is asked for the rows of some lots, by folded label."""
    some = (lots[first : first + _AT_ONCE] for first in range(0, len(lots), _AT_ONCE))
    return [select(STOCK).where(STOCK.c.key.in_(of)) for of in some]


def lot_names(connection: Connection) -> dict[str, tuple[str, str]]:
    """Return each lot's label and what is in it, by folded label, those that are gone included."""
    rows = connection.execute(select(STOCK.c.key, STOCK.c.lot, STOCK.c.item))
    return {row.key: (row.lot, row.item or "") for row in rows if _ASIDE not in (row.key or _ASIDE)}
