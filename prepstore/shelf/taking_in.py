"""What was recorded in a copy of a store, taken into the store: what still fits, and what not.

An entry fits where what it rests on is in the store as it was in the copy. What only adds or takes
away fits as long as there is enough; what says how something stands afterwards, as a count does,
fits only where nothing has happened to that since.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from prepstore.amounts import of_billionths, plain
from prepstore.cell_types import fold
from prepstore.columns import TABLES
from prepstore.containers import ContainerWhat
from prepstore.copied import CopiedEntry, Past
from prepstore.lot_labels import LabelChange, LabelWhat
from prepstore.movements import Booking, Movement, NameWhat, OrderWhat, What
from prepstore.shelf.undoing import LABEL, RELABELLED, usual_left_out

Cells = Mapping[str, Mapping[str, str]]

_SAYS_WHAT_IS_LEFT: Final = frozenset({What.COUNTED, What.CORRECTED})
_SAYS_WHAT_IS_IN_IT: Final = frozenset({ContainerWhat.MEASURED, ContainerWhat.COUNTED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """What a store says of the things that an entry of a copy touches.

    `lots` and `sessions` are the cells of their rows, by folded label and name, those of lots that
    are there; `names` are the names of each table, folded; `reserved` are labels, folded.
    `taken_in` are the numbers that entries of the copy have in the store, those from before it was
    copied left out; these go up to `in_common`.
    """

    now: Past
    lots: Cells
    sessions: Cells
    names: Mapping[str, frozenset[str]]
    reserved: Mapping[str, LabelChange]
    taken_in: Mapping[int, int]
    in_common: int

    def entry_of(self, entry: int | None) -> int | None:
        """Return the number that an entry of the copy has in the store; None where it has none."""
        if entry is None or entry <= self.in_common:
            return entry
        return self.taken_in.get(entry)


def as_recorded(booking: Booking) -> Booking:
    """Return what a copy recorded with what its history does not say: why a lot is gone by it."""
    moved_on = [
        one
        for one in booking.movements
        if one.change is not None and one.change.column == LABEL and one.item is None
    ]
    return replace(booking, gone={fold(one.lot): RELABELLED for one in moved_on})


def misfits(entry: CopiedEntry, here: Here) -> list[str]:
    """Return a sentence for each reason why an entry of a copy no longer fits; none where it does.

    Args:
        entry: What the copy recorded; nothing that undoes something else.
        here: How the store stands.
    """
    rests_on = list(dict.fromkeys(_rests_on(entry, here)))
    if rests_on:
        return [f"It rests on entry {one} of the copy, which is not taken in." for one in rests_on]
    return [
        *dict.fromkeys(
            (
                *_of_lots(entry, here),
                *_of_sessions(entry, here),
                *_of_orders(entry, here),
                *_of_names(entry, here),
                *_of_timetable(entry, here),
                *_of_containers(entry, here),
                *_of_labels(entry, here),
            )
        )
    ]


def _rests_on(entry: CopiedEntry, here: Here) -> Iterator[int]:
    """Yield the entries of the copy with which something began that the store does not have."""
    before = entry.before
    for began in (before.lots_began, before.containers_began, before.sessions_began):
        for number in began.values():
            if here.entry_of(number) is None:
                yield number


# Lots


def _of_lots(entry: CopiedEntry, here: Here) -> Iterator[str]:
    held = dict(here.now.lots)
    there = dict(entry.before.lots)
    cells = {lot: dict(row) for lot, row in here.lots.items()}
    for one in entry.booking.movements:
        lot = fold(one.lot)
        if one.item is not None:
            yield from _label_taken(one, entry, here)
            continue
        if lot not in cells or _is_another(lot, entry, here):
            yield f"Lot {one.lot} is not there any more."
            continue
        label = cells[lot]["lot"]
        left = held.get(lot, 0) + one.billionths
        if _is_told(one, there.get(lot, 0)) and held.get(lot, 0) != there.get(lot, 0):
            yield (
                f"Lot {label} holds {_amount(held.get(lot, 0), one)} here and held "
                f"{_amount(there.get(lot, 0), one)} in the copy when it was {one.what}."
            )
        elif left < 0:
            yield (
                f"Lot {label} holds {_amount(held.get(lot, 0), one)} here, and "
                f"{_amount(-one.billionths, one)} were {one.what}."
            )
        yield from _cell_misfits(one, label, cells[lot])
        held[lot], there[lot] = left, there.get(lot, 0) + one.billionths


def _is_told(one: Movement, before: int) -> bool:
    """Return whether a movement says what a lot holds then, and not only what came or went."""
    is_rest = one.what is What.DISCARDED and before + one.billionths == 0
    return bool(one.what in _SAYS_WHAT_IS_LEFT and (one.billionths or one.change is None)) or (
        is_rest and one.billionths != 0
    )


def _is_another(lot: str, entry: CopiedEntry, here: Here) -> bool:
    began = here.entry_of(entry.before.lots_began.get(lot))
    return began != here.now.lots_began.get(lot)


def _amount(billionths: int, one: Movement) -> str:
    return f"{plain(of_billionths(billionths))} {one.unit}"


def _label_taken(one: Movement, entry: CopiedEntry, here: Here) -> Iterator[str]:
    lot = fold(one.lot)
    reserved, was = here.reserved.get(lot), entry.booking.new_lots
    label = next((row["lot"] for row in was if fold(row["lot"]) == lot), one.lot)
    if lot in here.lots:
        yield f"There is a lot {here.lots[lot]['lot']} already, and the copy gave the label again."
    elif reserved is not None and fold(reserved.solution) != fold(one.item or ""):
        yield f"The label {label} is reserved for {reserved.solution}."


def _cell_misfits(one: Movement, label: str, cells: dict[str, str]) -> Iterator[str]:
    change = one.change
    if change is None or change.column not in TABLES["stock"].columns:
        return
    now = cells.get(change.column, "")
    if usual_left_out(change.column, now) != usual_left_out(change.column, change.was):
        yield (
            f"The {change.column} of lot {label} is {_said(now)} here and was {_said(change.was)} "
            f"in the copy when it became {_said(change.now)}."
        )
    cells[change.column] = change.now


def _said(cell: str) -> str:
    return f"'{cell}'" if cell else "blank"


# Sessions, orders, names


def _of_sessions(entry: CopiedEntry, here: Here) -> Iterator[str]:
    for use in {one.session: one for one in entry.booking.uses}.values():
        row = here.sessions.get(fold(use.session))
        if row is None:
            yield f"Session {use.session} is not in the timetable."
        elif here.now.sessions.get(use.session) != entry.before.sessions.get(use.session):
            is_booked = here.now.sessions.get(use.session, (0, 0))[1] > 0
            what = "is booked out already" if is_booked else "has other uses recorded"
            yield f"Session {use.session} {what}."
        elif row.get("date") != use.session_date.isoformat():
            yield f"Session {use.session} is on {row.get('date')}, no longer {use.session_date}."


def _of_orders(entry: CopiedEntry, here: Here) -> Iterator[str]:
    for one in entry.booking.orders:
        key = fold(one.reference), fold(one.pack), one.due.isoformat()
        now, then = here.now.orders.get(key, 0), entry.before.orders.get(key, 0)
        if now != then:
            order = f"pack {one.pack}, due {one.due}"
            order += f" ({one.reference})" if one.reference else ""
            happened = "ordered" if one.what is OrderWhat.PLACED else f"{one.what}"
            yield (
                f"Of {order}, {now} are on order here and {then} were in the copy when it was "
                f"{happened}."
            )


def _of_names(entry: CopiedEntry, here: Here) -> Iterator[str]:
    for one in entry.booking.names:
        names = here.names.get(one.table, frozenset())
        if fold(one.was) not in names:
            yield f"There is no '{one.was}' in {one.table} any more."
        elif one.what is NameWhat.RENAMED and fold(one.now) in names - {fold(one.was)}:
            yield f"There is a '{one.now}' in {one.table} already."


def _of_timetable(entry: CopiedEntry, here: Here) -> Iterator[str]:
    cells = {name: dict(row) for name, row in here.sessions.items()}
    for one in entry.booking.timetable:
        of = cells.setdefault(fold(one.session), {})
        now = of.get(one.column, "")
        if now != one.was:
            if one.column == "session" and not one.was:
                yield f"There is a session {now} already."
                return
            yield (
                f"The {one.column} of session {one.session} is {_said(now)} here and was "
                f"{_said(one.was)} in the copy when it became {_said(one.now)}."
            )
        of[one.column] = one.now


# Containers and labels


def _of_containers(entry: CopiedEntry, here: Here) -> Iterator[str]:
    states, levels = dict(here.now.states), dict(here.now.containers)
    was_states, was_levels = dict(entry.before.states), dict(entry.before.containers)
    empty = dict(here.now.empty)
    for one in entry.booking.containers:
        label = one.container
        empty[one.stream] = empty.get(one.stream, 0) + one.empty
        if empty[one.stream] < 0:
            yield f"There is no empty container of {one.stream} left."
            return
        if not label:
            continue
        now, was = states.get(label, ""), was_states.get(label, "")
        if now != was:
            yield (
                f"Waste container {label} is {now or 'not there'} here and was "
                f"{was or 'not there'} in the copy when it was {one.what}."
            )
            return
        tells = one.what in _SAYS_WHAT_IS_IN_IT
        if tells and levels.get(label, 0) != was_levels.get(label, 0):
            yield f"Something else went into waste container {label} before it was {one.what}."
        states[label] = was_states[label] = now if one.now is None else one.now
        for of in (levels, was_levels):
            of[label] = of.get(label, 0) + one.billionths
        if levels[label] < 0:
            yield f"Waste container {label} holds less here than was taken out of it."
            return


def _of_labels(entry: CopiedEntry, here: Here) -> Iterator[str]:
    for one in entry.booking.labels:
        label = fold(one.label)
        is_reserved = label in here.reserved
        if one.what is LabelWhat.RESERVED and (is_reserved or label in here.lots):
            yield f"The label {one.label} is taken."
        elif one.what is LabelWhat.FREED and not is_reserved:
            yield f"The label {one.label} is not reserved any more."
