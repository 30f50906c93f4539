"""Written rows to facts: every cell by its column's reader, every mistake noted."""

from collections.abc import Iterable, Mapping
from typing import Any

from prepstore import facts
from prepstore.columns import SETTING_FIELD, TABLES, Column, columns_of
from prepstore.facts import Inventory, Settings, fold
from prepstore.problems import Problem, at, nearest
from prepstore.tables.cells import READERS
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow, WrittenSet

Known = list[tuple[WrittenRow, Any]]
"""The facts of one table, each beside the row it was read from."""


def understand(written: WrittenSet) -> tuple[dict[str, Known], list[Problem]]:
    """Return the facts of each table beside their rows, and every cell that cannot be read.

    A row with a mistake yields no fact, so that one mistake is told once; a cell that the reader
    of files has told already is passed over.
    """
    problems: list[Problem] = []
    known = {
        name: [
            (row, fact)
            for row in written.get(name, ())
            if (fact := _fact(table.fact, row, problems)) is not None
        ]
        for name, table in TABLES.items()
    }
    return known, problems


def _fact(fact: type, row: WrittenRow, problems: list[Problem]) -> Any:  # noqa: ANN401 - any fact
    """Return the fact that a row states, or None after noting what is wrong with it."""
    values: dict[str, Any] = {}
    found = len(problems)
    for column in columns_of(fact).values():
        text = row.text.get(column.name)
        if column.name in row.told:
            continue
        if text is not None:
            _read(column, row, text, values, problems)
        elif column.required:
            problems.append(
                at(row, column.name, "cell-missing", f"{column.name} is blank.", _expected(column))
            )
    return fact(**values) if len(problems) == found and not row.told else None


def _read(
    column: Column, row: WrittenRow, text: str, values: dict[str, Any], problems: list[Problem]
) -> None:
    try:
        values[column.field] = READERS[column.reads](text)
    except UnreadableError as error:
        problems.append(at(row, column.name, error.code, error.what, error.remedy))


def _expected(column: Column) -> str:
    example = f" For example: {column.example}." if column.example else ""
    return f"It must be given. {column.about}{example}"


def inventory_of(known: Mapping[str, Known], settings: Settings) -> Inventory:
    """Gather the facts of all tables by folded name."""

    def by_name(table: str, column: str) -> dict[str, Any]:
        return {fold(getattr(fact, column)): fact for _, fact in known[table]}

    return Inventory(
        items=by_name("items", "item"),
        solutions=by_name("solutions", "solution"),
        parts=_grouped(known["solution_parts"], "solution"),
        practicals=by_name("practicals", "practical"),
        lines=_grouped(known["practical_lines"], "practical"),
        sessions=tuple(fact for _, fact in known["timetable"]),
        lots=tuple(fact for _, fact in known["stock"]),
        suppliers=by_name("suppliers", "supplier"),
        packs=by_name("packs", "pack"),
        on_order=tuple(fact for _, fact in known["on_order"] if fact.packs),
        streams=by_name("waste_streams", "stream"),
        replacements=by_name("replacements", "item"),
        settings=settings,
    )


def _grouped(rows: Known, column: str) -> dict[str, tuple[Any, ...]]:
    groups: dict[str, list[Any]] = {}
    for _, fact in rows:
        groups.setdefault(fold(getattr(fact, column)), []).append(fact)
    return {name: tuple(group) for name, group in groups.items()}


def read_settings(rows: Iterable[tuple[WrittenRow, Any]]) -> tuple[Settings, list[Problem]]:
    """Return the settings, defaults where none is given, and what is wrong with them."""
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    columns = columns_of(facts.Settings)
    for row, setting in rows:
        field = SETTING_FIELD.get(fold(setting.setting))
        if field is None:
            expected = nearest(fold(setting.setting), SETTING_FIELD)
            problems.append(
                at(row, "setting", "setting-unknown", "is not a setting that is known.", expected)
            )
        elif setting.value is not None:
            try:
                values[field] = READERS[columns[field].reads](setting.value)
            except UnreadableError as error:
                problems.append(at(row, "value", error.code, error.what, error.remedy))
    return Settings(**values), problems
