"""The command for what was used: of a lot, of an item, or by a session."""

import datetime
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import (
    By,
    DryRun,
    Hand,
    On,
    Reason,
    Used,
    amounts_by_item,
    written_amount,
)
from prepstore.cli.bookings import Decided, of_lots, record_decided
from prepstore.cli.outcome import FAULT, answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.facts import Session
    from prepstore.movements import Booking
    from prepstore.shelf.session_use import RealUse
    from prepstore.shelf.shelf import Department, Shelf


@answers
def use(
    context: typer.Context,
    *,
    what: Annotated[
        str | None, typer.Argument(metavar="LOT_OR_ITEM", help="A lot, or an item.")
    ] = None,
    amount: Annotated[str | None, typer.Argument(help="How much was used.")] = None,
    session: Annotated[
        str | None,
        typer.Option("--session", help="The session; alone, it books out all that was set out."),
    ] = None,
    reason: Reason = None,
    used: Used = None,
    back: Annotated[
        list[str] | None,
        typer.Option("--back", metavar="ITEM=AMOUNT", help="What came back; may be repeated."),
    ] = None,
    as_far_as_there_is: Annotated[
        bool,
        typer.Option("--as-far-as-there-is", help="Leave out what the lots do not have."),
    ] = False,
    until: Annotated[
        datetime.date | None,
        typer.Option(
            "--until",
            parser=read_day,
            metavar="DATE",
            help="Book out, as planned, all sessions up to this day that are not booked out.",
        ),
    ] = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record what was used: from a lot, of an item (what expires first), or by a session.

    Example: prepstore stock use --session W05-Mon-1 --back "acetone=200 mL"
    """
    store: Store = context.obj
    if until is not None:
        others = {
            "a lot or an item": what,
            "--session": session,
            "--used": used,
            "--back": back,
            "--on": on,
        }
        typed = [word for word, value in others.items() if value]
        if typed:
            raise typer.BadParameter(
                f"--until books whole sessions as planned, each on its own day: leave out "
                f"{', '.join(typed)}."
            )
        _book_until(store, until, Hand(by, None, dry_run), _Whole(as_far_as_there_is, reason))
        return
    if what is None:
        if session is None:
            raise typer.BadParameter("Name a lot or an item and an amount, or give --session.")
        told = _Told(session, used or [], back or [], as_far_as_there_is, reason)
        hand = Hand(by, on, dry_run)
        record_decided(store.place, hand, lambda connection: _session_use(connection, told, hand))
        return
    if amount is None:
        raise typer.BadParameter(f'Say how much was used, such as: use {what} "250 mL"')
    if used or back or as_far_as_there_is:
        raise typer.BadParameter("--used, --back and --as-far-as-there-is go with --session alone.")

    taken = _Taken(what, amount, session, reason)
    record_decided(
        store.place, Hand(by, on, dry_run), lambda connection: _use_of(connection, on, taken)
    )


@dataclass(frozen=True, slots=True)
class _Taken:
    """What was taken: a lot or an item, how much, for which session, and why."""

    what: str
    amount: str
    session: str | None
    reason: str | None


def _use_of(connection: "Connection", on: datetime.date | None, taken: _Taken) -> Decided:
    """Return the use of a lot or an item, for a session or another purpose."""
    from prepstore.cli.rooms import department_in, shelf_in, today
    from prepstore.shelf.session_use import further_use, session_named

    day = on or today()
    if taken.session is None:
        shelf = shelf_in(connection)
        return of_lots(shelf, _taken(shelf, taken, day), day)
    _ask_ahead_of(connection, taken.session)
    department = department_in(connection, day)
    session = session_named(department.timetable, taken.session)
    booking = further_use(department, session, _taken(department, taken, day))
    return of_lots(department, _with_waste(connection, department, session, booking, day), day)


def _with_waste(
    connection: "Connection",
    department: "Department",
    session: "Session",
    booking: "Booking",
    day: datetime.date,
) -> "Booking":
    """Return what a session used with what of it goes into waste containers, in one booking."""
    from dataclasses import replace

    from prepstore.ledger.containers import recorded_containers
    from prepstore.shelf.session_waste import poured_by_session

    before = recorded_containers(connection, session=session.session)
    poured = poured_by_session(department, session, booking.uses, before, day)
    return replace(booking, containers=poured)


def _taken(shelf: "Shelf", taken: _Taken, day: datetime.date) -> "Booking":
    from prepstore.movements import Booking
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.using import used_of_item, used_of_lot

    if shelf.is_lot(taken.what):
        held = shelf.lot(taken.what)
        wanted = quantity(held.material, written_amount(taken.amount))
        return Booking(movements=(used_of_lot(held, wanted),), reason=taken.reason)
    material = shelf.material(taken.what)
    wanted = quantity(material, written_amount(taken.amount))
    return Booking(movements=used_of_item(shelf, material, wanted, day), reason=taken.reason)


@dataclass(frozen=True, slots=True)
class _Told:
    """What is told of a session: its name, what of it was used or came back, how far to go, why."""

    session: str
    used: list[str]
    back: list[str]
    as_far_as_there_is: bool
    reason: str | None


@dataclass(frozen=True, slots=True)
class _Whole:
    """How sessions are booked out that are over: as far as there is or not at all, and why."""

    as_far_as_there_is: bool
    reason: str | None


def _book_until(store: Store, last: datetime.date, hand: Hand, whole: _Whole) -> None:
    """Book out each session up to a day that is over, one after the other.

    Raises:
        typer.Exit: Some could not be booked out; why is said, and the others are.
    """
    from dataclasses import replace

    from prepstore.problems import RefusedError

    refused: list[str] = []
    sessions = _over_until(store, last)
    for name, day in sessions:
        told = _Told(name, [], [], whole.as_far_as_there_is, whole.reason)
        of_day = replace(hand, on=day)
        typer.echo(f"{name}, {day}")
        try:
            record_decided(store.place, of_day, partial(_session_use, told=told, hand=of_day))
        except RefusedError as error:
            refused += [f"{name}: {sentence}" for sentence in error.sentences]
    if not sessions:
        typer.echo(f"No session up to {last} is left to book out. Nothing was changed.")
    for sentence in refused:
        typer.echo(sentence, err=True)
    if refused:
        raise typer.Exit(FAULT)


def _over_until(store: Store, last: datetime.date) -> list[tuple[str, datetime.date]]:
    """Return name and day of each session up to a day that is not booked out, in order.

    Those that used nothing, as without students, are left out.

    Raises:
        RefusedError: The day lies ahead.
    """
    from prepstore.cli.rooms import department_in, today
    from prepstore.ledger.store import reading
    from prepstore.problems import RefusedError

    if last > today():
        raise RefusedError(f"{last} lies ahead. Sessions are booked out when they are over.")
    with reading(store.place) as connection:
        timetable = department_in(connection, datetime.date.min).timetable
    over = timetable.over_and_not_booked(datetime.date.min, last)
    return [(one.session, one.date) for one in over]


def _ask_ahead_of(connection: "Connection", session: str) -> None:
    """Say that what was recorded of a session, spelled as in the timetable, is asked next."""
    from prepstore.ledger.ahead import ask_ahead
    from prepstore.ledger.containers import of_a_session
    from prepstore.ledger.movements import uses_of

    ask_ahead(connection, [uses_of(session), of_a_session(session)])


def _session_use(connection: "Connection", told: _Told, hand: Hand) -> Decided:
    """Return what a session took; of one that is booked out, what sets it right."""
    from dataclasses import replace

    from prepstore.cli.rooms import department_in
    from prepstore.ledger.movements import Asked, recorded, session_uses
    from prepstore.report.booking_list import lacked_lines
    from prepstore.shelf.session_use import (
        is_booked_out,
        session_corrected,
        session_named,
        session_used,
    )

    _ask_ahead_of(connection, told.session)
    shelf = department_in(connection, datetime.date.min)
    session = session_named(shelf.timetable, told.session)
    really = _real_use(shelf, told)
    so_far = session_uses(connection, session=session.session)
    if is_booked_out(so_far):
        taken = recorded(connection, Asked(session=session.session))
        booking = session_corrected(shelf, so_far, taken, really)
    else:
        is_cut = told.as_far_as_there_is
        booking = session_used(shelf, session, really, so_far, as_far_as_there_is=is_cut)
    day = hand.on or session.date
    booking = _with_waste(connection, shelf, session, replace(booking, reason=told.reason), day)
    decided = of_lots(shelf, booking, day)
    return replace(decided, shown=(*decided.shown, *lacked_lines(booking)), on=day)


def _real_use(shelf: "Shelf", told: _Told) -> "RealUse":
    from prepstore.problems import RefusedError
    from prepstore.shelf.session_use import Really

    used, back = amounts_by_item(shelf, told.used), amounts_by_item(shelf, told.back)
    twice = [shelf.materials[name].name for name in used if name in back]
    if twice:
        raise RefusedError(f"For {twice[0]} give either --used or --back, not both.")
    return {
        **{name: Really(used=amount) for name, amount in used.items()},
        **{name: Really(back=amount) for name, amount in back.items()},
    }
