"""Rows back to a set of tables: a folder of CSV files or one workbook, whole or not at all."""

import csv
import io
from collections.abc import Iterable
from pathlib import Path

from prepstore.columns import TABLES
from prepstore.formula_guard import guarded
from prepstore.whole_file import write_whole
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
    path.mkdir(parents=True, exist_ok=True)
    for name, table in TABLES.items():
        text = csv_text(tuple(table.columns), rows.get(name, []))
        write_whole(path / f"{name}.csv", text.encode("utf-8"))


def csv_text(columns: tuple[str, ...], rows: Iterable[WrittenRow]) -> str:
    """Return rows as CSV text, no cell of which a spreadsheet would run as a formula."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([guarded(row.text.get(column, "")) for column in columns] for row in rows)
    return text.getvalue()
