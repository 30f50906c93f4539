"""Commands that change waste containers: opened, added to, measured, sealed, empty ones counted."""

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import By, DryRun, Hand, On, Reason, one_line, written_amount
from prepstore.cli.bookings import Decided, book, of_lots, record_decided
from prepstore.cli.outcome import answers
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from decimal import Decimal

    from sqlalchemy import Connection

    from prepstore.amounts import WrittenAmount
    from prepstore.movements import Booking
    from prepstore.shelf.shelf import Shelf

Stream = Annotated[str, typer.Argument(metavar="STREAM", help="A waste stream.")]
ContainerOrStream = Annotated[
    str,
    typer.Argument(
        metavar="CONTAINER_OR_STREAM", help="A container's label, or the stream of the open one."
    ),
]


@answers
def open_container(
    context: typer.Context,
    *,
    stream: Stream,
    label: Annotated[
        str | None,
        typer.Option(
            "--as",
            parser=one_line,
            metavar="LABEL",
            help="Its label (default: W, the year and a number).",
        ),
    ] = None,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record that an empty container of a stream was opened and labelled.

    Example: prepstore waste open "halogenated solvent"
    """
    from dataclasses import replace

    from prepstore.shelf.waste_containers import opened

    def decide(shelf: "Shelf", day: datetime.date) -> "Booking":
        return replace(opened(shelf.stores, stream, label, day), reason=reason)

    store: Store = context.obj
    book(store.place, Hand(by, on, dry_run), decide)


@answers
def add(
    context: typer.Context,
    *,
    stream: Stream,
    amount: Annotated[str, typer.Argument(help="How much was poured in.")],
    item: Annotated[
        str | None,
        typer.Option("--item", help="What it is: an item or solution (default: not known)."),
    ] = None,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record what was poured into the open container of a stream without a session.

    Example: prepstore waste add "aqueous acid" "250 mL" --reason "rinsings of the balance room"
    """
    from dataclasses import replace

    from prepstore.shelf.waste_containers import added

    def decide(shelf: "Shelf", day: datetime.date) -> "Booking":
        return replace(added(shelf, stream, written_amount(amount), item, day), reason=reason)

    store: Store = context.obj
    book(store.place, Hand(by, on, dry_run), decide)


@dataclass(frozen=True, slots=True)
class _Read:
    """What was read of which container, and why."""

    container: str
    level: "WrittenAmount | Decimal"
    reason: str | None


@answers
def measure(
    context: typer.Context,
    *,
    container: ContainerOrStream,
    level: Annotated[
        str, typer.Argument(help="What was read: an amount, or a share of its size like 60 %.")
    ],
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record the level or the mass of the contents that was read; it corrects what is in it.

    Example: prepstore waste measure "aqueous acid" "5.2 L"
    """
    read = _Read(container, _level(level), reason)
    hand = Hand(by, on, dry_run)
    store: Store = context.obj
    record_decided(store.place, hand, lambda connection: _measured(connection, hand, read))


def _level(text: str) -> "WrittenAmount | Decimal":
    """Return a level as it was typed: an amount, or a share from 0 to 1.

    Raises:
        RefusedError: It is neither.
    """
    from prepstore.cell_types import Percent
    from prepstore.problems import RefusedError
    from prepstore.tables.cells import READERS
    from prepstore.tables.unreadable import UnreadableError

    if not text.strip().endswith("%"):
        return written_amount(text)
    try:
        share: Decimal = READERS[Percent](text.strip())
    except UnreadableError as error:
        raise RefusedError(f"'{text}' {error.what} {error.remedy}") from error
    return share


def _measured(connection: "Connection", hand: Hand, read: _Read) -> Decided:
    from dataclasses import replace

    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.containers import recorded_containers
    from prepstore.report.container_list import standing_on_a_measurement, to_be_sealed
    from prepstore.shelf.waste_containers import container_called, level_read, measured

    shelf, day = shelf_in(connection), hand.on or today()
    standing = container_called(shelf.stores, read.container)
    history = recorded_containers(connection, containers=[standing.kept.label])
    found = measured(standing, level_read(standing, read.level), history, day)
    decided = of_lots(shelf, replace(found.booking, reason=read.reason), day)
    remarks = (*standing_on_a_measurement(found, standing, day), *to_be_sealed(found, standing))
    return replace(decided, remarks=(*remarks, *decided.remarks))


@answers
def seal(
    context: typer.Context,
    *,
    container: ContainerOrStream,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record that a container was closed for good; the next thing poured opens another.

    Example: prepstore waste seal "halogenated solvent"
    """
    from dataclasses import replace

    from prepstore.shelf.waste_containers import container_called, sealed

    def decide(shelf: "Shelf", _day: datetime.date) -> "Booking":
        return replace(sealed(container_called(shelf.stores, container)), reason=reason)

    store: Store = context.obj
    book(store.place, Hand(by, on, dry_run), decide)


@answers
def empty(
    context: typer.Context,
    *,
    stream: Stream,
    number: Annotated[
        int, typer.Argument(min=0, max=999_999, help="How many empty containers there are.")
    ],
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record how many empty containers of a stream there are, as new ones come or were counted.

    Example: prepstore waste empty "halogenated solvent" 4
    """
    from dataclasses import replace

    from prepstore.shelf.waste_containers import empty_counted

    def decide(shelf: "Shelf", _day: datetime.date) -> "Booking":
        return replace(empty_counted(shelf.stores, stream, number), reason=reason)

    store: Store = context.obj
    book(store.place, Hand(by, on, dry_run), decide)
