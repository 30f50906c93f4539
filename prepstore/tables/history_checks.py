"""What must hold within a history: numbers, entries, what is undone, signs, balances."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from prepstore.amounts import LARGEST_AMOUNT, in_billionths, of_billionths, plain
from prepstore.cell_types import fold
from prepstore.history import HISTORY
from prepstore.movements import NameWhat, OrderWhat, What
from prepstore.problems import Problem, at
from prepstore.tables.container_history import container_problems
from prepstore.tables.history_cells import any_day
from prepstore.tables.understand import Known
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow, WrittenSet

_LONGEST_NUMBER: Final = 18
EXPORT_AGAIN: Final = "Export the store again, and leave the tables of the history as they are."


@dataclass(frozen=True, slots=True)
class ReadHistory:
    """The rows of a history as they were written, and those that could be read beside their facts.

    The facts of a table stand in the order of their numbers.
    """

    written: WrittenSet
    known: Mapping[str, Known]

    def is_whole(self, table: str) -> bool:
        """Return whether every row of a table could be read."""
        return len(self.known[table]) == len(self.written.get(table, ()))

    def numbers(self, table: str) -> set[int]:
        """Return the numbers of a table's rows, those that could not be read included."""
        column = HISTORY[table].key[0]
        cells = (row.text.get(column, "") for row in self.written.get(table, ()))
        return {int(cell) for cell in cells if cell.isdecimal() and len(cell) <= _LONGEST_NUMBER}


def history_problems(history: ReadHistory) -> Iterator[Problem]:
    """Yield what is wrong with a history by itself, whatever the tables of the set say."""
    for check in _CHECKS:
        yield from check(history)


_NUMBERED: Final = (
    "entries", "movements", "session_uses", "order_changes", "name_changes", "timetable_changes",
    "container_changes", "label_changes",
)  # fmt: skip


def _twice(history: ReadHistory) -> Iterator[Problem]:
    for table in _NUMBERED:
        column = HISTORY[table].key[0]
        seen: dict[str, int] = {}
        for row in history.written.get(table, ()):
            number = row.text.get(column, "").strip()
            if number in seen:
                what = f"is the number of row {seen[number]} already."
                yield at(row, column, "number-twice", what, EXPORT_AGAIN)
            elif number:
                seen[number] = row.number


def _gaps(history: ReadHistory) -> Iterator[Problem]:
    """Yield a problem for each row before which others are missing.

    Entries may have gaps: what belonged to one that is lost is missing among the others.
    """
    for table in _NUMBERED[1:]:
        column = HISTORY[table].key[0]
        before = 0
        for row, fact in history.known[table] if history.is_whole(table) else ():
            number = getattr(fact, column)
            if number > before + 1:
                lost = str(before + 1) if number == before + 2 else f"{before + 1} to {number - 1}"
                what = f"comes after {before}: {lost} {'is' if lost.isdecimal() else 'are'}"
                yield at(row, column, "number-gap", f"{what} missing.", EXPORT_AGAIN)
            before = number


def _entries(history: ReadHistory) -> Iterator[Problem]:
    there = history.numbers("entries")
    used: set[str] = set()
    for table in _NUMBERED[1:]:
        used |= {row.text.get("entry", "") for row in history.written.get(table, ())}
        for row, fact in history.known[table]:
            if fact.entry not in there:
                what = "is not the number of an entry."
                yield at(row, "entry", "entry-unknown", what, EXPORT_AGAIN)
    for row, fact in history.known["entries"]:
        if str(fact.entry) not in used:
            what = "has nothing that was recorded with it."
            yield at(row, "entry", "entry-empty", what, "Take the row out.")


@dataclass(frozen=True, slots=True)
class _Undoing:
    """A table whose rows undo others: its number, its figure, and what both must be of."""

    table: str
    number: str
    figure: str
    of: str


_UNDOING: Final = (
    _Undoing("movements", "movement", "change", "lot"),
    _Undoing("order_changes", "order_change", "packs", "pack"),
    _Undoing("container_changes", "container_change", "change", "stream"),
)


def _reversals(history: ReadHistory) -> Iterator[Problem]:
    for undoing in _UNDOING:
        facts = {getattr(fact, undoing.number): fact for _, fact in history.known[undoing.table]}
        there = history.numbers(undoing.table)
        seen: dict[int, int] = {}
        for row, fact in history.known[undoing.table]:
            if fact.reverses is None:
                continue
            if fact.reverses not in there or fact.reverses >= getattr(fact, undoing.number):
                what = f"is not the number of an earlier {undoing.number.replace('_', ' ')}."
                yield at(row, "reverses", "reverses-unknown", what, EXPORT_AGAIN)
            elif fact.reverses in seen:
                what = f"is undone by row {seen[fact.reverses]} already."
                yield at(row, "reverses", "reversed-twice", what, EXPORT_AGAIN)
            elif (other := facts.get(fact.reverses)) and not _is_opposite(fact, other, undoing):
                what = f"changed another {undoing.of} or by another amount than is undone here."
                yield at(row, "reverses", "reversal-differs", what, EXPORT_AGAIN)
            seen.setdefault(fact.reverses, row.number)


def _is_opposite(one: Any, other: Any, undoing: _Undoing) -> bool:  # noqa: ANN401 - two facts
    is_of_one = fold(getattr(one, undoing.of)) == fold(getattr(other, undoing.of))
    return is_of_one and getattr(one, undoing.figure) == -getattr(other, undoing.figure)


_SIGNS: Final[Mapping[str, tuple[Callable[[int], bool], str]]] = {
    **dict.fromkeys(
        (What.USED, What.DISCARDED), (lambda change: change <= 0, "takes away and never adds")
    ),
    **dict.fromkeys(
        (What.RECEIVED, What.MADE, What.RETURNED),
        (lambda change: change >= 0, "adds and never takes away"),
    ),
}
"""What a change must be of what is called so, and in words."""

_ORDER_SIGNS: Final[Mapping[str, tuple[Callable[[int], bool], str]]] = {
    OrderWhat.PLACED: (lambda packs: packs > 0, "adds at least one pack"),
    **dict.fromkeys(
        (OrderWhat.ARRIVED, OrderWhat.CANCELLED),
        (lambda packs: packs < 0, "takes at least one pack off"),
    ),
}


def _signs(history: ReadHistory) -> Iterator[Problem]:
    for table, column, signs in (
        ("movements", "change", _SIGNS),
        ("order_changes", "packs", _ORDER_SIGNS),
    ):
        for row, fact in history.known[table]:
            is_right, words = signs.get(fact.what, (None, ""))
            if is_right is not None and not is_right(getattr(fact, column)):
                what = f"cannot be: what is {fact.what} {words}."
                yield at(row, column, "sign-wrong", what, EXPORT_AGAIN)


_MOST: Final = in_billionths(LARGEST_AMOUNT)


def _balances(history: ReadHistory) -> Iterator[Problem]:
    """Yield a problem where a lot falls below nothing, or rises above all bounds, the first time.

    A lot of which a row could not be read is left out.
    """
    told = lots_in_doubt(history)
    held: Counter[str] = Counter()
    for row, fact in history.known["movements"] if "" not in told else ():
        lot = fold(fact.lot)
        held[lot] += fact.change
        if lot in told or 0 <= held[lot] <= _MOST:
            continue
        told.add(lot)
        if held[lot] < 0:
            short = f"{plain(of_billionths(-held[lot]))} {fact.unit}"
            what = f"leaves lot {fact.lot} with {short} less than 0."
            yield at(row, "change", "below-nothing", what, EXPORT_AGAIN)
        else:
            what = f"leaves lot {fact.lot} with more than a store can hold."
            yield at(row, "change", "number-too-large", what, EXPORT_AGAIN)


def lots_in_doubt(history: ReadHistory) -> set[str]:
    """Return the folded labels of lots of which a movement could not be read.

    A blank one among them means that any lot may be.
    """
    read = {(row.source, row.number) for row, _ in history.known["movements"]}
    unread = (row for row in history.written.get("movements", ()) if not _is_among(row, read))
    return {fold(row.text.get("lot", "")) for row in unread}


def _is_among(row: WrittenRow, read: set[tuple[str, int]]) -> bool:
    return (row.source, row.number) in read


def _uses(history: ReadHistory) -> Iterator[Problem]:
    """Yield a problem for each item of which a session used less than nothing."""
    used: Counter[tuple[str, str]] = Counter()
    last: dict[tuple[str, str], WrittenRow] = {}
    for row, fact in history.known["session_uses"] if history.is_whole("session_uses") else ():
        used[fact.session, fact.item] += fact.used
        last[fact.session, fact.item] = row
    for (session, item), figure in used.items():
        if figure < 0:
            what = f"leaves session {session} with less than 0 used of {item}."
            yield at(last[session, item], "used", "below-nothing", what, EXPORT_AGAIN)


def _containers(history: ReadHistory) -> Iterator[Problem]:
    if history.is_whole("container_changes"):
        yield from container_problems(history.known["container_changes"])


def _days_of_retirement(history: ReadHistory) -> Iterator[Problem]:
    for row, fact in history.known["name_changes"]:
        if fact.what is not NameWhat.RENAMED:
            try:
                any_day(fact.now)
            except UnreadableError as error:
                yield at(row, "now", error.code, error.what, error.remedy)


_CHECKS: Final[Sequence[Callable[[ReadHistory], Iterator[Problem]]]] = (
    _twice,
    _gaps,
    _entries,
    _reversals,
    _signs,
    _balances,
    _uses,
    _containers,
    _days_of_retirement,
)
