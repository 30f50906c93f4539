"""The sheets of a workbook as text; guards against files that are not what they say."""

import io
import os
import warnings
from collections.abc import Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import IO, Any
from xml.parsers.expat import ExpatError, ParserCreate
from zipfile import ZipFile, is_zipfile

import openpyxl
from openpyxl.cell.read_only import EMPTY_CELL

from prepstore.amounts import plain
from prepstore.problems import Place, Problem, ProblemsError
from prepstore.tables.cell_text import FORMULA_WITHOUT_RESULT, Cells, cell_text

LARGEST_UNPACKED = 256 * 1024 * 1024
"""Bytes that a workbook may unpack to."""

MOST_ROWS = 1_048_576
"""Rows that a sheet may have, blank ones included, as in a spreadsheet."""

MOST_CELLS = 5_000_000
"""Cells that a sheet may have, blank ones before a filled one included."""

_TOO_LARGE = f"unpacks to more than {LARGEST_UNPACKED // 1024 // 1024} MiB."
_OLE = b"\xd0\xcf\x11\xe0"
_CHUNK = 65_536


def workbook_sheets(
    path: Path, problems: list[Problem]
) -> Iterator[tuple[str, str, list[tuple[int, Cells]]]]:
    """Yield name, source and numbered rows of each sheet.

    Raises:
        ProblemsError: The file is no workbook that can be read.
    """
    content = _content(path)
    try:
        with warnings.catch_warnings():
            # openpyxl warns of what it leaves out: pictures, print areas, dates that are none.
            warnings.simplefilter("ignore")
            sheets = list(_read_sheets(path.name, content, problems))
    except Exception as error:  # openpyxl raises whatever a broken part makes it raise
        raise _unreadable(path, "is not a workbook that can be read.") from error
    yield from sheets


def _read_sheets(
    file_name: str, content: bytes, problems: list[Problem]
) -> Iterator[tuple[str, str, list[tuple[int, Cells]]]]:
    # From memory: where openpyxl fails it leaves a file open.
    values = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
    formulas = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=False)
    try:
        for sheet, written in zip(values.worksheets, formulas.worksheets, strict=True):
            source = f"{file_name}, sheet {sheet.title}"
            lines = _lines(_all_rows(sheet), _all_rows(written))
            if lines is None:
                place = Place(source, sheet.title.strip().casefold())
                what = f"has more than {MOST_ROWS:,} rows or {MOST_CELLS:,} cells."
                remedy = "Delete the rows and columns that are not used."
                problems.append(Problem("sheet-too-large", place, what, remedy))
            else:
                yield sheet.title, source, lines
    finally:
        values.close()
        formulas.close()


def _all_rows(sheet: Any) -> Iterable[tuple[Any, ...]]:  # noqa: ANN401 - a read-only sheet
    # Some programs state a wrong size, and what stands beyond it would be lost.
    sheet.reset_dimensions()
    return sheet.iter_rows()  # type: ignore[no-any-return]


def _lines(
    values: Iterable[tuple[Any, ...]], formulas: Iterable[tuple[Any, ...]]
) -> list[tuple[int, Cells]] | None:
    """Return a sheet's rows that are not blank, as text; None where there are too many."""
    lines = []
    seen = 0
    for number, (row, written) in enumerate(zip(values, formulas, strict=True), start=1):
        seen += len(row)
        if number > MOST_ROWS or seen > MOST_CELLS:
            return None
        if not row:
            continue  # the file has no such row
        # Of a sheet that is formatted far to the right most cells are not in the file.
        cells = [
            "" if cell is formula is EMPTY_CELL else _text(cell, formula)
            for cell, formula in zip(row, written, strict=True)
        ]
        if any(cells):
            lines.append((number, cells))
    return lines


def _text(cell: Any, formula: Any) -> str:  # noqa: ANN401 - openpyxl has many kinds of cell
    # A formula that comes to an empty text has a result: its type is str.
    if formula.data_type == "f" and cell.value is None and cell.data_type != "str":
        return FORMULA_WITHOUT_RESULT
    zeros = getattr(cell, "number_format", "")
    if isinstance(cell.value, int) and len(zeros) > 1 and not zeros.strip("0"):
        return str(cell.value).zfill(len(zeros))  # lot 00123 is shown so and holds 123
    text = cell_text(cell.value)
    if zeros and "%" in zeros and type(cell.value) in (int, float):
        # What is shown as 5 % holds 0.05, which some columns would read as 0.05 %.
        return f"{plain(Decimal(text) * 100)} %"
    return text


def _content(path: Path) -> bytes:
    """Return the bytes of a workbook, once it is known to be one that does no harm."""
    try:
        with path.open("rb") as file:
            is_too_large = os.fstat(file.fileno()).st_size > LARGEST_UNPACKED
            # A pipe has no size.
            content = b"" if is_too_large else file.read(LARGEST_UNPACKED + 1)
    except OSError as error:
        raise _unreadable(path, f"cannot be read: {error.strerror or error}.") from error
    if is_too_large or len(content) > LARGEST_UNPACKED:
        raise _unreadable(path, _TOO_LARGE)
    if content.startswith(_OLE):
        raise _unreadable(path, "is protected by a password, or is an old .xls.")
    if not is_zipfile(io.BytesIO(content)):
        cut_off = content.startswith(b"PK")
        what = "is not a whole .xlsx workbook: it is cut off." if cut_off else ""
        raise _unreadable(path, what or "is not an .xlsx workbook, whatever its name says.")
    try:
        found = _what_is_wrong_inside(content)
    except Exception as error:  # a broken part may raise any of zlib's and zipfile's own
        raise _unreadable(path, "is not a whole .xlsx workbook (is it cut off?).") from error
    if found:
        raise _unreadable(path, found)
    return content


def _what_is_wrong_inside(content: bytes) -> str:
    with ZipFile(io.BytesIO(content)) as parts:
        if any(part.flag_bits & 1 for part in parts.infolist()):
            return "is protected by a password."
        if sum(part.file_size for part in parts.infolist()) > LARGEST_UNPACKED:
            return _TOO_LARGE
        for name in parts.namelist():
            with parts.open(name) as part:
                if _declares_a_document_type(part):
                    return "declares XML entities or a document type."
    return ""


class _DocumentTypeError(Exception):
    """A part declares a document type."""


class _RootReached(Exception):  # noqa: N818 - no error
    """The part's first element: a document type stands before it."""


def _declares_a_document_type(part: IO[bytes]) -> bool:
    """Return whether an XML part declares a document type, in whatever encoding."""

    def document_type(*_: object) -> None:
        raise _DocumentTypeError

    def root(*_: object) -> None:
        raise _RootReached

    parser = ParserCreate()
    parser.StartDoctypeDeclHandler = document_type
    parser.StartElementHandler = root
    try:
        while chunk := part.read(_CHUNK):
            parser.Parse(chunk)
    except _DocumentTypeError:
        return True
    except (_RootReached, ExpatError, ValueError, LookupError):
        return False  # a picture, say; or XML without a document type
    return False


def _unreadable(path: Path, what: str) -> ProblemsError:
    remedy = "Save it again as an .xlsx workbook without a password."
    return ProblemsError([Problem("workbook-unreadable", Place(path.name), what, remedy)])
