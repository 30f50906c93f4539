"""The lots as they stood at the end of a day that is past."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from prepstore.amounts import of_billionths, plain
from prepstore.columns import TABLES
from prepstore.movements import AS_TYPED, Recorded, What
from prepstore.shelf.lot_prices import ItemOf
from prepstore.shelf.undoing import why_gone
from prepstore.written import STORE, WrittenRow

_COLUMNS: Final = tuple(TABLES["stock"].columns)


@dataclass(frozen=True, slots=True)
class Lots:
    """The rows of lots, and what each holds in billionths, by folded label."""

    rows: Sequence[WrittenRow]
    balances: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Since:
    """What has happened to lots since a day.

    `histories` are all movements, those before the day too, of each lot to which anything happened
    after it, in the order of recording, by folded label; `gone` the cells of those of them that
    are there no longer. `first_day` is that on which the store began.
    """

    histories: Mapping[str, Sequence[Recorded]]
    gone: Mapping[str, Mapping[str, str]]
    first_day: date


def lots_on(day: date, now: Lots, since: Since, item_of: ItemOf) -> Lots:
    """Return the lots that were there at the end of a day, as their rows stood then.

    A movement counts on the day of which it is, and one that undoes another on its own day, so
    that this is what a list made on that day showed. Items bear the names that they have now.

    Args:
        day: The day.
        now: The lots as they are now.
        since: What has happened since.
        item_of: What is in the lot of a movement.
    """
    rows = [*now.rows, *_rows_of(since.gone)]
    came = {row.key[0]: row.text.get("received", "") for row in rows}
    histories = {
        label: _there_before(history, since.first_day, came.get(label, ""))
        for label, history in since.histories.items()
    }
    then = [
        _then(row, histories[row.key[0]], day, item_of) if row.key[0] in histories else row
        for row in rows
    ]
    held = {label: _held(history, day) for label, history in histories.items()}
    return Lots([row for row in then if row is not None], {**now.balances, **held})


def _there_before(history: Sequence[Recorded], first_day: date, came: str) -> list[Recorded]:
    """Return a history in which what the store began with is of the day on which it came."""
    since = date.fromisoformat(came) if came else date.min
    return [
        replace(one, on_day=min(since, first_day))
        if one.movement.what is What.OPENING_AMOUNT and one.on_day == first_day
        else one
        for one in history
    ]


def _rows_of(gone: Mapping[str, Mapping[str, str]]) -> Iterator[WrittenRow]:
    for cells in gone.values():
        yield WrittenRow("stock", 0, STORE, cells)


def _held(history: Iterable[Recorded], day: date) -> int:
    return sum(one.movement.billionths for one in history if one.on_day <= day)


def _then(
    row: WrittenRow, history: Sequence[Recorded], day: date, item_of: ItemOf
) -> WrittenRow | None:
    """Return a lot's row as it stood at the end of a day; None where the lot was not there."""
    before = [one for one in history if one.on_day <= day]
    begun = [one for one in before if _begins(one, history)]
    if not begun or why_gone(before):
        return None
    of_it = [one for one in history if one.number >= begun[-1].number]
    again = [one for one in of_it[1:] if _begins(one, history)]
    if again:  # the label is another lot's now, whose row says nothing of this one
        of_it = [one for one in of_it if one.number < again[0].number]
        cells = {"lot": row.text["lot"], "item": item_of(begun[-1])}
    else:
        cells = dict(row.text)
    changes = [one for one in of_it if one.movement.change is not None]
    for column in _COLUMNS:
        was = _cell_then(changes, column, day)
        if was is not None:
            cells[column] = was
    cells["amount"] = _amount_then(of_it, _held(history, day), day)
    text = {column: cell for column, cell in cells.items() if cell}
    return WrittenRow(row.table, row.number, row.source, text)


def _begins(one: Recorded, history: Sequence[Recorded]) -> bool:
    return one.movement.item is not None or one is history[0]


def _cell_then(history: Iterable[Recorded], column: str, day: date) -> str | None:
    """Return what a cell said at the end of a day; None where nothing has changed it since."""
    found: str | None = None
    for one in history:
        change = one.movement.change
        if change is None or change.column != column:
            continue
        if one.on_day <= day:
            found = change.now
        elif found is None:
            found = change.was
    return found


def _amount_then(history: Sequence[Recorded], held: int, day: date) -> str:
    """Return how a row said what the lot held: as it was typed last, where that was all of it."""
    counted = [
        one
        for one in history
        if one.on_day <= day and (one.movement.billionths or one.movement.written)
    ]
    if counted and _says_all(counted[-1], counted, history[0]):
        return counted[-1].movement.written
    return f"{plain(of_billionths(held))} {history[0].movement.unit}"


def _says_all(last: Recorded, counted: Iterable[Recorded], first: Recorded) -> bool:
    """Return whether what was typed last is all that the lot held once everything had happened."""
    is_all = last is first or last.movement.what in AS_TYPED
    is_of_last_day = all(one.on_day <= last.on_day for one in counted)
    return is_all and is_of_last_day and bool(last.movement.written)
