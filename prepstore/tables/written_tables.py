"""Which tables a set of rows is written as, and which columns of each."""

from collections.abc import Mapping, Sequence

from prepstore.columns import TABLES, Table
from prepstore.history import HISTORY
from prepstore.written import WrittenRow, WrittenSet


def written_tables(rows: WrittenSet) -> Mapping[str, Table]:
    """Return the tables to write: those of a set, and those of a history that there are.

    A table that only some departments keep is left out where it has no row; an empty set, which is
    there to be filled in, has every table.
    """
    is_empty = not any(rows.values())
    of_set = {
        name: table
        for name, table in TABLES.items()
        if is_empty or rows.get(name) or not table.where_used
    }
    return {**of_set, **{name: table for name, table in HISTORY.items() if name in rows}}


def written_columns(table: Table, rows: Sequence[WrittenRow]) -> tuple[str, ...]:
    """Return the columns to write of a table: all, but of some only those that a row has.

    So a department that keeps no peroxide tests finds its tables as it wrote them. A table without
    rows has every column, since it is there to be filled in.
    """
    used = {column for row in rows for column in row.text}
    return tuple(
        column.name
        for column in table.columns.values()
        if not column.where_used or column.name in used or not rows
    )
