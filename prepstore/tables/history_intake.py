"""A set of tables and the history beside them: all of it right, or every mistake told."""

from collections.abc import Sequence
from dataclasses import dataclass

from prepstore.cell_types import fold
from prepstore.columns import TABLES
from prepstore.history import HISTORY, History
from prepstore.movements import Movement
from prepstore.problems import Problem, ProblemsError
from prepstore.tables.crosscheck import checked
from prepstore.tables.history_agreement import Beside, disagreements
from prepstore.tables.history_cells import HISTORY_READERS
from prepstore.tables.history_checks import ReadHistory, history_problems
from prepstore.tables.intake import NOTHING_HELD, Intake, by_place, intake, opening_amounts
from prepstore.tables.understand import Known, understand
from prepstore.written import WrittenRow, WrittenSet


@dataclass(frozen=True, slots=True)
class MovedIn:
    """What a new store holds once a set and its history are loaded."""

    intake: Intake
    former_lots: list[WrittenRow]
    history: History


def history_intake(new: WrittenSet, of_files: Sequence[Problem]) -> MovedIn:
    """Return what a store that holds nothing holds after a set and its history are loaded.

    Args:
        new: Rows of the set and of its history.
        of_files: What is wrong with the files themselves.

    Raises:
        ProblemsError: Anything is wrong; it carries every mistake.
    """
    tables = {name: rows for name, rows in new.items() if name in TABLES}
    taken, opening, problems = _tables(tables, of_files)
    known, unreadable = understand(new, HISTORY, HISTORY_READERS)
    read = ReadHistory(new, {name: _in_order(name, rows) for name, rows in known.items()})
    problems += unreadable
    problems += history_problems(read)
    by_lot = {fold(movement.lot): movement for movement in opening}
    problems += disagreements(Beside(read, tables, by_lot))
    if problems or taken is None:
        raise ProblemsError(sorted(dict.fromkeys(problems), key=by_place))
    facts = {name: tuple(fact for _, fact in rows) for name, rows in read.known.items()}
    history = History(**{name: rows for name, rows in facts.items() if name != "former_lots"})
    return MovedIn(taken, [row for row, _ in known["former_lots"]], history)


def _tables(
    tables: WrittenSet, of_files: Sequence[Problem]
) -> tuple[Intake | None, list[Movement], list[Problem]]:
    """Return what the tables come to, the amounts of their lots, and what is wrong with them."""
    try:
        taken = intake(tables, {}, of_files, held=NOTHING_HELD, count=False)
    except ProblemsError as error:
        # As many amounts as can be told are compared with the history all the same.
        materials = checked(tables, of_files).materials
        amounts = list(opening_amounts(tables.get("stock", ()), materials))
        return None, amounts, list(error.problems)
    return taken, list(taken.movements), []


def _in_order(table: str, rows: Known) -> Known:
    number = HISTORY[table].key[0]
    return rows if table == "former_lots" else sorted(rows, key=lambda one: getattr(one[1], number))
