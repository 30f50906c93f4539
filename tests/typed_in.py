"""What a page says to type into a workbook, typed as a spreadsheet program takes it."""

import re
from datetime import date, time
from pathlib import Path

import openpyxl
from openpyxl.worksheet.worksheet import Worksheet

_ROWS = re.compile(r"^On the sheet `(\w+)`:\n\n((?:\|.*\n)+)", re.MULTILINE)
_ONE_CELL = re.compile(r"[Ii]n\scell\s([A-Z]\d+)\sof\s`(\w+)`\stype\s`([^`]+)`")


def type_in(prose: str, path: Path) -> None:
    """Type the tables and the single cells of a text into a workbook, where it names any."""
    tables, cells = _ROWS.findall(prose), _ONE_CELL.findall(prose)
    if tables or cells:
        book = openpyxl.load_workbook(path)
        for name, rows in tables:
            _type_rows(book[name], [_cells(line) for line in rows.splitlines()])
        for cell, name, text in cells:
            book[name][cell].value = _as_taken(text)
        book.save(path)


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip("|").split("|")]


def _type_rows(sheet: Worksheet, lines: list[list[str]]) -> None:
    heading, _, *rows = lines
    places = {cell.value: place for place, cell in enumerate(sheet[1], start=1)}
    for number, row in enumerate(rows, start=2):
        for name, text in zip(heading, row, strict=True):
            if text:
                sheet.cell(number, places[name]).value = _as_taken(text)


def _as_taken(text: str) -> str | date | time:
    """Return a date or time as a spreadsheet program makes one of what is typed, else the text."""
    for kind in (date, time):
        try:
            return kind.fromisoformat(text) if re.fullmatch(r"[\d:-]{5,}", text) else text
        except ValueError:
            continue
    return text
