"""A week planned as leanly as can be: what `prepstore plan` is measured by.

    python tests/benchmarks/lean_week.py STORE FIRST LAST TODAY OUT.xlsx CELLS

It reads the same store and knows only what the terms of `term.py` hold: amounts in g, mL or each,
no replacements, no stages, no solutions on the shelf, two packs an item that both come in time.
Needs, what is short, packs and waste are worked out by the rules of a plan, and CELLS styled cells
are written, as many as our workbook has; nothing is checked, and nothing can be traced.
"""

import sqlite3
import sys
from collections import defaultdict
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Border, Font, NamedStyle, Side

TABLES = (
    "items", "solutions", "solution_parts", "practicals", "practical_lines", "timetable", "stock",
    "packs",
)  # fmt: skip
SPARE = {
    "reagent": Decimal("0.1"),
    "solvent": Decimal("0.2"),
    "consumable": Decimal("0.1"),
    "solution": Decimal("0.2"),
}
SODIUM_CHLORIDE = Decimal("58.44")
ZERO = Decimal(0)
Rows = list[dict[str, Any]]
Figures = dict[str, dict[str, Decimal]]
"""Needs, short, packs and waste by name."""
Key = tuple[date, int, str, tuple[date, str, str]]
"""What wants are served in order of: day of use, batches first, solution, first session."""


def figures(store: str, first: date, last: date, today: date) -> Figures:
    """Return needs by item, what is short of each, packs by code, waste by stream."""
    connection = sqlite3.connect(store)
    connection.row_factory = sqlite3.Row
    tables: dict[str, Any] = {
        name: [dict(row) for row in connection.execute(f'SELECT * FROM "{name}"')]
        for name in TABLES
    }
    connection.close()
    needs: dict[str, Decimal] = defaultdict(Decimal)
    waste: dict[str, Decimal] = defaultdict(Decimal)
    wants: list[tuple[Key, str, Decimal]] = []
    solution_wants: dict[str, list[tuple[Key, Decimal]]] = defaultdict(list)
    kinds = {item["item"]: item["kind"] for item in tables["items"]}
    for session in _sessions(tables, first, last):
        order = (_day(session["date"]), session["start"], session["session"])
        key = (order[0], 1, "", order)
        for name, amount in _takes(session, tables["lines"], kinds, waste).items():
            needs[name] += amount
            if name in kinds:
                wants.append((key, name, amount))
            else:
                solution_wants[name].append((key, amount))
    for solution in tables["solutions"]:
        name = solution["solution"]
        wants += _batches(solution, solution_wants[name], tables["parts"][name], today)
    short = _short(wants, tables["stock"])
    return {"needs": needs, "short": short, "packs": _packs(short, tables["packs"]), "waste": waste}


def _sessions(tables: dict[str, Any], first: date, last: date) -> Rows:
    """Return the sessions of the period; group lines and parts on the way."""
    lines: dict[str, Rows] = defaultdict(list)
    for line in tables["practical_lines"]:
        line["number"], line["unit"] = _amount(line["amount"])
        line["shares"] = _shares(line["to"])
        lines[line["practical"]].append(line)
    parts: dict[str, Rows] = defaultdict(list)
    for part in tables["solution_parts"]:
        parts[part["solution"]].append(part)
    tables["lines"], tables["parts"] = lines, parts
    sizes = {row["practical"]: int(row["group_size"] or 1) for row in tables["practicals"]}
    found = [row for row in tables["timetable"] if first <= _day(row["date"]) <= last]
    for session in found:
        session["group_size"] = sizes[session["practical"]]
    return found


def _day(text: str) -> date:
    return date.fromisoformat(text)


def _amount(text: str) -> tuple[Decimal, str]:
    number, unit = text.split()
    return Decimal(number) * (1000 if unit == "L" else 1), unit


def _shares(text: str | None) -> list[tuple[str, Decimal]]:
    """Return where a line ends: `solvent 90 %; air 10 %`, or one place alone."""
    if not text or not text.endswith("%"):
        return [(text, Decimal(1))] if text else []
    parts = [part.strip(" %").rsplit(" ", 1) for part in text.split(";")]
    return [(end, Decimal(share) / 100) for end, share in parts]


def _takes(
    session: dict[str, Any],
    lines: dict[str, Rows],
    kinds: dict[str, str],
    waste: dict[str, Decimal],
) -> dict[str, Decimal]:
    """Return what a session takes of each item, counted things whole; add its waste."""
    students = int(session["students"])
    counts = {"student": students, "group": -(-students // session["group_size"]), "session": 1}
    takes: dict[str, Decimal] = defaultdict(Decimal)
    counted = set()
    for line in lines[session["practical"]]:
        name = line["item"]
        is_spared = line["per"] != "session"
        spare = SPARE[kinds.get(name, "solution")] if is_spared else ZERO
        amount = line["number"] * counts[line["per"]] * (1 + spare)
        takes[name] += amount
        if line["unit"] == "each":
            counted.add(name)
        for end, share in line["shares"]:
            waste[end] += amount * share
    for name in counted:
        takes[name] = takes[name].to_integral_value(ROUND_CEILING)
    return takes


def _batches(
    solution: dict[str, Any], wants: list[tuple[Key, Decimal]], parts: Rows, today: date
) -> list[tuple[Key, str, Decimal]]:
    """Return what the batches of a solution want of its parts."""
    step, largest = _amount(solution["step"])[0], _amount(solution["largest_batch"])[0]
    keeps = timedelta(days=int(solution["shelf_life"]))
    groups: list[tuple[date, Key, Decimal]] = []
    for key, amount in sorted(wants):
        if groups:
            made, first, volume = groups[-1]
            if key[0] <= made + keeps and _up(volume + amount, step) <= largest:
                groups[-1] = (made, first, volume + amount)
                continue
        groups.append((max(_working_day_before(key[0]), today), key, amount))
    return [
        ((made, 0, solution["solution"], first[3]), part["item"], _part(part, _up(volume, step)))
        for made, first, volume in groups
        for part in parts
    ]


def _up(number: Decimal, step: Decimal) -> Decimal:
    return (number / step).to_integral_value(ROUND_CEILING) * step


def _working_day_before(day: date) -> date:
    day -= timedelta(days=1)
    while day.weekday() > 4:
        day -= timedelta(days=1)
    return day


def _part(part: dict[str, Any], volume: Decimal) -> Decimal:
    """Return the mL that fill to volume, or the g of sodium chloride for so many mol/L."""
    if part["amount"] == "to volume":
        return volume
    return _amount(part["amount"])[0] * volume / 1000 * SODIUM_CHLORIDE


def _short(wants: list[tuple[Key, str, Decimal]], stock: Rows) -> dict[str, Decimal]:
    """Serve wants in their order from the lots, first to expire first; return what is not."""
    shelf: dict[str, list[list[Any]]] = defaultdict(list)
    for lot in sorted(stock, key=lambda lot: (lot["expiry"], lot["lot"])):
        shelf[lot["item"]].append([_day(lot["expiry"]), _amount(lot["amount"])[0]])
    short: dict[str, Decimal] = defaultdict(Decimal)
    for key, name, amount in sorted(wants):
        missing = amount
        for held in shelf[name]:
            if held[0] >= key[0] and held[1]:
                taken = min(held[1], missing)
                held[1] -= taken
                missing -= taken
                if not missing:
                    break
        if missing:
            short[name] += missing
    return short


def _packs(short: dict[str, Decimal], packs: Rows) -> dict[str, Decimal]:
    """Return how many of each pack cover what is short at least cost."""
    sold: dict[str, Rows] = defaultdict(list)
    for pack in sorted(packs, key=lambda pack: str(pack["pack"])):
        pack["number"], pack["cost"] = _amount(pack["size"])[0], Decimal(pack["price"])
        sold[pack["item"]].append(pack)
    return {
        code: Decimal(count)
        for name, missing in short.items()
        for code, count in _cover(missing, *sold[name])
        if count
    }


def _cover(missing: Decimal, one: dict[str, Any], other: dict[str, Any]) -> list[tuple[str, int]]:
    """Return the cheapest cover: on equal cost least excess, fewest packs, more of the first."""
    ways = []
    for others in range(int(_up(missing, other["number"]) / other["number"]) + 1):
        rest = max(ZERO, missing - others * other["number"])
        ones = int(_up(rest, one["number"]) / one["number"])
        cost = ones * one["cost"] + others * other["cost"]
        held = ones * one["number"] + others * other["number"]
        ways.append((cost, held, ones + others, -ones, others))
    _, _, _, ones, others = min(ways)
    return [(one["pack"], -ones), (other["pack"], others)]


def write(path: Path, found: Figures, cells: int) -> None:
    """Write as many styled cells, ten in a row, the figures over and over."""
    book = Workbook(write_only=True)
    style = NamedStyle("lean", font=Font(name="Arial", size=9), border=Border(bottom=Side("hair")))
    book.add_named_style(style)
    sheet = book.create_sheet("Week")
    values: list[str | Decimal] = [
        value for figure in found.values() for pair in figure.items() for value in pair
    ]
    row = [WriteOnlyCell(sheet) for _ in range(10)]
    for cell in row:
        cell.style = "lean"
    for number in range(0, cells, len(row)):
        for position, cell in enumerate(row):
            cell.value = values[(number + position) % len(values)]
        sheet.append(row)
    book.save(path)


if __name__ == "__main__":
    _, from_store, *days, out, how_many = sys.argv
    first_day, last_day, this_day = map(_day, days)
    write(Path(out), figures(from_store, first_day, last_day, this_day), int(how_many))
