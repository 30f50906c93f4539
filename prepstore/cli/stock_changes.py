"""Commands that change the shelf: what comes, goes, is opened, moved, counted, made and undone."""

import datetime
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import (
    By,
    DryRun,
    Hand,
    LotLabel,
    NewLabel,
    On,
    Place,
    Reason,
    Used,
    amounts_by_item,
    one_line,
    written_amount,
)
from prepstore.cli.bookings import book, record_decided
from prepstore.cli.counting_sheets import Sheet, count_by_sheet
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import Week, read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.movements import Booking, Movement
    from prepstore.shelf.receiving import Coming
    from prepstore.shelf.session_use import RealUse
    from prepstore.shelf.shelf import Shelf
    from prepstore.shelf.undoing import Entry


def _of(*movements: "Movement", reason: str | None = None) -> "Booking":
    from prepstore.movements import Booking

    return Booking(movements=movements, reason=reason)


@answers
def receive(
    context: typer.Context,
    *,
    what: Annotated[
        str,
        typer.Argument(metavar="WHAT", help="An item or solution, a lot, or a pack on order."),
    ],
    amount: Annotated[
        str | None, typer.Argument(help="How much came; left out for a pack on order.")
    ] = None,
    packs: Annotated[
        int | None, typer.Option("--packs", min=1, help="How many packs came (default: all).")
    ] = None,
    reference: Annotated[
        str | None, typer.Option("--reference", help="The order that the packs came with.")
    ] = None,
    lot: NewLabel = None,
    expiry: Annotated[
        datetime.date | None,
        typer.Option("--expiry", parser=read_day, metavar="DATE", help="Last day printed on it."),
    ] = None,
    containers: Annotated[
        int | None, typer.Option("--containers", min=1, help="How many identical containers.")
    ] = None,
    place: Place = None,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record what came in: a delivery on order, or any amount, as a new lot or into one.

    Example: prepstore stock receive acetone "2.5 L" --lot L0401 --expiry 2029-01-31
    """
    if amount is not None and (packs is not None or reference is not None):
        raise typer.BadParameter("Give either an amount, or --packs and --reference of an order.")
    from dataclasses import replace

    came = _Came(what, amount, packs, reference)
    label = _Labelled(lot, expiry, containers, place)

    def decide(shelf: "Shelf", day: datetime.date) -> "Booking":
        return replace(_received(shelf, came, label, day), reason=reason)

    store: Store = context.obj
    book(store.path, Hand(by, on, dry_run), decide)


@dataclass(frozen=True, slots=True)
class _Came:
    """What is said of something that came: what it is, and how much or how many packs."""

    what: str
    amount: str | None
    packs: int | None
    reference: str | None


@dataclass(frozen=True, slots=True)
class _Labelled:
    """What is said of the lot that it becomes."""

    lot: str | None
    expiry: datetime.date | None
    containers: int | None
    place: str | None


def _received(shelf: "Shelf", came: _Came, label: _Labelled, day: datetime.date) -> "Booking":
    from dataclasses import replace

    from prepstore.shelf.deliveries import delivered
    from prepstore.shelf.receiving import received

    if came.amount is not None:
        return received(shelf, _coming(shelf, came, label, day))
    delivery = delivered(shelf, came.what, came.packs, came.reference)
    coming = replace(
        delivery.coming,
        day=day,
        label=label.lot,
        expiry=label.expiry,
        containers=label.containers or delivery.coming.containers,
        place=label.place,
    )
    return replace(received(shelf, coming), orders=delivery.changes)


def _coming(shelf: "Shelf", came: _Came, label: _Labelled, day: datetime.date) -> "Coming":
    """Return an amount that came, of an item or into a lot that is named."""
    from prepstore.facts import fold
    from prepstore.problems import RefusedError
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.receiving import Coming

    held = shelf.lots.get(fold(came.what))
    if held is not None and label.lot is not None:
        raise RefusedError(f"{held.label} is a lot already. Leave --lot out, or name the item.")
    material = held.material if held is not None else shelf.material(came.what)
    return Coming(
        material=material,
        amount=quantity(material, written_amount(came.amount or "")),
        day=day,
        label=held.label if held is not None else label.lot,
        expiry=label.expiry,
        containers=label.containers,
        place=label.place,
    )


@answers
def open_lot(
    context: typer.Context,
    *,
    lot: LotLabel,
    label: Annotated[
        str | None,
        typer.Option(
            "--as",
            parser=one_line,
            metavar="LABEL",
            help="Label of the one opened, of a lot of several.",
        ),
    ] = None,
    by: By = None,
    on: On = None,
) -> None:
    """Record that a container was opened; of a lot of several, one becomes a lot of its own.

    Example: prepstore stock open L0241
    """
    from prepstore.shelf.handling import opened

    store: Store = context.obj
    book(store.path, Hand(by, on), lambda shelf, day: opened(shelf, shelf.lot(lot), day, label))


@answers
def move(
    context: typer.Context,
    *,
    lot: LotLabel,
    place: Annotated[
        str,
        typer.Argument(parser=one_line, metavar="PLACE", help="Where it stands from now on."),
    ],
    reason: Reason = None,
    by: By = None,
    on: On = None,
) -> None:
    """Record that a lot was put somewhere else.

    Example: prepstore stock move L0236 "flammables cabinet A"
    """
    from prepstore.shelf.handling import moved

    store: Store = context.obj
    book(
        store.path,
        Hand(by, on),
        lambda shelf, _: _of(moved(shelf.lot(lot), place), reason=reason),
    )


@answers
def state(
    context: typer.Context,
    *,
    lot: LotLabel,
    now: Annotated[str, typer.Argument(metavar="STATE", help="usable, quarantine or reserved.")],
    reason: Reason = None,
    by: By = None,
    on: On = None,
) -> None:
    """Record whether a lot may be used: usable, quarantine or reserved.

    Example: prepstore stock state S27-042 quarantine --reason cloudy
    """
    from prepstore.facts import LotState
    from prepstore.shelf.handling import state_changed

    if now not in list(LotState):
        raise typer.BadParameter(f"'{now}' is none of {', '.join(LotState)}.")
    store: Store = context.obj
    book(
        store.path,
        Hand(by, on),
        lambda shelf, _: _of(state_changed(shelf.lot(lot), LotState(now)), reason=reason),
    )


@answers
def discard(
    context: typer.Context,
    *,
    lot: LotLabel,
    amount: Annotated[str | None, typer.Argument(help="How much (default: all of it).")] = None,
    reason: Reason = None,
    stream: Annotated[
        str | None, typer.Option("--stream", help="The waste stream it goes into.")
    ] = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record what was thrown away of a lot, why, and into which waste stream.

    Example: prepstore stock discard L0243 --reason "past its peroxide test"
    """
    if reason is None:
        raise typer.BadParameter('Say why with --reason, such as --reason "out of date".')
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.discarding import discarded, stream_named

    def decide(shelf: "Shelf", _day: datetime.date) -> "Booking":
        held = shelf.lot(lot)
        wanted = quantity(held.material, written_amount(amount)) if amount is not None else None
        into = stream_named(shelf.inventory, stream) if stream is not None else None
        return _of(discarded(held, wanted, into), reason=reason)

    store: Store = context.obj
    book(store.path, Hand(by, on, dry_run), decide)


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
    purpose: Annotated[
        str | None,
        typer.Option(
            "--for", parser=one_line, metavar="PURPOSE", help="What else it was used for."
        ),
    ] = None,
    used: Used = None,
    back: Annotated[
        list[str] | None,
        typer.Option("--back", metavar="ITEM=AMOUNT", help="What came back; may be repeated."),
    ] = None,
    as_far_as_there_is: Annotated[
        bool,
        typer.Option("--as-far-as-there-is", help="Leave out what the lots do not have."),
    ] = False,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record what was used: of a lot, of an item from what expires first, or by a session.

    Example: prepstore stock use --session W05-Mon-1 --back "acetone=200 mL"
    """
    store: Store = context.obj
    if what is None:
        if session is None:
            raise typer.BadParameter("Name a lot or an item and an amount, or give --session.")
        if purpose is not None:
            raise typer.BadParameter("Give either --session or --for, not both.")
        told = _Told(session, used or [], back or [], as_far_as_there_is)
        hand = Hand(by, on or _day_of(store, session), dry_run)
        record_decided(store.path, hand, lambda connection: _session_use(connection, told))
        return
    if amount is None:
        raise typer.BadParameter(f'Say how much was used, such as: use {what} "250 mL"')
    if used or back or as_far_as_there_is:
        raise typer.BadParameter("--used, --back and --as-far-as-there-is go with --session alone.")

    def decided(connection: "Connection") -> "tuple[Shelf, Booking]":
        return _use_of(connection, on, (what, amount), (session, purpose))

    record_decided(store.path, Hand(by, on, dry_run), decided)


def _use_of(
    connection: "Connection",
    on: datetime.date | None,
    taken: tuple[str, str],
    meant_for: tuple[str | None, str | None],
) -> "tuple[Shelf, Booking]":
    """Return the use of a lot or an item, for a session or another purpose."""
    from prepstore.cli.rooms import shelf_in, today, whole_shelf_in
    from prepstore.movements import Booking
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.session_use import further_use, session_named
    from prepstore.shelf.using import used_of_item, used_of_lot

    (what, amount), (session, purpose) = taken, meant_for
    day = on or today()
    shelf = shelf_in(connection) if session is None else whole_shelf_in(connection, day)
    if shelf.is_lot(what):
        held = shelf.lot(what)
        wanted = quantity(held.material, written_amount(amount))
        booking = _of(used_of_lot(held, wanted), reason=purpose)
    else:
        material = shelf.material(what)
        wanted = quantity(material, written_amount(amount))
        booking = Booking(movements=used_of_item(shelf, material, wanted, day), reason=purpose)
    if session is None:
        return shelf, booking
    return shelf, further_use(shelf, session_named(shelf.inventory, session), booking)


@dataclass(frozen=True, slots=True)
class _Told:
    """What is told of a session: its name, what of it was used or came back, and how far to go."""

    session: str
    used: list[str]
    back: list[str]
    as_far_as_there_is: bool


def _day_of(store: Store, session: str) -> datetime.date | None:
    """Return the day of a session, on which what it used was used; None where it is not known."""
    from prepstore.facts import fold
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.store_file import reading

    with reading(store.path) as connection:
        rows = written_rows(connection, "timetable")["timetable"]
    days = (row.text["date"] for row in rows if fold(row.text["session"]) == fold(session))
    return next((datetime.date.fromisoformat(day) for day in days), None)


def _session_use(connection: "Connection", told: _Told) -> "tuple[Shelf, Booking]":
    """Return what a session took; of one that is booked out, what sets it right."""
    from prepstore.cli.rooms import whole_shelf_in
    from prepstore.ledger.movements import Asked, recorded, session_uses
    from prepstore.shelf.session_use import (
        is_booked_out,
        session_corrected,
        session_named,
        session_used,
    )

    shelf = whole_shelf_in(connection, datetime.date.min)
    session = session_named(shelf.inventory, told.session)
    really = _real_use(shelf, told)
    so_far = session_uses(connection, session=session.session)
    if is_booked_out(so_far):
        taken = recorded(connection, Asked(session=session.session))
        return shelf, session_corrected(shelf, so_far, taken, really)
    going = session_used(shelf, session, really, so_far, as_far_as_there_is=told.as_far_as_there_is)
    return shelf, going


def _real_use(shelf: "Shelf", told: _Told) -> "RealUse":
    from prepstore.problems import RefusedError
    from prepstore.shelf.session_use import Really

    used, back = amounts_by_item(shelf, told.used), amounts_by_item(shelf, told.back)
    twice = [shelf.materials[name].name for name in used if name in back]
    if twice:
        raise RefusedError(f"Say of {twice[0]} either what was used or what came back, not both.")
    return {
        **{name: Really(used=amount) for name, amount in used.items()},
        **{name: Really(back=amount) for name, amount in back.items()},
    }


@answers
def make(
    context: typer.Context,
    *,
    solution: Annotated[str, typer.Argument(help="The solution that was made.")],
    week: Week = None,
    make_on: Annotated[
        datetime.date | None,
        typer.Option(
            "--planned-for", parser=read_day, metavar="DATE", help="Which of its batches."
        ),
    ] = None,
    volume: Annotated[
        str | None, typer.Option("--volume", metavar="AMOUNT", help="Any volume, without a plan.")
    ] = None,
    lot: NewLabel = None,
    place: Place = None,
    used: Used = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record a batch that was made: its parts out of their lots, the solution as a new lot.

    Example: prepstore stock make "hydrochloric acid 2 mol/L" --week 2027-W05
    """
    if (week is None) == (volume is None):
        raise typer.BadParameter("Give either --week, for a batch of its plan, or --volume.")
    from prepstore.planning.make_plan import plan_period
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.making import NewBottle, batch_of, made, solution_named, volume_of

    def decide(shelf: "Shelf", day: datetime.date) -> "Booking":
        wanted = solution_named(shelf, solution)
        if week is not None:
            batch = batch_of(plan_period(shelf.inventory, week, day), wanted, make_on)
        else:
            asked = quantity(shelf.material(solution), written_amount(volume or ""))
            batch = volume_of(shelf, wanted, asked)
        went_in = amounts_by_item(shelf, used or [])
        return made(shelf, batch, went_in, NewBottle(day, lot, place))

    store: Store = context.obj
    book(store.path, Hand(by, on, dry_run), decide, whole=True)


@answers
def count(
    context: typer.Context,
    *,
    lot: Annotated[str | None, typer.Argument(metavar="LOT", help="A lot's label.")] = None,
    amount: Annotated[
        str | None, typer.Argument(help="How much was found; 0 g is an amount.")
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", metavar="FILE", help="A counting sheet: written, or read back."),
    ] = None,
    place: Annotated[
        str | None, typer.Option("--place", help="Only this place, when a sheet is written.")
    ] = None,
    item: Annotated[
        str | None, typer.Option("--item", help="Only this item, when a sheet is written.")
    ] = None,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    yes: Annotated[bool, typer.Option("--yes", help="Record a sheet without asking.")] = False,
    dry_run: DryRun = False,
) -> None:
    """Record what a count of the shelf found, of one lot or by a counting sheet.

    A sheet that is not there yet is written; one that has been filled in is read back.

    Example: prepstore stock count L0236 "1.2 L" --reason "spilt some"
    """
    store: Store = context.obj
    hand = Hand(by, on, dry_run)
    if sheet is not None:
        if lot is not None:
            raise typer.BadParameter("Give either a lot or --sheet, not both.")
        count_by_sheet(store, hand, Sheet(sheet, place, item, reason, yes))
        return
    if lot is None or amount is None:
        raise typer.BadParameter("Name the lot and how much was found, or give --sheet.")
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.counting import counted

    def decide(shelf: "Shelf", _day: datetime.date) -> "Booking":
        held = shelf.lot(lot)
        found = quantity(held.material, written_amount(amount), may_be_nothing=True)
        return _of(counted(held, found), reason=reason)

    book(store.path, hand, decide)


@answers
def undo(
    context: typer.Context,
    *,
    entry: Annotated[int, typer.Argument(min=1, help="The entry, as the history numbers it.")],
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Undo an entry by one that reverses it; the history keeps both.

    Example: prepstore stock undo 17
    """

    def decided(connection: "Connection") -> "tuple[Shelf, Booking]":
        from prepstore.cli.rooms import shelf_in, whole_shelf_in
        from prepstore.shelf.undoing import undone

        found = _entry(connection, entry)
        shelf = (
            whole_shelf_in(connection, datetime.date.max) if found.names else shelf_in(connection)
        )
        return shelf, undone(shelf, found)

    store: Store = context.obj
    record_decided(store.path, Hand(by, on, dry_run), decided)


def _entry(connection: "Connection", number: int) -> "Entry":
    """Return all that was recorded with an entry."""
    from prepstore.ledger.movements import Asked, recorded, session_uses
    from prepstore.ledger.names import recorded_names
    from prepstore.ledger.orders import recorded_orders
    from prepstore.problems import RefusedError
    from prepstore.shelf.undoing import Entry

    uses = session_uses(connection, entry=number)
    found = Entry(
        number=number,
        movements=recorded(connection, Asked(entry=number)),
        uses=uses,
        of_session=session_uses(connection, session=uses[0].session) if uses else (),
        orders=recorded_orders(connection, entry=number),
        names=recorded_names(connection, entry=number),
    )
    if not (found.movements or found.uses or found.orders or found.names):
        raise RefusedError(f"There is no entry {number}. See: prepstore stock history")
    return found
