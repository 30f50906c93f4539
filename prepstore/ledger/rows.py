"""The store's tables, as SQLModel classes.

Each table of a set is kept as it was written, a text a column, so that an export gives back what
was loaded, letter for letter. The columns are those of `prepstore.columns`; they stand there only.
"""

from collections.abc import Mapping
from typing import Any, Final

from pydantic import create_model
from sqlmodel import Field, SQLModel

from prepstore.columns import TABLES, Table


def _row_class(table: Table) -> type[SQLModel]:
    """Return the row class of a table of a set: its place in the order, its key, its cells."""
    cells: dict[str, Any] = {column: (str | None, Field(default=None)) for column in table.columns}
    return create_model(
        table.name,
        __base__=SQLModel,
        __cls_kwargs__={"table": True},
        position=(int, Field(primary_key=True)),
        key=(str | None, Field(default=None, unique=True)),
        **cells,
    )


ROW_CLASSES: Final[Mapping[str, type[SQLModel]]] = {
    name: _row_class(table) for name, table in TABLES.items()
}
