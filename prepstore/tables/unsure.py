"""What cannot be trusted because of a mistake that is told already, so that each is told once."""

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from typing import Final

from prepstore.cell_types import fold
from prepstore.columns import NAME_COLUMN, TABLES
from prepstore.problems import Problem
from prepstore.tables.understand import Known
from prepstore.written import WrittenRow, WrittenSet

WHOLE_TABLE: Final = frozenset(
    {
        "csv-separator",
        "csv-unreadable",
        "file-unreadable",
        "header-missing",
        "not-utf-8",
        "sheet-too-large",
    }
)
"""The problems of a table of which no row is read."""


@dataclass(frozen=True, slots=True)
class Unsure:
    """Tables of which a name may be missing, and solutions and practicals with unread rows."""

    tables: frozenset[str]
    solutions: frozenset[str]
    practicals: frozenset[str]


def unsure_about(
    written: WrittenSet, known: Mapping[str, Known], of_files: Iterable[Problem]
) -> Unsure:
    """Return what other mistakes leave open, given what is wrong with the files themselves."""
    unread = _unread(written, list(of_files))
    return Unsure(
        tables=unread | {table for table in NAME_COLUMN if _misses_a_name(table, written)},
        solutions=_with_unread_rows("solution_parts", "solution", written, known)
        | (_names("solutions", written) if "solution_parts" in unread else frozenset()),
        practicals=_with_unread_rows("practical_lines", "practical", written, known)
        | (_names("practicals", written) if "practical_lines" in unread else frozenset()),
    )


def _unread(written: WrittenSet, of_files: list[Problem]) -> frozenset[str]:
    """Return the tables that the set has and that could not be read, or may go by another name."""
    unread = {problem.place.table for problem in of_files if problem.code in WHOLE_TABLE}
    if any(problem.code == "table-unknown" for problem in of_files):
        unread |= {table for table in TABLES if not written.get(table)}
    return frozenset(unread)


def _misses_a_name(table: str, written: WrittenSet) -> bool:
    column = NAME_COLUMN[table]
    return any(column in row.told or column not in row.text for row in written.get(table, []))


def _names(table: str, written: WrittenSet) -> frozenset[str]:
    return frozenset(_name(row, NAME_COLUMN[table]) for row in written.get(table, []))


def _with_unread_rows(
    table: str, column: str, written: WrittenSet, known: Mapping[str, Known]
) -> frozenset[str]:
    """Return the names whose rows are not all understood; all names where a row hides its own."""
    understood = {id(row) for row, _ in known[table]}
    rows: Set[str] = {
        "" if column in row.told else _name(row, column)
        for row in written.get(table, [])
        if id(row) not in understood
    }
    everything = _names("solutions" if column == "solution" else "practicals", written)
    return everything if "" in rows else frozenset(rows)


def _name(row: WrittenRow, column: str) -> str:
    return fold(row.text.get(column, ""))
