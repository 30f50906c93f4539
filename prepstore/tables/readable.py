"""What of a store can be used though something in it is wrong, and what is left out."""

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from typing import Final

from prepstore.amounts import Kind
from prepstore.cell_types import LotState, fold
from prepstore.columns import NAME_COLUMN, TABLES
from prepstore.problems import Problem, ProblemsError
from prepstore.tables.crosscheck import Checked, checked
from prepstore.written import WrittenRow, WrittenSet

CAN_BE_LEFT_BLANK: Final[Mapping[str, Set[str]]] = {
    "items": {
        "cas", "hazards", "minimum", "restock_to", "storage", "notes", "peroxide_test",
        "peroxide_test_sealed", "retired", "most_held", "group", "acid_or_base",
    },
    "solutions": {
        "hazards", "minimum", "restock_to", "make_within", "storage", "instructions", "retired",
        "minutes_to_make", "pH", "flash_point", "viscosity",
    },
    "practicals": {"notes", "retired"},
    "timetable": {"room"},
    "waste_streams": {"list_code", "notes", "empty_containers"},
    "suppliers": {"delivery_charge", "minimum_order", "retired"},
}  # fmt: skip
"""Cells that no amount and no day of use rests on: a wrong one is read as blank."""

_WHOLE: Final[Mapping[str, tuple[str, str]]] = {
    "solution_parts": ("solution", "solutions"),
    "practical_lines": ("practical", "practicals"),
}
"""Tables of which one wrong row spoils all of one name, and the table that has the name."""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """The mistakes of a store, and the names of what is not counted because of them, by table."""

    problems: tuple[Problem, ...]
    names: Mapping[str, Sequence[str]]


NOTHING_LEFT_OUT: Final = LeftOut((), {})


def as_far_as_right(written: WrittenSet) -> tuple[Checked, LeftOut]:
    """Return the facts of a store without what is wrong and what rests on it.

    Raises:
        ProblemsError: A mistake stands in no row that could be left out.
    """
    result = checked(written)
    told = result.problems
    names: dict[str, list[str]] = {}
    while result.problems:
        smaller = _without(written, result.problems)
        if smaller == written:
            raise ProblemsError(result.problems)
        for table, name in _gone(written, smaller):
            names.setdefault(table, []).append(name)
        written, result = smaller, checked(smaller)
    return result, LeftOut(told, names) if told else NOTHING_LEFT_OUT


def lots_to_mend(written: WrittenSet) -> tuple[list[WrittenRow], list[Problem]]:
    """Return the rows of lots with each cell that is wrong left blank, and what is wrong with them.

    Such a lot stands in quarantine: nothing is taken from it until somebody has corrected it.
    """
    problems = [problem for problem in checked(written).problems if problem.place.table == "stock"]
    wrong: dict[int, set[str]] = {}
    for problem in problems:
        wrong.setdefault(problem.place.row, set()).add(problem.place.column)
    may_be_mended = TABLES["stock"].columns.keys() - {"lot", "item"}
    mended = {number for number, columns in wrong.items() if columns <= may_be_mended}
    units = {row.key[0]: row.text.get("unit", "") for row in written.get("items", ())}
    units |= {row.key[0]: str(Kind.VOLUME) for row in written.get("solutions", ())}
    rows = [
        _to_mend(row, wrong[row.number], units) if row.number in mended else row
        for row in written.get("stock", ())
    ]
    return rows, [problem for problem in problems if problem.place.row in mended]


def _to_mend(row: WrittenRow, columns: Set[str], units: Mapping[str, str]) -> WrittenRow:
    cells = {**_blanked(row, columns).text, "state": str(LotState.QUARANTINE)}
    if "amount" in columns:
        # What the lot holds is known from its movements, so that any amount will do.
        cells["amount"] = f"0 {units.get(fold(row.text.get('item', '')), '')}"
    if "expiry" in columns:
        # A solution that does not keep must have one; long over, nobody uses what is in there.
        cells["expiry"] = "1900-01-01"
    return replace(row, text=cells)


def _without(written: WrittenSet, problems: Iterable[Problem]) -> WrittenSet:
    """Return rows without those that are wrong; a cell that may be blank is blank instead."""
    wrong: dict[tuple[str, int], set[str]] = {}
    for problem in problems:
        wrong.setdefault((problem.place.table, problem.place.row), set()).add(problem.place.column)
    spoilt = {(table, fold(name)) for table, name in _spoilt(written, wrong.keys())}
    return {
        table: [
            _blanked(row, wrong.get((table, row.number), set()))
            for row in rows
            if not _is_gone(row, wrong.get((table, row.number)), spoilt)
        ]
        for table, rows in written.items()
    }


def _blanked(row: WrittenRow, columns: Set[str]) -> WrittenRow:
    if not columns:
        return row
    return replace(row, text={name: cell for name, cell in row.text.items() if name not in columns})


def _is_gone(row: WrittenRow, wrong: Set[str] | None, spoilt: Set[tuple[str, str]]) -> bool:
    column, table = _WHOLE.get(row.table, (NAME_COLUMN.get(row.table, ""), row.table))
    if (table, fold(row.text.get(column, ""))) in spoilt:
        return True
    return wrong is not None and not wrong <= CAN_BE_LEFT_BLANK.get(row.table, set())


def _spoilt(written: WrittenSet, wrong: Set[tuple[str, int]]) -> Iterator[tuple[str, str]]:
    """Yield table and name of each solution and practical that has a wrong row elsewhere."""
    for table, (column, of) in _WHOLE.items():
        for row in written.get(table, ()):
            if (table, row.number) in wrong:
                yield of, row.text.get(column, "")
    lost = {
        fold(row.text.get("item", ""))
        for row in written.get("replacements", ())
        if ("replacements", row.number) in wrong
    }
    after = {
        fold(row.text.get("item", "")): fold(row.text.get("replaced_by", ""))
        for row in written.get("replacements", ())
    }
    for row in written.get("practical_lines", ()) if lost else ():
        if lost.intersection(_chain(fold(row.text.get("item", "")), after)):
            yield "practicals", row.text.get("practical", "")


def _chain(name: str, after: Mapping[str, str]) -> list[str]:
    """Return the folded names that a script's item goes through; a circle once round."""
    names: list[str] = []
    while name not in names:
        names.append(name)
        name = after.get(name, name)
    return names


def _gone(written: WrittenSet, smaller: WrittenSet) -> Iterator[tuple[str, str]]:
    """Yield table and name of each row with a name of its own that is in the first set alone."""
    for table, rows in written.items():
        left = {row.number for row in smaller[table]}
        for row in rows:
            if row.number not in left and table not in _WHOLE:
                yield table, ", ".join(row.text.get(one, "") for one in TABLES[table].key)
