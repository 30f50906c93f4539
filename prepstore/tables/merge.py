"""A set of tables laid over what the store holds."""

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal
from functools import cache
from typing import Any, Final

from prepstore.cell_types import fold
from prepstore.columns import TABLES, Column, Table
from prepstore.problems import Problem, RefusedError, at
from prepstore.tables.cells import READERS
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow, WrittenSet

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(slots=True)
class Changes:
    """How many rows of each table a load added, changed and moved (a lot to another place)."""

    added: Counter[str] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    moved: Counter[str] = field(default_factory=Counter)
    removed: Counter[str] = field(default_factory=Counter)


def merge(stored: WrittenSet, new: WrittenSet) -> tuple[dict[str, list[WrittenRow]], Changes]:
    """Return the rows that the store would hold after a load, and what that changes.

    A row with a known key updates the columns that the set has. All lines of each practical
    and all parts of each solution for which the set has rows are replaced. An `on_order` row of
    0 packs clears the stored one. Rows that the set does not name stay.
    """
    changes = Changes()
    merged = {}
    for table in TABLES.values():
        before, rows = stored.get(table.name, []), new.get(table.name, [])
        if table.replaced_by:
            merged[table.name] = _replaced(table, before, rows, changes)
        else:
            merged[table.name] = _updated(table, before, rows, changes)
    return merged, changes


def _updated(
    table: Table, before: list[WrittenRow], rows: list[WrittenRow], changes: Changes
) -> list[WrittenRow]:
    held: dict[tuple[str, ...], WrittenRow] = {row.key: row for row in before}
    seen: set[tuple[str, ...]] = set()
    for row in rows:
        # A name that stands twice is a mistake; both rows are kept, so that each is checked.
        key = row.key if row.key not in seen else (*row.key, row.source, str(row.number))
        seen.add(row.key)
        old = held.get(key)
        if clears(row):
            if held.pop(key, None):
                changes.removed[table.name] += 1
            continue
        if old is None:
            changes.added[table.name] += 1
            held[key] = row
            continue
        held[key] = laid_over(old, row)
        _note(table, old.text, held[key].text, changes)
    return list(held.values())


def is_a_day(text: str) -> bool:
    """Return whether a cell holds a date that exists."""
    if not _DAY.fullmatch(text):
        return False
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def sessions_left_over(stored: WrittenSet, new: WrittenSet) -> list[WrittenRow]:
    """Return the sessions of a store within the days that a new timetable spans that are not in it.

    Days that cannot be read are passed over; a set without a timetable spans none.
    """
    rows = new.get("timetable", [])
    days = sorted(day for row in rows if is_a_day(day := row.text.get("date", "")))
    keys = {row.key for row in rows}
    return [
        row
        for row in stored.get("timetable", [])
        if days and days[0] <= row.text.get("date", "") <= days[-1] and row.key not in keys
    ]


MOST_DAYS_REPLACED: Final = 330
"""More than an academic year: where a timetable spans more, a year in it is probably wrong."""


def sessions_taken_out(
    stored: WrittenSet, new: WrittenSet, booked: Collection[str]
) -> list[WrittenRow]:
    """Return the sessions of a store that a new timetable replaces: those that it leaves over.

    Args:
        stored: Rows of the store.
        new: Rows of the set.
        booked: Folded names of sessions that are booked out, which stay.

    Raises:
        RefusedError: The new timetable spans more days than an academic year has.
    """
    left_over = [row for row in sessions_left_over(stored, new) if row.key[0] not in booked]
    if left_over:
        _refuse_a_long_span(new)
    return left_over


def _refuse_a_long_span(new: WrittenSet) -> None:
    days = sorted(
        (date.fromisoformat(day), row.text.get("session", ""))
        for row in new["timetable"]
        if is_a_day(day := row.text.get("date", ""))
    )
    (first, begins), (last, ends) = days[0], days[-1]
    if (last - first).days > MOST_DAYS_REPLACED:
        raise RefusedError(
            f"This timetable goes from {first} (session {begins}) to {last} (session {ends}), so "
            f"all other sessions of {(last - first).days} days would be taken out. Check the year; "
            "if it is right, load the timetable in parts."
        )


def without(stored: WrittenSet, gone: Iterable[WrittenRow]) -> dict[str, list[WrittenRow]]:
    """Return the rows of a store without some of its sessions."""
    keys = {row.key for row in gone}
    kept = [row for row in stored.get("timetable", []) if row.key not in keys]
    return {**{table: list(rows) for table, rows in stored.items()}, "timetable": kept}


def clears(row: WrittenRow) -> bool:
    """Return whether a row says that nothing of an order is still to come."""
    return row.table == "on_order" and set(row.text.get("packs", "")) == {"0"}


def laid_over(old: WrittenRow, row: WrittenRow) -> WrittenRow:
    """Return a row of a set over that of the store: columns that the set has not stay."""
    columns = TABLES[row.table].columns
    text = {
        **{column: text for column, text in old.text.items() if column not in row.columns},
        **row.text,
    }
    for column in text.keys() & old.text.keys():
        # A spreadsheet writes 14.20 as 14.2, and 9:00 as 09:00:00; that is no change.
        now, was, of = text[column], old.text[column], columns[column]
        if now != was and _meaning(of, now) == _meaning(of, was):
            text[column] = was
    return WrittenRow(row.table, row.number, row.source, text, row.columns, row.told)


def _note(table: Table, old: Mapping[str, str], now: Mapping[str, str], changes: Changes) -> None:
    differing = {column for column in old.keys() | now.keys() if old.get(column) != now.get(column)}
    if "place" in differing:
        changes.moved[table.name] += 1
    if differing - {"place"}:
        changes.changed[table.name] += 1


def _replaced(
    table: Table, before: list[WrittenRow], rows: list[WrittenRow], changes: Changes
) -> list[WrittenRow]:
    """Replace all rows of each practical or solution that the new rows name."""
    column = table.replaced_by or ""
    named = {fold(row.text.get(column, "")) for row in rows}
    kept = [row for row in before if fold(row.text[column]) not in named]
    old = [row for row in before if fold(row.text[column]) in named]
    gone, come = _gone_and_come(table, old, rows)
    changes.changed[table.name] += min(gone, come)
    changes.added[table.name] += max(come - gone, 0)
    changes.removed[table.name] += max(gone - come, 0)
    return kept + rows


_Content = frozenset[tuple[str, str]]


def _gone_and_come(table: Table, old: list[WrittenRow], new: list[WrittenRow]) -> tuple[int, int]:
    """Return how many rows are gone and how many are new, of those that are not written alike."""
    if not old or not new:
        return len(old), len(new)
    then, now = Counter(map(_content, old)), Counter(map(_content, new))
    was, is_now = then - now, now - then
    meant_then, means_now = _meant(table, was), _meant(table, is_now)
    return (meant_then - means_now).total(), (means_now - meant_then).total()


def _content(row: WrittenRow) -> _Content:
    return frozenset(row.text.items())


def _meant(table: Table, rows: Counter[_Content]) -> Counter[frozenset[tuple[str, object]]]:
    """Return rows by what their cells mean, for those that are not written alike."""
    found: Counter[frozenset[tuple[str, object]]] = Counter()
    for row, count in rows.items():
        meant = frozenset((name, _meaning(table.columns[name], cell)) for name, cell in row)
        found[meant] += count
    return found


def _meaning(column: Column, text: str) -> object:
    """Return the number, day or time that a cell means; any other cell is its text."""
    return _read(column.reads, text)


@cache
def _read(reads: Any, text: str) -> object:  # noqa: ANN401 - any type of `READERS`
    try:
        value = READERS[reads](text)
    except (KeyError, UnreadableError):
        return text
    return value if isinstance(value, int | Decimal | date | time) else text


def repeated_names(stored: WrittenSet, new: WrittenSet) -> list[Problem]:
    """Return a problem for each row of a set whose key stands twice, or differs only in case."""
    problems: list[Problem] = []
    for table in TABLES.values():
        seen: dict[tuple[str, ...], WrittenRow] = {}
        if table.key:
            held = {row.key: row for row in stored.get(table.name, [])}
            for row in new.get(table.name, []):
                problems += _repeated(table, row, seen, held)
    return problems


def _repeated(
    table: Table,
    row: WrittenRow,
    seen: dict[tuple[str, ...], WrittenRow],
    held: Mapping[tuple[str, ...], WrittenRow],
) -> Iterable[Problem]:
    must = [column for column in table.key if table.columns[column].required]
    column = must[-1] if table.replaced_by else must[0]
    if row.told.intersection(table.key) or not row.text.keys() >= set(must):
        return  # told with the cell
    if (first := seen.get(row.key)) is not None:
        remedy = f"Row {first.number} names '{first.text.get(column, '')}' already; keep one."
        yield at(row, column, "name-twice", f"is twice in {table.name}.", remedy)
        return
    seen[row.key] = row
    old = held.get(row.key)
    if old is not None and len(table.key) == 1 and old.text[column] != row.text[column]:
        yield at(
            row,
            column,
            "name-case",
            f"differs from '{old.text[column]}' in the store only in capitals.",
            "Write it the same way.",
        )
