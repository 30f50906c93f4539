"""The second college's tables, and the command line as its technician uses it."""

import csv
import datetime
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from typer.testing import CliRunner, Result

from prepstore.cli.main import app

TABLES = Path(__file__).parent / "second_set"
CORRECTED = TABLES / "corrected"
WITH_MISTAKES = TABLES / "with_mistakes"
TODAY = ("--today", "2027-04-07")
W16 = ("--week", "2027-W16", *TODAY)

Rows = list[list[str]]
Plan = dict[str, Any]
Run = Callable[..., Result]


def run(*words: str) -> Result:
    """Run the command line; a fault of the program's own fails the test."""
    result = CliRunner().invoke(app, list(words))
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert "Traceback" not in result.stderr
    return result


def done(*words: str) -> Result:
    """Run the command line and expect that it is done."""
    result = run(*words)
    assert result.exit_code == 0, result.output
    return result


def plan(*words: str) -> Plan:
    """Plan, and read the plan's JSON."""
    made: Plan = json.loads(done("plan", *words, "--json", "-").stdout)
    return made


def row_of(rows: list[dict[str, Any]], **wanted: str) -> dict[str, Any]:
    """Return the one row of a plan that has these values."""
    found = [row for row in rows if all(row[key] == value for key, value in wanted.items())]
    assert len(found) == 1, (wanted, found)
    return found[0]


def read_set(folder: Path) -> dict[str, Rows]:
    """Read a folder of CSV files as a spreadsheet shows them."""
    return {
        path.stem: list(csv.reader(path.read_text("utf-8-sig").splitlines()))
        for path in sorted(folder.glob("*.csv"))
    }


def write_set(tables: dict[str, Rows], folder: Path) -> Path:
    """Save tables as a spreadsheet does: byte-order mark, lines that end in CR LF."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in tables.items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8-sig", newline="") as file:
            csv.writer(file).writerows(rows)
    return folder


def write_workbook(tables: dict[str, Rows], path: Path) -> Path:
    """Save tables as a workbook: dates, times, percentages and numbers as such."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for name, rows in tables.items():
        sheet = workbook.create_sheet(name)
        for row, cells in enumerate(rows, 1):
            for column, text in enumerate(cells, 1):
                _write_cell(sheet, row, column, text)
    workbook.save(path)
    return path


def _write_cell(sheet: Worksheet, row: int, column: int, text: str) -> None:
    value, shown_as = _as_a_spreadsheet_holds(text)
    if value is not None:
        cell = sheet.cell(row, column)
        cell.value = value
        cell.number_format = shown_as


def _as_a_spreadsheet_holds(
    text: str,
) -> tuple[str | float | datetime.date | datetime.time | None, str]:
    if not text:
        return None, "General"
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return datetime.date.fromisoformat(text), "dd/mm/yyyy"
    if re.fullmatch(r"\d\d:\d\d", text):
        return datetime.time.fromisoformat(text), "hh:mm"
    if percent := re.fullmatch(r"(\d+) ?%", text):
        return int(percent[1]) / 100, "0%"
    if re.fullmatch(r"\d+(\.\d+)?", text):
        return float(text) if "." in text else int(text), "General"
    return text, "General"


def content(folder: Path) -> dict[str, bytes]:
    """Return what each file of a folder holds."""
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}
