"""What is thrown away, why, and into which waste stream."""

from datetime import date

from prepstore.catalogue import Goods
from prepstore.cell_types import AIR, DRAIN, fold
from prepstore.containers import ContainerChange
from prepstore.movements import Movement, What
from prepstore.problems import RefusedError, not_known
from prepstore.shelf.asked import Quantity, of_number
from prepstore.shelf.pouring import Pouring, poured_of
from prepstore.shelf.using import holds_less
from prepstore.stores import Holding, Stores


def discarded(held: Holding, amount: Quantity | None, stream: str | None) -> Movement:
    """Return what is discarded of a lot; all of it where no amount is given.

    Args:
        held: The lot.
        amount: How much.
        stream: The waste stream, spelled as `stream_named` returns it.

    Raises:
        RefusedError: The lot holds less, or nothing.
    """
    if amount is None and not held.amount:
        raise RefusedError(f"Lot {held.label} is empty, so there is nothing to discard.")
    wanted = amount or of_number(held.amount)
    if wanted.number > held.amount:
        raise RefusedError(holds_less(held, wanted))
    return Movement(
        lot=held.label,
        what=What.DISCARDED,
        billionths=-wanted.billionths,
        unit=held.unit,
        written=wanted.written,
        stream=stream,
    )


def poured_from_lot(
    stores: Stores, held: Holding, discarded: Movement, day: date
) -> tuple[ContainerChange, ...]:
    """Return what the open container of a stream gets of what is discarded of a lot into it.

    Args:
        stores: The streams and their containers.
        held: The lot.
        discarded: What is discarded of it; into the air or the drain nothing is poured.
        day: The day on which it is.

    Raises:
        RefusedError: A container would hold more than any does.
    """
    name = fold(discarded.stream or "")
    stream = stores.goods.streams.get(name)
    if stream is None:
        return ()
    pouring = Pouring(stores, day)
    amount = -discarded.number
    pouring.pour(name, [poured_of(held.material, amount, stream.measure.kind, held.label)])
    return tuple(pouring.changes)


def stream_named(goods: Goods, name: str) -> str:
    """Return the spelling of a waste stream, of air or of drain.

    Raises:
        RefusedError: It is none of them; names the nearest.
    """
    known: dict[str, str] = {AIR: AIR, DRAIN: DRAIN}
    known |= {folded: stream.stream for folded, stream in goods.streams.items()}
    if fold(name) not in known:
        raise not_known(name, "waste stream", known.values())
    return known[fold(name)]
