"""Rows back to a set of tables: a folder of CSV files or one workbook, whole or not at all."""

import csv
import io
from collections.abc import Iterable, Set
from pathlib import Path

from prepstore.columns import Table
from prepstore.formula_guard import guarded
from prepstore.history import Billionths, Packs
from prepstore.tables.written_tables import written_columns, written_tables
from prepstore.whole_file import make_folder, write_whole
from prepstore.written import WrittenRow, WrittenSet


def write_set(rows: WrittenSet, path: Path) -> None:
    """Write every table, with its headings even where it is empty.

    Args:
        rows: Rows by table; the tables of a history are written where they are among them.
        path: A folder, made if need be, or a file that ends in `.xlsx`.

    Raises:
        OSError: The place cannot be written.
        RefusedError: A workbook cannot hold it.
    """
    if path.suffix.lower() == ".xlsx":
        from prepstore.tables.write_workbook import workbook_bytes  # noqa: PLC0415 - openpyxl

        write_whole(path, workbook_bytes(rows))
        return
    make_folder(path)
    for name, table in written_tables(rows).items():
        of_table = rows.get(name, [])
        text = csv_text(written_columns(table, of_table), of_table, _signed_figures(table))
        write_whole(path / f"{name}.csv", text.encode("utf-8"))


def _signed_figures(table: Table) -> frozenset[str]:
    """Return the columns whose cells are figures that may begin with a minus sign."""
    return frozenset(
        column.name for column in table.columns.values() if column.reads in (Billionths, Packs)
    )


def csv_text(
    columns: tuple[str, ...], rows: Iterable[WrittenRow], figures: Set[str] = frozenset()
) -> str:
    """Return rows as CSV text, no cell of which a spreadsheet would run as a formula.

    Columns of `figures` hold numbers alone, which are no formula though they begin with a sign.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(
        [
            row.text.get(column, "") if column in figures else guarded(row.text.get(column, ""))
            for column in columns
        ]
        for row in rows
    )
    return text.getvalue()
