"""Names that gave way to others, and what was retired: changes only ever added, and the rows."""

from collections.abc import Iterable
from typing import Any, Final

from sqlalchemy import Connection, Select, insert, select, update

from prepstore.cell_types import fold
from prepstore.columns import TABLES, places_of
from prepstore.ledger.entries import told_of, with_entries
from prepstore.ledger.light import light_table, table_of_a_set
from prepstore.ledger.load import stored_key
from prepstore.movements import NameChange, NameWhat, NewName, RecordedName

NAME_CHANGES: Final = light_table("name_changes", "name_change entry what of_table was now")


def record_names(connection: Connection, changes: Iterable[NameChange], entry: int) -> None:
    """Record changes of names with an entry of the running transaction, and let rows follow."""
    for change in changes:
        row = {"what": str(change.what), "of_table": change.table}
        row |= {"was": change.was, "now": change.now}
        connection.execute(insert(NAME_CHANGES).values(entry=entry, **row))
        if change.what is NameWhat.RENAMED:
            for table, column in places_of(change.table):
                _rename(connection, table, column, change)
        else:
            _retire(connection, change)


def _rename(connection: Connection, table: str, column: str, change: NameChange) -> None:
    """Write the new name into each cell that has the old one, and into the key of its row."""
    light = table_of_a_set(table)
    key = TABLES[table].key
    cells = [light.c[name] for name in dict.fromkeys((*key, column))]
    for row in connection.execute(select(light.c.position, *cells)).mappings().all():
        if fold(row[column] or "") == fold(change.was):
            text = {**row, column: change.now}
            values: dict[str, Any] = {column: change.now}
            if column in key:
                values["key"] = stored_key(tuple(fold(text[name] or "") for name in key))
            of_row = light.c.position == row["position"]
            connection.execute(update(light).where(of_row).values(values))


def _retire(connection: Connection, change: NameChange) -> None:
    light = table_of_a_set(change.table)
    day = change.now if change.what is NameWhat.RETIRED else None
    this = light.c.key == stored_key((fold(change.was),))
    connection.execute(update(light).where(this).values(retired=day))


def recorded_names(connection: Connection, *, entry: int | None = None) -> list[RecordedName]:
    """Return the changes of names, all or with one entry, in the order they were recorded."""
    rows = all_names()
    if entry is not None:
        rows = rows.where(NAME_CHANGES.c.entry == entry)
    return [
        RecordedName(
            change=NameChange(
                what=NameWhat(row.what), table=row.of_table, was=row.was, now=row.now
            ),
            **told_of(row),
        )
        for row in connection.execute(rows).all()
    ]


def all_names() -> Select[Any]:
    """Return what `recorded_names` asks of all."""
    return with_entries(NAME_CHANGES).order_by(NAME_CHANGES.c.name_change)


class Renames:
    """What a name recorded with an entry is called by now."""

    def __init__(self, changes: Iterable[RecordedName]) -> None:
        self._changes = [one for one in changes if one.change.what is NameWhat.RENAMED]

    def now(self, name: str, entry: int, *tables: str) -> str:
        """Return the present name of what bore a name of one of the tables when it was recorded."""
        for one in self._changes:
            change = one.change
            if one.entry > entry and change.table in tables and fold(change.was) == fold(name):
                name = change.now
        return name


def renamed_by_now(changes: Iterable[RecordedName]) -> dict[tuple[str, str], NewName]:
    """Return by table and folded old name what a thing is called now, and since when.

    A name that was given back to the thing is not among them.
    """
    found: dict[tuple[str, str], NewName] = {}
    for one in changes:
        change = one.change
        if change.what is NameWhat.RENAMED:
            now = NewName(change.now, one.on_day)
            for key, before in found.items():
                if key[0] == change.table and fold(before.name) == fold(change.was):
                    found[key] = now
            found.pop((change.table, fold(change.now)), None)
            found[change.table, fold(change.was)] = now
    return {key: now for key, now in found.items() if fold(now.name) != key[1]}
