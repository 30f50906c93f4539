"""What the store holds, as rows in the order they were first loaded."""

from sqlalchemy import Connection, select
from sqlmodel import SQLModel

from prepstore.columns import TABLES
from prepstore.ledger.rows import ROW_CLASSES
from prepstore.written import STORE, WrittenRow


def written_rows(connection: Connection, *tables: str) -> dict[str, list[WrittenRow]]:
    """Return the rows of the named tables (all if none is named), blank cells left out."""
    return {name: _rows(connection, name) for name in tables or TABLES}


def _rows(connection: Connection, name: str) -> list[WrittenRow]:
    table = SQLModel.metadata.tables[name]
    columns = tuple(TABLES[name].columns)
    cells = [table.c[column] for column in columns]
    found = connection.execute(select(*cells).order_by(table.c.position))
    return [
        WrittenRow(
            name,
            number,
            STORE,
            {column: text for column, text in zip(columns, row, strict=True) if text is not None},
        )
        for number, row in enumerate(found, start=2)
    ]


__all__ = ["ROW_CLASSES", "written_rows"]
