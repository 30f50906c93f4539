"""Rows back to a set of tables: a folder of CSV files or one workbook, whole or not at all."""

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from prepstore.columns import TABLES, Table
from prepstore.formula_guard import guarded
from prepstore.whole_file import make_folder, write_whole
from prepstore.written import WrittenRow, WrittenSet


def write_set(rows: WrittenSet, path: Path) -> None:
    """Write every table, with its headings even where it is empty.

    Args:
        rows: Rows by table.
        path: A folder, made if need be, or a file that ends in `.xlsx`.

    Raises:
        OSError: The place cannot be written.
    """
    if path.suffix.lower() == ".xlsx":
        from prepstore.tables.write_workbook import workbook_bytes  # noqa: PLC0415 - openpyxl

        write_whole(path, workbook_bytes(rows))
        return
    make_folder(path)
    for name, table in TABLES.items():
        of_table = rows.get(name, [])
        text = csv_text(written_columns(table, of_table), of_table)
        write_whole(path / f"{name}.csv", text.encode("utf-8"))


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


def csv_text(columns: tuple[str, ...], rows: Iterable[WrittenRow]) -> str:
    """Return rows as CSV text, no cell of which a spreadsheet would run as a formula."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([guarded(row.text.get(column, "")) for column in columns] for row in rows)
    return text.getvalue()
