"""What a session sends to waste containers: where its script says, of what it really used."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from prepstore.amounts import of_billionths
from prepstore.cell_types import fold
from prepstore.containers import ContainerChange, RecordedContainer
from prepstore.facts import Session
from prepstore.movements import SessionUse
from prepstore.planning.demands import Scaler
from prepstore.planning.endings import ends_by_item
from prepstore.shelf.pouring import Poured, Pouring, poured_of
from prepstore.shelf.shelf import Department


def poured_by_session(
    department: Department,
    session: Session,
    uses: Iterable[SessionUse],
    before: Sequence[RecordedContainer],
    day: date,
) -> tuple[ContainerChange, ...]:
    """Return what the containers get of what a session used, or give back of what came back.

    Args:
        department: The streams and their containers, beside all facts.
        session: The session.
        uses: What it used in this booking (below 0: came back).
        before: What was poured for it before.
        day: The day of the booking.

    Raises:
        RefusedError: A container would hold more than any does.
    """
    ends = ends_by_item(Scaler(department.catalogue).scale(session).endings)
    pouring = Pouring(department.stores, day)
    poured: dict[str, list[Poured]] = {}
    for use in uses:
        shares = {end: of.allow_for for end, of in ends.get(fold(use.item), {}).items()}
        for stream, part in _of_streams(department, use, shares):
            if use.used < 0:
                pouring.take_back(stream, part, before)
            else:
                poured.setdefault(stream, []).append(part)
    for stream in department.goods.streams:
        pouring.pour(stream, poured.get(stream, ()))
    return tuple(pouring.changes)


def _of_streams(
    department: Department, use: SessionUse, shares: Mapping[str, Decimal]
) -> list[tuple[str, Poured]]:
    """Return what of a use is poured into which stream, or taken back from it."""
    material = department.materials[fold(use.item)]
    amount = abs(of_billionths(use.used))
    return [
        (end, poured_of(material, amount * fraction, department.goods.streams[end].measure.kind))
        for end, fraction in shares.items()
        if end in department.goods.streams and amount
    ]
