"""What a session sends to waste containers: where its script says, of what it really used.

What an agent or paper holds back of a liquid goes with it, and adds nothing to the level there.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from prepstore.amounts import of_billionths
from prepstore.cell_types import fold
from prepstore.containers import ContainerChange, RecordedContainer
from prepstore.facts import Session
from prepstore.movements import SessionUse
from prepstore.planning.demands import Scaler
from prepstore.planning.endings import Ended, ends_by_item, held_back_by_item
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
    endings = Scaler(department.catalogue).scale(session).endings
    ends, held_back = ends_by_item(endings), held_back_by_item(endings)
    pouring = Pouring(department.stores, day)
    poured: dict[str, list[Poured]] = {}
    for use in uses:
        name = fold(use.item)
        parts = [
            *_of_streams(department, use, ends.get(name, {})),
            *_held(_of_streams(department, use, held_back.get(name, {}))),
        ]
        for stream, part in parts:
            if use.used < 0:
                pouring.take_back(stream, part, before)
            else:
                poured.setdefault(stream, []).append(part)
    for stream in department.goods.streams:
        pouring.pour(stream, poured.get(stream, ()))
    return tuple(pouring.changes)


def _held(parts: Iterable[tuple[str, Poured]]) -> Iterator[tuple[str, Poured]]:
    """Yield parts as they are in an agent or paper, where they take up no room of their own."""
    return ((stream, replace(part, level=0)) for stream, part in parts)


def _of_streams(
    department: Department, use: SessionUse, shares: Mapping[str, Ended]
) -> list[tuple[str, Poured]]:
    """Return what of a use is poured into which stream, or taken back from it."""
    material, streams = department.materials[fold(use.item)], department.goods.streams
    amount = abs(of_billionths(use.used))
    return [
        (end, poured_of(material, amount * of.allow_for, streams[end].measure.kind))
        for end, of in shares.items()
        if end in streams and amount
    ]
