"""Commands that change waste containers: opened, added to, measured, sealed, empty ones counted."""

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import Hand, by_hand, line_option, written_amount
from prepstore.cli.bookings import Decided, book, of_lots, record_decided
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from decimal import Decimal

    from sqlalchemy import Connection

    from prepstore.amounts import WrittenAmount
    from prepstore.cli.bookings import Decide
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
@by_hand
def open_container(
    context: typer.Context,
    *,
    stream: Stream,
    label: Annotated[
        str | None,
        line_option("--as", "LABEL", "Its label (default: W, the year and a number)."),
    ] = None,
    hand: Hand,
) -> None:
    """Record that an empty container of a stream was opened and labelled.

    Example: prepstore waste open "halogenated solvent"
    """
    from prepstore.shelf.waste_containers import opened

    _book(context, hand, lambda shelf, day: opened(shelf.stores, stream, label, day))


def _book(context: typer.Context, hand: Hand, decide: "Decide") -> None:
    """Record what is decided, with the reason that was given."""
    from dataclasses import replace

    store: Store = context.obj
    book(store.place, hand, lambda shelf, day: replace(decide(shelf, day), reason=hand.reason))


@answers
@by_hand
def add(
    context: typer.Context,
    *,
    stream: Stream,
    amount: Annotated[str, typer.Argument(help="How much was poured in.")],
    item: Annotated[
        str | None,
        typer.Option("--item", help="What it is: an item or solution (default: not known)."),
    ] = None,
    hand: Hand,
) -> None:
    """Record what was poured into the open container of a stream without a session.

    Example: prepstore waste add "aqueous acid" "250 mL" --reason "rinsings of the balance room"
    """
    from prepstore.shelf.waste_containers import added

    def decide(shelf: "Shelf", day: datetime.date) -> "Booking":
        return added(shelf, stream, written_amount(amount), item, day)

    _book(context, hand, decide)


@dataclass(frozen=True, slots=True)
class _Read:
    """What was read of which container."""

    container: str
    level: "WrittenAmount | Decimal"


@answers
@by_hand
def measure(
    context: typer.Context,
    *,
    container: ContainerOrStream,
    level: Annotated[
        str, typer.Argument(help="What was read: an amount, or a share of its size like 60 %.")
    ],
    hand: Hand,
) -> None:
    """Record the level or the mass of the contents that was read; it corrects what is in it.

    Example: prepstore waste measure "aqueous acid" "5.2 L"
    """
    read = _Read(container, _level(level))
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
    decided = of_lots(shelf, replace(found.booking, reason=hand.reason), day)
    remarks = (*standing_on_a_measurement(found, standing, day), *to_be_sealed(found, standing))
    return replace(decided, remarks=(*remarks, *decided.remarks))


@answers
@by_hand
def seal(
    context: typer.Context,
    *,
    container: ContainerOrStream,
    hand: Hand,
) -> None:
    """Record that a container was closed for good; the next thing poured opens another.

    Example: prepstore waste seal "halogenated solvent"
    """
    from prepstore.shelf.waste_containers import container_called, sealed

    _book(context, hand, lambda shelf, _: sealed(container_called(shelf.stores, container)))


@answers
@by_hand
def call(
    context: typer.Context,
    *,
    streams: Annotated[
        list[str], typer.Argument(metavar="STREAM", help="Waste streams that are to be collected.")
    ],
    expected: Annotated[
        datetime.date | None,
        typer.Option("--expected", parser=read_day, metavar="DATE", help="When it comes."),
    ] = None,
    hand: Hand,
) -> None:
    """Record that a collection of streams was called; a later call of a stream replaces it.

    It stands until a container of the stream is collected, or until it is undone.

    Example: prepstore waste call "halogenated solvent" "aqueous acid" --expected 2027-03-19
    """
    from prepstore.shelf.calling import collection_called

    _book(context, hand, lambda shelf, day: collection_called(shelf.stores, streams, expected, day))


@answers
@by_hand
def empty(
    context: typer.Context,
    *,
    stream: Stream,
    number: Annotated[
        int, typer.Argument(min=0, max=999_999, help="How many empty containers there are.")
    ],
    hand: Hand,
) -> None:
    """Record how many empty containers of a stream there are, as new ones come or were counted.

    Example: prepstore waste empty "halogenated solvent" 4
    """
    from prepstore.shelf.waste_containers import empty_counted

    _book(context, hand, lambda shelf, _: empty_counted(shelf.stores, stream, number))
