"""Commands that change the shelf: what comes, is opened, moved, put aside and thrown away."""

import datetime
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import (
    AtPlace,
    BatchNumber,
    By,
    Containers,
    DryRun,
    Hand,
    LotLabel,
    NewLabel,
    On,
    Reason,
    line_option,
    one_line,
    price_typed,
    written_amount,
)
from prepstore.cli.bookings import book
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from prepstore.movements import Booking, Movement
    from prepstore.shelf.receiving import Bought, Coming
    from prepstore.shelf.shelf import Shelf


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
    containers: Containers = None,
    batch_number: BatchNumber = None,
    place: AtPlace = None,
    price: Annotated[
        Decimal | None,
        typer.Option(
            "--price",
            parser=price_typed,
            metavar="PRICE",
            help="What was paid: for each pack on order (default: as ordered), else for all of it.",
        ),
    ] = None,
    supplier: Annotated[
        str | None,
        typer.Option("--supplier", help="Who sold what was not on order; a pack already says it."),
    ] = None,
    delivery_note: Annotated[
        str | None,
        typer.Option(
            "--delivery-note",
            parser=one_line,
            metavar="TEXT",
            help="The supplier's paper that came with it.",
        ),
    ] = None,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record what came in: a delivery on order, or any amount, as a new lot or into an old one.

    Example: prepstore stock receive acetone "2.5 L" --lot L0401 --expiry 2029-01-31
    """
    if amount is not None and (packs is not None or reference is not None):
        raise typer.BadParameter("Give either an amount, or --packs and --reference of an order.")
    if amount is None and supplier is not None:
        raise typer.BadParameter("A pack says who sells it. Leave --supplier out.")
    from dataclasses import replace

    came = _Came(what, amount, packs, reference, price, supplier, delivery_note)
    label = _Labelled(lot, expiry, containers, place, batch_number)

    def decide(shelf: "Shelf", day: datetime.date) -> "Booking":
        return replace(_received(shelf, came, label, day), reason=reason)

    store: Store = context.obj
    book(store.place, Hand(by, on, dry_run), decide)


@dataclass(frozen=True, slots=True)
class _Came:
    """What is said of something that came: what it is, how much or how many packs, and its price.

    The price is that of one pack, or of all that came where an amount is given.
    """

    what: str
    amount: str | None
    packs: int | None
    reference: str | None
    price: Decimal | None
    supplier: str | None
    delivery_note: str | None


@dataclass(frozen=True, slots=True)
class _Labelled:
    """What is said of the lot that it becomes."""

    lot: str | None
    expiry: datetime.date | None
    containers: int | None
    place: str | None
    batch_number: str | None


def _received(shelf: "Shelf", came: _Came, label: _Labelled, day: datetime.date) -> "Booking":
    from dataclasses import replace

    from prepstore.shelf.deliveries import delivered, price_of_all
    from prepstore.shelf.receiving import received

    if came.amount is not None:
        return received(shelf, _coming(shelf, came, label, day))
    delivery = delivered(shelf, came.what, came.packs, came.reference)
    bought = replace(delivery.coming.bought, delivery_note=came.delivery_note)
    if came.price is not None:
        bought = replace(bought, paid=price_of_all(delivery.changes, came.price))
    coming = replace(
        delivery.coming,
        bought=bought,
        day=day,
        label=label.lot,
        expiry=label.expiry,
        containers=label.containers or delivery.coming.containers,
        place=label.place,
        batch_number=label.batch_number,
    )
    return replace(received(shelf, coming), orders=delivery.changes)


def _coming(shelf: "Shelf", came: _Came, label: _Labelled, day: datetime.date) -> "Coming":
    """Return an amount that came, of an item or into a lot that is named."""
    from prepstore.cell_types import fold
    from prepstore.problems import RefusedError
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.receiving import Coming

    held = shelf.lots.get(fold(came.what))
    if held is not None and label.lot is not None:
        # A lot may bear the name of what is in it; --lot then says that the item is meant.
        if fold(came.what) not in shelf.materials:
            raise RefusedError(f"{held.label} is a lot already. Leave --lot out, or name the item.")
        held = None
    if held is None and fold(came.what) in shelf.goods.packs:
        what = f"{came.what} is a pack, which says how much is in it. Leave the amount out"
        raise RefusedError(f"{what}, or name the item.")
    material = held.material if held is not None else shelf.material(came.what)
    return Coming(
        material=material,
        amount=quantity(material, written_amount(came.amount or "")),
        day=day,
        label=held.label if held is not None else label.lot,
        expiry=label.expiry,
        containers=label.containers,
        place=label.place,
        batch_number=label.batch_number,
        bought=_bought(shelf, came),
    )


def _bought(shelf: "Shelf", came: _Came) -> "Bought":
    """Return what is said of the purchase of an amount, which was not on order."""
    from prepstore.shelf.deliveries import supplier_named
    from prepstore.shelf.receiving import Bought

    return Bought(
        paid=None if came.price is None else f"{came.price:f}",
        supplier=came.supplier and supplier_named(shelf.goods, came.supplier),
        delivery_note=came.delivery_note,
    )


@answers
def open_lot(
    context: typer.Context,
    *,
    lot: LotLabel,
    label: Annotated[
        str | None,
        line_option(
            "--as", "LABEL", "Label for the container that was opened, if the lot has several."
        ),
    ] = None,
    by: By = None,
    on: On = None,
) -> None:
    """Record that a container was opened; if its lot has several, it becomes a lot of its own.

    Example: prepstore stock open L0241
    """
    from prepstore.shelf.handling import opened

    store: Store = context.obj
    book(store.place, Hand(by, on), lambda shelf, day: opened(shelf, shelf.lot(lot), day, label))


@answers
def move(
    context: typer.Context,
    *,
    lot: LotLabel,
    place: Annotated[
        str,
        typer.Argument(parser=one_line, metavar="PLACE", help="Where it is from now on."),
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
        store.place,
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
    from prepstore.cell_types import LotState
    from prepstore.shelf.handling import state_changed

    if now not in list(LotState):
        raise typer.BadParameter(f"'{now}' is not one of {', '.join(LotState)}.")
    store: Store = context.obj
    book(
        store.place,
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
    """Record what was thrown away from a lot, why, and into which waste stream.

    Example: prepstore stock discard L0243 --reason "past its peroxide test"
    """
    if reason is None:
        raise typer.BadParameter('Say why with --reason, such as --reason "out of date".')
    from dataclasses import replace

    from prepstore.shelf.asked import quantity
    from prepstore.shelf.discarding import discarded, poured_from_lot, stream_named

    def decide(shelf: "Shelf", day: datetime.date) -> "Booking":
        held = shelf.lot(lot)
        wanted = quantity(held.material, written_amount(amount)) if amount is not None else None
        into = stream_named(shelf.goods, stream) if stream is not None else None
        movement = discarded(held, wanted, into)
        poured = poured_from_lot(shelf.stores, held, movement, day)
        return replace(_of(movement, reason=reason), containers=poured)

    store: Store = context.obj
    book(store.place, Hand(by, on, dry_run), decide)
