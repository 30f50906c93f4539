"""What may be recorded: the rows of the store as they will be pass the checks that a load makes."""

from collections.abc import Callable, Iterable, Iterator, Set
from dataclasses import dataclass
from typing import Final

from prepstore.cell_types import fold
from prepstore.columns import TABLES
from prepstore.problems import Place, Problem
from prepstore.tables.cell_text import wrong_with
from prepstore.tables.crosscheck import checked
from prepstore.written import WrittenRow, WrittenSet

Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Touched:
    """The rows that a recording changes, by their keys; `everything` where a name changes."""

    lots: Set[Key]
    orders: Set[Key]
    everything: bool = False


def refusals(before: WrittenSet, after: WrittenSet, touched: Touched) -> list[str]:
    """Return a sentence for each thing that a load would refuse now, and would not have before.

    Args:
        before: Rows of the store before the recording.
        after: The same tables afterwards.
        touched: Which of them the recording changed.
    """
    looked_at = _looked_at(after, touched)
    wrong = named(_mistakes(looked_at), looked_at)
    if not wrong:  # nearly all recordings end here
        return []
    before = _looked_at(before, touched)
    had = named(_mistakes(before), before)
    rows = _by_number(looked_at)
    return [
        _sentence(problem, rows.get((problem.place.table, problem.place.row)))
        for name, problem in wrong.items()
        if name not in had and (touched.everything or problem.place.table in _RECORDED)
    ]


_RECORDED: Final = ("stock", "on_order")
"""The tables whose rows follow what is recorded of lots and orders."""

MistakeName = tuple[str, str, Key, str, str]
"""What tells mistakes apart wherever their rows stand: code, table, key, column and words."""


def named(problems: Iterable[Problem], written: WrittenSet) -> dict[MistakeName, Problem]:
    """Return mistakes by what they are and which row they are in, whatever its number."""
    rows = _by_number(written)
    found = {}
    for problem in problems:
        place = problem.place
        row = rows.get((place.table, place.row))
        key = row.key or tuple(row.text.values()) if row is not None else ()
        found[problem.code, place.table, key, place.column, problem.what] = problem
    return found


def _by_number(written: WrittenSet) -> dict[tuple[str, int], WrittenRow]:
    return {(row.table, row.number): row for rows in written.values() for row in rows}


def _looked_at(written: WrittenSet, touched: Touched) -> WrittenSet:
    return written if touched.everything else _only(written, touched)


def _mistakes(written: WrittenSet) -> Iterator[Problem]:
    yield from _of_cells(written)
    yield from checked(written).problems


def _of_cells(written: WrittenSet) -> Iterator[Problem]:
    """Yield what is wrong with a cell whatever its column holds, as for a file."""
    for row in (row for rows in written.values() for row in rows):
        for column, cell in row.text.items():
            wrong = wrong_with(cell)
            if wrong is not None:
                yield Problem(wrong.code, Place.of(row, column), wrong.what, wrong.remedy)


def _only(written: WrittenSet, touched: Touched) -> dict[str, list[WrittenRow]]:
    """Return the rows that were touched, and those of other tables that they rest on."""
    orders = _picked(written, "on_order", lambda row: row.key in touched.orders)
    lots = _picked(written, "stock", lambda row: row.key in touched.lots)
    packs = _picked(written, "packs", _names(orders, "pack", "pack"))
    wanted = {fold(row.text.get("item", "")) for row in (*lots, *packs)}
    parts = _parts_of(written, wanted)
    wanted |= {fold(row.text.get("item", "")) for row in parts}
    return {
        "items": _picked(written, "items", lambda row: row.key[0] in wanted),
        "solutions": _picked(written, "solutions", lambda row: row.key[0] in wanted),
        "solution_parts": parts,
        "stock": lots,
        "packs": packs,
        "suppliers": _picked(written, "suppliers", _names(packs, "supplier", "supplier")),
        "on_order": orders,
    }


def _picked(
    written: WrittenSet, table: str, is_wanted: Callable[[WrittenRow], bool]
) -> list[WrittenRow]:
    return [row for row in written.get(table, ()) if is_wanted(row)]


def _names(rows: Iterable[WrittenRow], column: str, of: str) -> Callable[[WrittenRow], bool]:
    """Return whether a row's own name (`of`) stands in a column of other rows."""
    named = {fold(row.text.get(column, "")) for row in rows}
    return lambda row: fold(row.text.get(of, "")) in named


def _parts_of(written: WrittenSet, names: Set[str]) -> list[WrittenRow]:
    """Return the parts of solutions, and the parts of parts that are solutions."""
    by_solution: dict[str, list[WrittenRow]] = {}
    for row in written.get("solution_parts", ()):
        by_solution.setdefault(fold(row.text.get("solution", "")), []).append(row)
    found: dict[str, list[WrittenRow]] = {}
    to_follow = list(names)
    while to_follow:
        name = to_follow.pop()
        if name in by_solution and name not in found:
            found[name] = by_solution[name]
            to_follow += [fold(row.text.get("item", "")) for row in by_solution[name]]
    return [row for rows in found.values() for row in rows]


def _sentence(problem: Problem, row: WrittenRow | None) -> str:
    """Return a mistake for the person who records something: of which lot, order or name it is."""
    table = TABLES[problem.place.table]
    thing = {"stock": "Lot", "on_order": "Order"}.get(table.name, f"Table {table.name},")
    cells = [row.text[column] for column in table.key if column in row.text] if row else []
    where = f"{thing} {' '.join(cells)}".strip()
    column = f", {problem.place.column}" if problem.place.column else ""
    return f"{where}{column}: {problem.what} {problem.remedy}".rstrip()
