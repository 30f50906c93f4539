"""Tables of the store without their row classes, which take longer to import than to use."""

from typing import Any

from sqlalchemy import Connection, Select, TableClause, column, func, select, table

from prepstore.columns import TABLES


def light_table(name: str, columns: str) -> TableClause:
    """Return a table by its name and those of its columns, spaces between."""
    return table(name, *map(column, columns.split()))


def table_of_a_set(name: str) -> TableClause:
    """Return a table of a set with its position, key and cells; of lots also why one is gone."""
    beside = ("position", "key", "gone") if name == "stock" else ("position", "key")
    return table(name, *map(column, (*beside, *TABLES[name].columns)))


def next_number(connection: Connection, number: Any) -> int:  # noqa: ANN401 - a light column
    """Return the number after the largest of a column; 1 where there is none."""
    return int(connection.execute(largest(number)).scalar_one()) + 1


def largest(number: Any) -> Select[Any]:  # noqa: ANN401 - a light column
    """Return the question for the largest of a column; 0 where there is none."""
    return select(func.coalesce(func.max(number), 0))
