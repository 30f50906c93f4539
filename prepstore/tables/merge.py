"""A set of tables laid over what the store holds."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from prepstore.cell_types import fold
from prepstore.columns import TABLES, Table
from prepstore.problems import Problem, at
from prepstore.written import WrittenRow, WrittenSet


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
        held[key] = _over(old, row)
        _note(table, old.text, held[key].text, changes)
    return list(held.values())


def clears(row: WrittenRow) -> bool:
    """Return whether a row says that nothing of an order is still to come."""
    return row.table == "on_order" and set(row.text.get("packs", "")) == {"0"}


def _over(old: WrittenRow, row: WrittenRow) -> WrittenRow:
    kept = {column: text for column, text in old.text.items() if column not in row.columns}
    text = {**kept, **row.text}
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
    old = Counter(_content(row) for row in before if fold(row.text[column]) in named)
    now = Counter(_content(row) for row in rows)
    gone, come = (old - now).total(), (now - old).total()
    changes.changed[table.name] += min(gone, come)
    changes.added[table.name] += max(come - gone, 0)
    changes.removed[table.name] += max(gone - come, 0)
    return kept + rows


def _content(row: WrittenRow) -> frozenset[tuple[str, str]]:
    return frozenset(row.text.items())


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
        yield at(row, column, "name-twice", f"stands twice in {table.name}.", remedy)
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
