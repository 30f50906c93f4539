"""The same week as a workbook of formulas, for a spreadsheet to work out.

Sheet `lines`: a row a line of each session, amount × count × (1 + spare), counted things whole.
Sheet `items`: what all sessions need of each, by SUMIFS. Sheet `lots`: in order of item and expiry,
what is taken of each and what is then still short. With `by_session` each line also says what the
sessions up to then leave it short of, as a plan does. Batches, packs and waste are not in it, nor
does the draw look at the day a lot expires: less than a plan works out.
"""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

from openpyxl import Workbook

from tests.benchmarks.lean_week import SPARE

LINES = """
SELECT session, line.item, line.amount, per, students, practicals.group_size,
       coalesce(kind, 'solution')
FROM timetable JOIN practicals USING (practical) JOIN practical_lines AS line USING (practical)
LEFT JOIN items ON items.item = line.item
WHERE date BETWEEN ? AND ? ORDER BY timetable.position, line.position
"""
LOTS = "SELECT item, lot, amount, expiry FROM stock ORDER BY item, expiry, lot"


def write(store: str, first: str, last: str, out: Path, *, by_session: bool) -> None:
    """Write the workbook; no formula has a stored result."""
    connection = sqlite3.connect(store)
    lines = connection.execute(LINES, (first, last)).fetchall()
    lots = connection.execute(LOTS).fetchall()
    connection.close()
    book = Workbook(write_only=True)
    items = list(dict.fromkeys(line[1] for line in lines))
    rows = _lines(lines)
    if by_session:
        rows = _with_what_is_short(rows, len(items) + 1)
    _fill(book, "lines", "session item amount count spare need short", rows)
    _fill(book, "items", "item need held", _items(items, len(lines) + 1, len(lots) + 1))
    _fill(book, "lots", "item lot amount expiry wanted taken short", _lots(lots, len(items) + 1))
    book.save(out)


def _fill(book: Workbook, name: str, header: str, rows: Iterator[list[object]]) -> None:
    sheet = book.create_sheet(name)
    sheet.append(header.split())
    for row in rows:
        sheet.append(row)


def _lines(lines: list[tuple[str, ...]]) -> Iterator[list[object]]:
    for row, (session, item, amount, per, students, size, kind) in enumerate(lines, start=2):
        number, unit = amount.split()
        counts = {"student": int(students), "group": -(-int(students) // int(size)), "session": 1}
        spare = float(SPARE[kind]) if per != "session" else 0
        need = f"C{row}*D{row}*(1+E{row})"
        formula = f"=ROUNDUP(ROUND({need},9),0)" if unit == "each" else f"={need}"
        yield [session, item, float(number), counts[per], spare, formula]


def _with_what_is_short(rows: Iterator[list[object]], end: int) -> Iterator[list[object]]:
    """Yield lines with what is missing: needs of the item so far less what is held of it."""
    for row, cells in enumerate(rows, start=2):
        so_far = f"SUMIFS(F$2:F{row},B$2:B{row},B{row})"
        held = f"INDEX(items!C$2:C${end},MATCH(B{row},items!A$2:A${end},0))"
        yield [*cells, f"=MAX(0,MIN(F{row},{so_far}-{held}))"]


def _items(items: list[str], lines_end: int, lots_end: int) -> Iterator[list[object]]:
    for row, item in enumerate(items, start=2):
        need = f"=SUMIFS(lines!F$2:F${lines_end},lines!B$2:B${lines_end},A{row})"
        held = f"=SUMIFS(lots!C$2:C${lots_end},lots!A$2:A${lots_end},A{row})"
        yield [item, need, held]


def _lots(lots: list[tuple[str, ...]], end: int) -> Iterator[list[object]]:
    """Yield the draw: the first lot of an item is asked for its need, the next for the rest."""
    for row, (item, lot, amount, expiry) in enumerate(lots, start=2):
        need = f"SUMIFS(items!B$2:B${end},items!A$2:A${end},A{row})"
        wanted = f"=IF(A{row}=A{row - 1},G{row - 1},{need})"
        taken = f"=MIN(C{row},E{row})"
        yield [item, lot, float(amount.split()[0]), expiry, wanted, taken, f"=E{row}-F{row}"]
