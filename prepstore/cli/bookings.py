"""The way of every recording: decided from the store as it stands, shown, agreed, recorded."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import typer

from prepstore.cli.booking_options import Hand

if TYPE_CHECKING:
    import datetime

    from sqlalchemy import Connection

    from prepstore.ledger.place import Place
    from prepstore.movements import Booking
    from prepstore.report.booking_list import LotsBefore
    from prepstore.shelf.shelf import Department, Shelf

    Decide = Callable[[Shelf, datetime.date], Booking]
    """From the shelf and the day to what is recorded."""

    DecideWhole = Callable[[Department, datetime.date], Booking]
    """The same from all facts of the store."""


@dataclass(frozen=True, slots=True)
class Decided:
    """What is to be recorded, and what is said of it.

    `shown` are the lines that say what it is; `remarks` what is told beside. `doubts` are sentences
    on what may be a slip. At a terminal a person is asked `question` first, or where there are
    doubts; elsewhere it is recorded at once and the doubts are warnings.
    `on` is the day on which it happened, where what was read says it and the person did not.
    """

    booking: "Booking"
    shown: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    question: str | None = None
    on: "datetime.date | None" = None


def book(place: "Place", hand: Hand, decide: "Decide") -> None:
    """Record what is decided from the shelf as it stands, and say what it was.

    Args:
        place: The store.
        hand: Who records it, of which day, and whether it is a trial.
        decide: What happens; called while nobody else can record anything.

    Raises:
        RefusedError: It cannot be done; nothing is recorded.
        StoreError, ProblemsError: There is no store, or what it holds is wrong.
    """
    from prepstore.cli.rooms import shelf_in, today

    day = hand.on or today()

    def decided(connection: "Connection") -> Decided:
        shelf = shelf_in(connection)
        return of_lots(shelf, decide(shelf, day), day)

    record_decided(place, hand, decided)


def book_from_all(place: "Place", hand: Hand, decide: "DecideWhole") -> None:
    """Record what is decided from all facts of the store, as a plan is; else as `book`."""
    from prepstore.cli.rooms import department_in, today

    day = hand.on or today()

    def decided(connection: "Connection") -> Decided:
        department = department_in(connection, day)
        return of_lots(department, decide(department, day), day)

    record_decided(place, hand, decided)


def of_lots(
    shelf: "Shelf",
    booking: "Booking",
    day: "datetime.date",
    before: "LotsBefore | None" = None,
) -> Decided:
    """Return a booking with what is said of it: a line for each thing; doubts.

    Args:
        shelf: The lots as they are.
        booking: What is to be recorded.
        day: The day on which it happened.
        before: The lots that it touches, where the shelf may lack some of them.
    """
    from prepstore.cli.rooms import today
    from prepstore.report.booking_list import LotsBefore, booking_lines, to_be_opened
    from prepstore.report.container_list import container_lines, lacking_lines, levels_of
    from prepstore.report.label_list import label_change_lines
    from prepstore.report.name_list import name_change_lines
    from prepstore.report.order_list import order_change_lines
    from prepstore.report.timetable_list import timetable_change_lines
    from prepstore.shelf.doubts import doubts_of, remarks_on
    from prepstore.shelf.shelf import Department

    shown = (
        *booking_lines(booking, before or LotsBefore.of(shelf)),
        *order_change_lines(booking.orders),
        *(name_change_lines(booking.names, shelf) if isinstance(shelf, Department) else ()),
        *timetable_change_lines(booking.timetable),
        *container_lines(booking.containers, levels_of(shelf.stores)),
        *label_change_lines(booking.labels),
    )
    remarks = (
        *to_be_opened(booking, shelf),
        *lacking_lines(booking.containers, shelf.stores),
        *remarks_on(booking, shelf, day, today()),
    )
    return Decided(booking, shown, remarks, tuple(doubts_of(booking, shelf, day, today())))


def record_decided(
    place: "Place", hand: Hand, decide: Callable[["Connection"], Decided]
) -> int | None:
    """Record what is decided from what the store holds, and say what it was.

    It is decided and recorded in one transaction. Where a person has to be asked in between, it is
    decided again afterwards, and recorded only if it is still what was shown.

    Returns:
        The number of the entry; None where nothing was recorded.

    Raises:
        RefusedError, StoreError, ProblemsError: As `book`.
    """
    from prepstore.ledger.store import reading

    if hand.is_trial:
        with reading(place) as connection:
            made = decide(connection)
            _show(made)
            _say_last(made, None)
            return None
    try:
        made, entry = _decide_and_record(place, hand, decide, agreed=None)
    except _MustAsk as asked:
        if not _is_agreed(asked.made):
            typer.echo("Nothing was recorded.")
            return None
        made, entry = _decide_and_record(place, hand, decide, agreed=asked.made)
    else:
        _show(made)
    _say_last(made, entry)
    return entry


def _say_last(made: Decided, entry: int | None) -> None:
    for line in made.remarks:
        typer.echo(line)
    if entry is None:
        typer.echo("Nothing was recorded.")
    else:
        typer.echo(recorded_line(entry))


def recorded_line(entry: int) -> str:
    """Return the line that says under which entry something was recorded, and how it is undone."""
    return f"Recorded as entry {entry}. To undo it: prepstore stock undo {entry}"


class _MustAsk(Exception):  # noqa: N818 - no error: it only leaves the transaction
    """A person is to be asked before what was decided is recorded."""

    def __init__(self, made: Decided) -> None:
        super().__init__()
        self.made = made


def _decide_and_record(
    place: "Place",
    hand: Hand,
    decide: Callable[["Connection"], Decided],
    *,
    agreed: Decided | None,
) -> tuple[Decided, int | None]:
    """Decide and record in one transaction; nothing is recorded where there is nothing."""
    from prepstore.cli.recording import record_checked
    from prepstore.cli.rooms import signed
    from prepstore.ledger.store import all_or_nothing
    from prepstore.problems import RefusedError

    def act(connection: "Connection") -> tuple[Decided, int | None]:
        made = decide(connection)
        if agreed is None and _has_to_be_asked(made, hand):
            raise _MustAsk(made)
        if agreed is not None and made.booking != agreed.booking:
            what = (
                "Something else was recorded in the meantime, so the result would now be different."
            )
            raise RefusedError(f"{what} Give the command again.")
        if made.booking.is_empty:
            return made, None
        return made, record_checked(connection, made.booking, signed(hand.by, hand.on or made.on))

    return all_or_nothing(place, act, may_make=False)


def _has_to_be_asked(made: Decided, hand: Hand) -> bool:
    if made.booking.is_empty or hand.is_agreed or not sys.stdin.isatty():
        return False
    return made.question is not None or bool(made.doubts)


def _is_agreed(made: Decided) -> bool:
    _show(made)
    return typer.confirm(made.question or "Record it anyway?")


def _show(made: Decided) -> None:
    for line in made.shown:
        typer.echo(line)
    for doubt in made.doubts:
        typer.echo(doubt, err=True)
