"""The command that takes what was recorded in a copy into the store that it is a copy of."""

import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import DryRun, Hand
from prepstore.cli.outcome import FAULT, answers
from prepstore.cli.store_copy import named_place
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.copied import CopiedEntry
    from prepstore.ledger.place import Place
    from prepstore.movements import Booking, Signed
    from prepstore.shelf.taking_in import Here


@answers
def take_in(
    context: typer.Context,
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="The copy in which others went on meanwhile.")
    ],
    *,
    as_far_as_it_fits: Annotated[
        bool,
        typer.Option("--as-far-as-it-fits", help="Take in the rest where something does not fit."),
    ] = False,
    dry_run: DryRun = False,
) -> None:
    """Take in what was recorded in a copy of the store, in its order, and nothing twice.

    Each entry keeps its day and who recorded it. What no longer fits is named, and then nothing is
    taken in.

    Example: prepstore store take-in tuesday.db
    """
    from prepstore.cli.progress import at_work
    from prepstore.problems import RefusedError

    store: Store = context.obj
    copy = named_place(file)
    if copy == store.place:
        raise RefusedError(f"{copy} is the store itself. Name the copy in which others went on.")
    with at_work("Comparing the histories"):
        in_common = _in_common(store.place, copy)
    task = _Task(store.place, copy, in_common, as_far_as_it_fits, dry_run)
    try:
        made = _in_one_go(task, agreed=None)
    except _Trial as trial:
        made = trial.made
        _show(made, task)
        if dry_run or not typer.confirm(_question(made)):
            typer.echo("Nothing was taken in.")
            return
        made = _in_one_go(task, agreed=made)
    else:
        _show(made, task)
    _say_last(made, task)


@dataclass(frozen=True, slots=True)
class _Task:
    """What is taken into what; up to which entry both have the same history; and how far to go."""

    place: "Place"
    copy: "Place"
    in_common: int
    as_far_as_it_fits: bool
    is_trial: bool


@dataclass(frozen=True, slots=True)
class _Made:
    """What is taken in: the lines that say so, entries by number, and what does not fit and why."""

    shown: tuple[str, ...]
    refused: tuple[str, ...]
    entries: tuple[int, ...]
    already: int
    apart: tuple[str, ...] = ()

    @property
    def unfit(self) -> int:
        """Return how many entries do not fit."""
        return len({line.partition(":")[0] for line in self.refused})


class _Trial(Exception):  # noqa: N818 - no error: it only leaves the transaction
    """What was done is to be shown first, or only to be shown."""

    def __init__(self, made: _Made) -> None:
        super().__init__()
        self.made = made


def _in_common(place: "Place", copy: "Place") -> int:
    """Return the last entry that a store and its copy have in common.

    Raises:
        RefusedError: There is none, so it is no copy of this store.
    """
    from prepstore.ledger.common_history import last_in_common
    from prepstore.ledger.store import reading
    from prepstore.problems import RefusedError

    with reading(place) as store, reading(copy) as kept:
        found = last_in_common(store, kept)
    if not found:
        raise RefusedError(
            f"{copy} is no copy of {place}: the two have no entry of their histories in common."
        )
    return found


def _in_one_go(task: _Task, agreed: _Made | None) -> _Made:
    """Take in all that fits in one transaction.

    Raises:
        _Trial: A person is to be asked first, or it is only shown.
        RefusedError: Something does not fit, and it was not said to go on; or it is no longer what
            was agreed to.
    """
    from prepstore.ledger.store import all_or_nothing, reading
    from prepstore.problems import RefusedError

    left_out: dict[int, tuple[str, ...]] = {}

    def act(connection: "Connection") -> _Made:
        with reading(task.copy) as kept:
            made = _taken_in(connection, kept, task, left_out)
        if made.refused and not task.as_far_as_it_fits:
            raise RefusedError(*made.refused, _nothing_taken(made))
        if agreed is None and made.entries and (task.is_trial or sys.stdin.isatty()):
            raise _Trial(made)
        if agreed is not None and (made.shown, made.refused) != (agreed.shown, agreed.refused):
            what = (
                "Something else was recorded in the meantime, so the result would now be different."
            )
            raise RefusedError(f"{what} Give the command again.")
        return made

    while True:
        try:
            return all_or_nothing(task.place, act, may_make=False)
        except _UnfitError as error:
            left_out[error.entry] = error.sentences


class _UnfitError(Exception):
    """What an entry led to would be refused by a load: all is to be done again without it."""

    def __init__(self, entry: int, sentences: tuple[str, ...]) -> None:
        super().__init__()
        self.entry = entry
        self.sentences = sentences


def _nothing_taken(made: _Made) -> str:
    number = made.unfit
    what = "1 entry does" if number == 1 else f"{number} entries do"
    rest = len(made.entries)
    said = f"{what} not fit."
    if not rest:
        return f"{said} Record by hand what is true of it."
    others = "the other one" if rest == 1 else f"the other {rest}"
    return f"{said} To take in {others} all the same: --as-far-as-it-fits"


def _taken_in(
    connection: "Connection",
    kept: "Connection",
    task: _Task,
    left_out: Mapping[int, tuple[str, ...]],
) -> _Made:
    """Take in each entry that fits, in the running transaction.

    Raises:
        _UnfitError: One does not fit as only its recording shows; some are `left_out` for that.
    """
    from prepstore.cli.rooms import signed
    from prepstore.copied import key_of
    from prepstore.ledger.copied_entries import copied_entries, taken_in_before
    from prepstore.problems import RefusedError

    before = taken_in_before(connection)
    known: dict[int, int] = {}
    shown: list[str] = []
    refused: list[str] = []
    taken: list[int] = []
    now = signed().at_utc
    for entry in copied_entries(kept, task.in_common):
        if key_of(entry.signed) in before:
            known[entry.number] = before[key_of(entry.signed)]
            continue
        called = f"Entry {entry.number} of {task.copy.name}, {entry.signed.on_day}"
        marked = replace(entry.signed, taken_in=now, taken_from=task.copy.name)
        try:
            _refuse_what_is_left_out(entry.number, left_out)
            booking, lines = _decided(connection, entry, known, task.in_common)
        except RefusedError as error:
            refused += [f"{called}: {sentence}" for sentence in error.sentences]
        else:
            known[entry.number] = _recorded(connection, entry.number, booking, marked)
            taken.append(known[entry.number])
            shown += [f"{called}, {entry.signed.by}", *(f"  {line}" for line in lines)]
    return _Made(
        tuple(shown),
        tuple(refused),
        tuple(taken),
        already=len(known) - len(taken),
        apart=tuple(_tables_apart(connection, kept)),
    )


def _refuse_what_is_left_out(entry: int, left_out: Mapping[int, tuple[str, ...]]) -> None:
    from prepstore.problems import RefusedError

    if entry in left_out:
        raise RefusedError(*left_out[entry])


def _decided(
    connection: "Connection", entry: "CopiedEntry", numbers: dict[int, int], in_common: int
) -> "tuple[Booking, tuple[str, ...]]":
    """Return what an entry of a copy is in the store, and the lines that say so.

    Raises:
        RefusedError: It does not fit.
    """
    from prepstore.cli.stock_undo import undone_in
    from prepstore.problems import RefusedError
    from prepstore.shelf.taking_in import as_recorded, misfits
    from prepstore.shelf.undoing import undone_entry

    undoes = undone_entry(entry.booking.reason or "")
    if undoes:
        target = undoes if undoes <= in_common else numbers.get(undoes)
        if target is None:
            raise RefusedError(f"It undoes entry {undoes} of the copy, which is not taken in.")
        decided = undone_in(connection, target, Hand(None, entry.signed.on_day, is_trial=True))
        return decided.booking, decided.shown
    here = _here(connection, entry, numbers, in_common)
    reasons = misfits(entry, here)
    if reasons:
        raise RefusedError(*reasons)
    booking = as_recorded(entry.booking)
    return booking, tuple(_lines(connection, booking))


def _recorded(connection: "Connection", entry: int, booking: "Booking", marked: "Signed") -> int:
    """Record an entry of the copy; return its number here."""
    from prepstore.cli.recording import record_checked
    from prepstore.problems import RefusedError

    try:
        return record_checked(connection, booking, marked)
    except RefusedError as error:
        raise _UnfitError(entry, error.sentences) from error


def _here(
    connection: "Connection", entry: "CopiedEntry", numbers: dict[int, int], in_common: int
) -> "Here":
    from prepstore.cell_types import fold
    from prepstore.columns import NAME_COLUMN
    from prepstore.ledger.copied_entries import past_of
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.lots import lots_there
    from prepstore.ledger.reserved_labels import reserved_labels
    from prepstore.ledger.timetable import session_cells
    from prepstore.shelf.taking_in import Here

    booking = entry.booking
    labels = {*booking.lots, *(fold(one.label) for one in booking.labels)}
    sessions = booking.sessions
    tables = {one.table for one in booking.names}
    rows = written_rows(connection, *sorted(tables)) if tables else {}
    cells = session_cells(connection, sessions)
    return Here(
        now=past_of(connection, booking),
        lots=lots_there(connection, sorted(labels)),
        sessions={name: of for name, of in cells.items() if of},
        names={
            table: frozenset(fold(row.text.get(NAME_COLUMN[table], "")) for row in of)
            for table, of in rows.items()
        },
        reserved=reserved_labels(connection).of,
        taken_in=numbers,
        in_common=in_common,
    )


def _lines(connection: "Connection", booking: "Booking") -> Iterator[str]:
    """Yield what an entry did, in the words with which it was recorded."""
    from prepstore.cli.rooms import department_in, today
    from prepstore.ledger.copied_entries import past_of
    from prepstore.ledger.lots import lot_cells
    from prepstore.report.booking_list import LotsBefore, booking_lines
    from prepstore.report.container_list import container_lines
    from prepstore.report.label_list import label_change_lines
    from prepstore.report.name_list import name_change_lines
    from prepstore.report.order_list import order_change_lines
    from prepstore.report.timetable_list import timetable_change_lines

    now = past_of(connection, booking)
    cells = lot_cells(connection, booking.lots)
    items = {lot: row.get("item", "") for lot, row in cells.items()}
    yield from booking_lines(booking, LotsBefore(now.lots, items))
    yield from order_change_lines(booking.orders)
    if booking.names:
        yield from name_change_lines(booking.names, department_in(connection, today()))
    yield from timetable_change_lines(booking.timetable)
    yield from container_lines(booking.containers, now.containers)
    yield from label_change_lines(booking.labels)


def _tables_apart(connection: "Connection", kept: "Connection") -> Iterator[str]:
    """Yield the tables of which rows differ though no history says so, as after a load."""
    from prepstore.columns import TABLES
    from prepstore.ledger.load import written_rows

    tables = [name for name in TABLES if name not in ("stock", "on_order")]
    here, there = written_rows(connection, *tables), written_rows(kept, *tables)
    for name in tables:
        mine, yours = (
            {tuple(sorted(row.text.items())) for row in rows[name]} for rows in (here, there)
        )
        if mine != yours:
            yield name


def _show(made: _Made, task: _Task) -> None:
    for line in made.shown:
        typer.echo(line)
    for sentence in made.refused:
        typer.echo(sentence, err=True)
    if made.apart:
        typer.echo(
            f"Not the same in {task.copy.name} and in the store: {', '.join(made.apart)}. What is "
            "loaded as tables is not taken in; load it into the store if it is to hold there.",
            err=True,
        )


def _question(made: _Made) -> str:
    number = len(made.entries)
    return "Take this entry in?" if number == 1 else f"Take these {number} entries in?"


def _say_last(made: _Made, task: _Task) -> None:
    if not made.entries:
        again = f" {made.already} entries of it were taken in before." if made.already else ""
        if made.already == 1:
            again = " 1 entry of it was taken in before."
        typer.echo(f"{task.copy} holds nothing new, so nothing was taken in.{again}")
    else:
        first, last = made.entries[0], made.entries[-1]
        number = len(made.entries)
        what = (
            f"1 entry, as entry {first}"
            if number == 1
            else f"{number} entries, as {first} to {last}"
        )
        typer.echo(f"Taken in from {task.copy}: {what}.")
        typer.echo(f"To undo one, the last one first: prepstore stock undo {last}")
    if made.refused:
        what = "1 entry does" if made.unfit == 1 else f"{made.unfit} entries do"
        typer.echo(f"Left out: {what} not fit. Record by hand what is true of it.", err=True)
        raise typer.Exit(FAULT)
