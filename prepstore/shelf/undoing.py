"""A mistake undone: movements that reverse an entry's.

What is undone is read from the rows as they were written, so that what no command can read any more
can still be undone.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from prepstore.amounts import LARGEST_AMOUNT, Amount, of_billionths, plain
from prepstore.cell_types import LotState, fold
from prepstore.containers import RecordedContainer
from prepstore.lot_labels import LabelChange
from prepstore.movements import (
    AS_TYPED,
    Booking,
    Change,
    Movement,
    NameChange,
    OrderChange,
    OrderWhat,
    Recorded,
    RecordedName,
    RecordedOrder,
    SessionUse,
    TimetableChange,
    What,
)
from prepstore.problems import RefusedError
from prepstore.recorded import standing
from prepstore.shelf.containers_undone import (
    NO_CONTAINER_CHANGES,
    EntryOfContainers,
    changes_reversed,
    containers_in_the_way,
)
from prepstore.shelf.deliveries import no_longer_on_order
from prepstore.shelf.using import quoted

UNDONE: Final = "undone"
"""Why a lot is gone of which every movement has been undone."""

RELABELLED: Final = "relabelled"
"""Why a lot is gone of which everything is under another label."""

LABEL: Final = "label"
"""What movements call the change of a lot's label, which is no cell of either lot's row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What was recorded in one go: movements, session uses, changes of orders, names, containers.

    `of_session` are all uses of its session, those of later entries too, and `later_of_session` the
    later entries of it that count, in the order of recording; `of_lots` the whole
    history of the lots that it touched, in the order of recording; `cells` what their rows say now,
    by folded label; `of_orders` all changes of the packs that it touched.
    """

    number: int
    movements: Sequence[Recorded]
    uses: Sequence[SessionUse]
    of_session: Sequence[SessionUse]
    later_of_session: Sequence[int] = ()
    of_lots: Sequence[Recorded]
    cells: Mapping[str, Mapping[str, str]]
    orders: Sequence[RecordedOrder]
    of_orders: Sequence[RecordedOrder]
    names: Sequence[RecordedName]
    of_containers: EntryOfContainers = NO_CONTAINER_CHANGES


def undone(
    entry: Entry,
    names: tuple[NameChange, ...] = (),
    timetable: tuple[TimetableChange, ...] = (),
    labels: tuple[LabelChange, ...] = (),
) -> Booking:
    """Return what reverses an entry: every amount, changed cell, session's use, order and name.

    Args:
        entry: What is to be undone, and how it stands now.
        names: What takes its changes of names back.
        timetable: What takes its changes of sessions back.
        labels: What takes back the labels that it reserved or freed.

    Raises:
        RefusedError: It is undone already, or something has happened since that stands in the
            way; a sentence for each reason.
    """
    _refuse_what_has_no_way_back(entry)
    lots = {
        fold(one.movement.lot): _OfLot(entry, fold(one.movement.lot)) for one in entry.movements
    }
    reasons = [reason for lot in lots.values() for reason in lot.in_the_way()]
    reasons += _later_of_its_session(entry)
    reasons += _less_than_nothing_used(entry)
    reasons += no_longer_on_order(entry.orders, entry.of_orders)
    reasons += containers_in_the_way(entry.of_containers)
    if reasons:
        raise RefusedError(*dict.fromkeys(reasons))
    # The last first, so that cells changed twice go back step by step.
    back = [_reversed(lots[fold(one.movement.lot)], one) for one in entry.movements[::-1]]
    return Booking(
        # What comes back before what goes, so that no lot falls below nothing on the way.
        movements=tuple(sorted(back, key=lambda movement: movement.billionths < 0)),
        uses=tuple(_use_reversed(use) for use in entry.uses),
        orders=tuple(_order_reversed(one) for one in entry.orders),
        names=names,
        timetable=timetable,
        labels=labels,
        containers=changes_reversed(entry.of_containers),
        session=entry.uses[0].session if entry.uses else None,
        reason=_reason(entry.number),
        amounts={label: lot.amount_then() for label, lot in lots.items() if lot.is_told()},
        gone={label: lot.why_gone_then() for label, lot in lots.items()},
    )


def typed_before(history: Sequence[Recorded], undone_entry: int) -> str:
    """Return the words that a lot's row says its amount in once an entry is undone, as typed.

    They are those that were typed last of all that counts then, whatever has come and gone since:
    the export says digits where they no longer come to what the lot holds. Blank where nobody
    typed any.

    Args:
        history: All movements of the lot, in the order of recording.
        undone_entry: The entry that is undone.
    """
    left = standing(_with_undone(history, [one for one in history if one.entry == undone_entry]))
    told = (one.movement for one in left if one is left[0] or one.movement.what in AS_TYPED)
    typed = [movement.written for movement in told if movement.written]
    return typed[-1] if typed else ""


def _with_undone(history: Sequence[Recorded], mine: Sequence[Recorded]) -> list[Recorded]:
    """Return a history as it will be once some of its movements are undone."""
    last = history[-1].number if history else 0
    return [
        *history,
        *(
            replace(one, number=number, movement=replace(one.movement, reverses=one.number))
            for number, one in enumerate(mine, start=last + 1)
        ),
    ]


def why_gone(history: Sequence[Recorded]) -> str:
    """Return why a lot is gone after all that happened to it; blank where it is there.

    Args:
        history: All movements of the lot, in the order of recording.
    """
    left = standing(history)
    if not left:
        return UNDONE
    change = left[-1].movement.change
    is_other = change is not None and change.column == LABEL and not left[-1].movement.item
    return RELABELLED if is_other else ""


def later_entries(entries: Iterable[tuple[int, str]], number: int) -> list[int]:
    """Return the entries that count and were recorded after one, of all that belong to one thing.

    An entry and the one that undid it do not count. One that undid an earlier one does, and so does
    one that brought something back: each of them is what stands in the way, and can be undone.

    Args:
        entries: Number and reason of each, in the order of recording; an undoing says by its
            reason what it undoes.
        number: The entry.
    """
    counting: list[int] = []
    for entry, reason in entries:
        undoes = undone_entry(reason)
        if undoes in counting:
            counting.remove(undoes)
        elif entry > number:
            counting.append(entry)
    return counting


def undone_entry(reason: str) -> int:
    """Return the entry that a reason says is undone; 0 where it says nothing of the kind."""
    words, _, last = reason.rpartition(" ")
    return int(last) if f"{words} " == _UNDOES and last.isdecimal() else 0


_UNDOES: Final = "undoes entry "


def _reason(number: int) -> str:
    return f"{_UNDOES}{number}"


def _refuse_what_has_no_way_back(entry: Entry) -> None:
    number = entry.number
    undoings = _undoings(entry)
    if undoings:
        last = undoings[-1]
        what = f"Entry {number} was undone by entry {last} already. To get it back"
        if len(undoings) % 2 == 0:
            what = f"Entry {number} was undone, and entry {last} brought it back. To undo it again"
        raise RefusedError(f"{what}: prepstore stock undo {last}")
    if any(one.movement.what is What.OPENING_AMOUNT for one in entry.movements):
        what = f"Entry {number} is a load of tables with new lots, which cannot be undone."
        raise RefusedError(f"{what} Count or discard the lots that are wrong.")
    if entry.of_containers.is_opening:
        what = f"Entry {number} is how waste containers began, which cannot be undone."
        raise RefusedError(f"{what} Measure what is in them: prepstore waste measure")


def _undoings(entry: Entry) -> list[int]:
    """Return the entries that undid an entry, that undoing, and so on, one after the other."""
    of_movements = {one.movement.reverses: one for one in entry.of_lots}
    of_orders = {one.change.reverses: one for one in entry.of_orders}
    of_containers = {one.change.reverses: one for one in entry.of_containers.history}
    chains = (
        *(_chain(one.number, of_movements) for one in entry.movements),
        *(_chain(one.number, of_orders) for one in entry.orders),
        *(_chain(one.number, of_containers) for one in entry.of_containers.changes),
    )
    return next(filter(None, chains), [])


def _chain(
    number: int, reversed_by: Mapping[int | None, Recorded | RecordedOrder | RecordedContainer]
) -> list[int]:
    entries = []
    while (other := reversed_by.get(number)) is not None:
        entries.append(other.entry)
        number = other.number
    return entries


class _OfLot:
    """What an entry did to one lot, and what has happened to that since."""

    def __init__(self, entry: Entry, lot: str) -> None:
        self._entry = entry
        self._cells = entry.cells[lot]
        self._history = [one for one in entry.of_lots if fold(one.movement.lot) == lot]
        self._mine = [one for one in entry.movements if fold(one.movement.lot) == lot]
        last = self._mine[-1].number
        self._later = [one for one in self._history if one.number > last]

    @property
    def label(self) -> str:
        """Return the lot's label as it is spelled."""
        return self._cells["lot"]

    def in_the_way(self) -> Iterator[str]:
        """Yield a sentence for each reason why what the entry did cannot go back."""
        anew = [one for one in standing(self._later) if one.movement.item is not None]
        if anew:
            yield f"Another lot has the label {self.label} now. {_undo_first(anew)}"
            return
        cells = [reason for one in self._mine if (reason := self._cell_in_the_way(one))]
        yield from cells
        amount = self._amount_in_the_way()
        if amount:
            yield amount
        elif not cells and self._begins() and (since := standing(self._later)):
            yield f"Lot {self.label} has changed since it came. {_undo_first(since)}"

    def _begins(self) -> bool:
        """Return whether the entry is that with which the lot begins."""
        counting = standing(self._history)
        return bool(counting) and counting[0].number == self._mine[0].number

    def _cell_in_the_way(self, one: Recorded) -> str:
        """Return why a changed cell cannot go back; blank where nothing stands in the way."""
        change = one.movement.change
        if change is None or change.column == LABEL:
            return ""
        now = usual_left_out(change.column, self._cells.get(change.column, ""))
        if now == usual_left_out(change.column, change.now):
            return ""
        since = [
            other
            for other in standing(self._later)
            if other.movement.change is not None and other.movement.change.column == change.column
        ]
        is_now = f"'{now}'" if now else "blank"
        what = f"The {change.column} of lot {self.label} is {is_now} now, no longer '{change.now}'."
        return f"{what} {_undo_first(since)}"

    def _amount_in_the_way(self) -> str:
        """Return why the amount cannot go back; blank where nothing stands in the way."""
        after = self._after()
        since = [other for other in standing(self._later) if other.movement.billionths < 0]
        if after < 0:
            lacks = f"{plain(of_billionths(-after))} {self._mine[0].movement.unit}"
            return (
                f"Lot {self.label} would hold {lacks} less than 0, since some of it has gone "
                f"since. {_undo_first(since)}"
            )
        if of_billionths(after) >= LARGEST_AMOUNT:
            return f"Lot {self.label} would hold more than any store. Count it instead."
        return ""

    def _after(self) -> int:
        held = sum(one.movement.billionths for one in self._history)
        return held - sum(one.movement.billionths for one in self._mine)

    def is_told(self) -> bool:
        """Return whether the entry changed the amount or told it, be it what was there."""
        mine = (one.movement for one in self._mine)
        return any(movement.billionths or movement.change is None for movement in mine)

    def amount_then(self) -> str:
        """Return what the row keeps as its amount: the words typed before, else digits."""
        typed = typed_before(self._history, self._entry.number)
        unit = self._mine[0].movement.unit
        return typed or str(Amount(of_billionths(self._after()), unit))

    def why_gone_then(self) -> str:
        """Return why the lot is gone once the entry is undone; blank where it is there."""
        return why_gone(_with_undone(self._history, self._mine))


def _undo_first(since: Sequence[Recorded]) -> str:
    """Return which entry stands in the way, the latest one; how to find it where none is known."""
    if not since:
        return "See what has happened since: prepstore stock history"
    return f"Undo entry {since[-1].entry} first: prepstore stock undo {since[-1].entry}"


def _reversed(lot: _OfLot, one: Recorded) -> Movement:
    change = one.movement.change
    back = change and Change(column=change.column, was=change.now, now=change.was)
    return Movement(
        lot=lot.label,
        what=What.UNDONE,
        billionths=-one.movement.billionths,
        unit=one.movement.unit,
        change=back,
        stream=one.movement.stream,
        order_line=one.movement.order_line,
        reverses=one.number,
    )


_USUAL: Final[Mapping[str, str]] = {"state": str(LotState.USABLE), "containers": "1"}
"""What a blank cell means, so that it is the same whether written or left out."""


def usual_left_out(column: str, cell: str) -> str:
    """Return what a cell of a lot's row says, blank where it says what a blank one means."""
    return "" if fold(cell) == _USUAL.get(column) else cell


def _use_reversed(use: SessionUse) -> SessionUse:
    return replace(use, planned=-use.planned, used=-use.used, lacked=-use.lacked)


def _order_reversed(one: RecordedOrder) -> OrderChange:
    change = one.change
    return replace(change, what=OrderWhat.UNDONE, packs=-change.packs, reverses=one.number)


def _later_of_its_session(entry: Entry) -> Iterator[str]:
    """Yield why a session's booking, or the undoing of one, cannot go back before what came later.

    Brought back beside a later booking, it would count the session twice.
    """
    if any(use.planned for use in entry.uses) and entry.later_of_session:
        last = entry.later_of_session[-1]
        yield (
            f"Session {entry.uses[0].session} has more recorded by entry {last}. "
            f"Undo that first: prepstore stock undo {last}"
        )


def _less_than_nothing_used(entry: Entry) -> Iterator[str]:
    """Yield a sentence for each item of which more would have come back than was used."""
    total: dict[str, int] = {}
    for use in entry.of_session:
        total[fold(use.item)] = total.get(fold(use.item), 0) + use.used
    for use in entry.uses:
        if total[fold(use.item)] < use.used:
            yield (
                f"Session {use.session} brought {use.item} back later. Undo that entry first: "
                f"prepstore stock history --session {quoted(use.session)}"
            )
