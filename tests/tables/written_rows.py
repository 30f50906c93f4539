"""A set of tables from the notation that people use in their files."""

import csv
import io

from prepstore.written import WrittenRow


def written(**tables: str) -> dict[str, list[WrittenRow]]:
    """Return rows from CSV texts, a table a keyword."""
    return {name: _rows(name, text) for name, text in tables.items()}


def _rows(table: str, text: str) -> list[WrittenRow]:
    header, *lines = csv.reader(io.StringIO(text))
    return [
        WrittenRow(
            table,
            number,
            f"{table}.csv",
            {column: cell for column, cell in zip(header, line, strict=False) if cell},
            frozenset(header),
        )
        for number, line in enumerate(lines, start=2)
    ]
