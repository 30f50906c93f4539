"""The sheets of a workbook as text; guards against files that are not what they say."""

import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any
from zipfile import BadZipFile, ZipFile

import openpyxl
from openpyxl.utils import get_column_letter

from prepstore.problems import Place, Problem, ProblemsError
from prepstore.tables.read import Cells, cell_text

LARGEST_UNPACKED = 256 * 1024 * 1024
"""Bytes that a workbook may unpack to."""

_OLE = b"\xd0\xcf\x11\xe0"


def workbook_sheets(
    path: Path, problems: list[Problem]
) -> Iterator[tuple[str, str, list[tuple[int, Cells]]]]:
    """Yield name, source and numbered rows of each sheet.

    Raises:
        ProblemsError: The file is no workbook that can be read.
    """
    _refuse_what_is_no_workbook(path)
    try:
        values = openpyxl.load_workbook(path, read_only=True, data_only=True)
        formulas = openpyxl.load_workbook(path, read_only=True, data_only=False)
    except Exception as error:  # openpyxl raises whatever a broken part makes it raise
        raise _unreadable(path, "is not a workbook that can be read.") from error
    try:
        for name in values.sheetnames:
            source = f"{path.name}, sheet {name}"
            yield (
                name,
                source,
                _lines(values[name].iter_rows(), formulas[name].iter_rows(), source, problems),
            )
    finally:
        values.close()
        formulas.close()


def _lines(
    values: Iterable[tuple[Any, ...]],
    formulas: Iterable[tuple[Any, ...]],
    source: str,
    problems: list[Problem],
) -> list[tuple[int, Cells]]:
    """Return a sheet's rows as text; a formula without a stored result is a problem."""
    lines = []
    for number, (row, written) in enumerate(zip(values, formulas, strict=True), start=1):
        for cell, formula in zip(row, written, strict=True):
            if formula.data_type == "f" and cell.value is None:
                where = f"{get_column_letter(formula.column)}{formula.row}"
                problems.append(
                    Problem(
                        "formula-without-result",
                        Place(source, row=number),
                        f"cell {where} holds a formula without a stored result.",
                        "Open and save the workbook in a spreadsheet, or type the value.",
                    )
                )
        lines.append((number, [cell_text(cell.value) for cell in row]))
    return lines


def _refuse_what_is_no_workbook(path: Path) -> None:
    with path.open("rb") as file:
        if file.read(4) == _OLE:
            what = "is protected by a password, or is an old .xls."
            raise _unreadable(path, what)
    try:
        with ZipFile(path) as parts:
            unpacked = sum(part.file_size for part in parts.infolist())
            if unpacked > LARGEST_UNPACKED:
                limit = LARGEST_UNPACKED // 1024 // 1024
                raise _unreadable(path, f"unpacks to more than {limit} MiB.")
            _refuse_entities(path, parts)
    except (BadZipFile, zipfile.LargeZipFile, NotImplementedError, OSError, EOFError) as error:
        raise _unreadable(path, "is not a whole .xlsx workbook (is it cut off?).") from error


def _refuse_entities(path: Path, parts: ZipFile) -> None:
    for part in parts.namelist():
        if part.endswith((".xml", ".rels")):
            with parts.open(part) as text:
                if b"<!" in text.read(4096).replace(b"<!--", b""):
                    raise _unreadable(path, "declares XML entities or a document type.")


def _unreadable(path: Path, what: str) -> ProblemsError:
    remedy = "Save it again as an .xlsx workbook without a password."
    return ProblemsError([Problem("workbook-unreadable", Place(path.name), what, remedy)])
