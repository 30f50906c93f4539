"""By when a waste collection must be called: containers run out, or a limit is passed."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from prepstore.amounts import ZERO, Kind
from prepstore.filling import WasteContainer
from prepstore.planning.calendar import Calendar
from prepstore.planning.waste import StreamPlan, WastePlan
from prepstore.settings import Settings


class CallFor(StrEnum):
    """Why a collection must come."""

    CONTAINERS = "no empty container is left"
    MOST_HELD = "more waste than may be held"
    LONGEST = "a container stays longer than it may"


@dataclass(frozen=True, slots=True)
class Call:
    """A collection that must have come by a day, and by when it must be called.

    `stream` is blank where it is of all of them; `call_by` is None where the lead is not set.
    """

    stream: str
    why: CallFor
    by: date
    call_by: date | None


def collections_to_call(
    waste: WastePlan, settings: Settings, calendar: Calendar, today: date
) -> tuple[Call, ...]:
    """Return the collections that what containers hold and what is to come call for.

    A stream wants one on the day on which its last container is full; all together on the day on
    which those by volume hold more than `waste_most_held`; a container on the day on which it has
    been there for `waste_longest` days since it was opened. The first of each sort and stream, the
    soonest first. Of a container that began with a load nobody knows when it was opened.
    """
    streams = [stream for stream in waste.streams if stream.container is not None]
    found = [
        *_without_containers(streams, today),
        *_more_than_held(streams, settings.waste_most_held, today),
        *_longer_than(streams, settings.waste_longest),
    ]
    lead = settings.collection_lead
    calls = (
        Call(stream, why, by, None if lead is None else calendar.before(by, lead))
        for stream, why, by in found
    )
    return tuple(sorted(calls, key=lambda call: (call.by, call.stream, call.why)))


def must_look_ahead(waste: WastePlan, settings: Settings) -> bool:
    """Return whether what is still to come can call for a collection.

    It cannot where nobody says how many empty containers there are nor how much may be held.
    """
    is_counted = any(stream.in_hand is not None for stream in waste.streams)
    return is_counted or settings.waste_most_held is not None


def full_by(call: Call, waste: WastePlan) -> int:
    """Return how many containers are full by the day of a collection, those that are so now too.

    Of its stream; where it is of all of them, of those by volume.
    """
    return sum(
        len(stream.container.sealed) + sum(day <= call.by for day in stream.full_on)
        for stream in waste.streams
        if stream.container is not None
        and (stream.name == call.stream or (not call.stream and stream.kind is Kind.VOLUME))
    )


_Wanted = tuple[str, CallFor, date]


def _without_containers(streams: Iterable[StreamPlan], today: date) -> Iterator[_Wanted]:
    for stream in streams:
        in_hand = stream.in_hand
        if in_hand is None or not stream.containers or len(stream.full_on) < in_hand:
            continue
        last = stream.full_on[in_hand - 1] if in_hand else min(stream.by_day, default=today)
        yield stream.name, CallFor.CONTAINERS, last


def _more_than_held(
    streams: Iterable[StreamPlan], most_ml: Decimal | None, today: date
) -> Iterator[_Wanted]:
    if most_ml is None:
        return
    held, by_day = ZERO, dict[date, Decimal]()
    for stream in streams:
        if stream.kind is not Kind.VOLUME or stream.container is None:
            continue
        held += _held(stream.container) + stream.before
        for day, ended in stream.by_day.items():
            by_day[day] = by_day.get(day, ZERO) + ended.allow_for
    for day, more in ((today, ZERO), *sorted(by_day.items())):
        held += more
        if held > most_ml:
            yield "", CallFor.MOST_HELD, day
            return


def _held(container: WasteContainer) -> Decimal:
    """Return what is in the open container and in the full ones beside it."""
    return container.filled + sum((one.filled for one in container.sealed), ZERO)


def _longer_than(streams: Iterable[StreamPlan], most_days: int | None) -> Iterator[_Wanted]:
    if most_days is None:
        return
    for stream in streams:
        opened = _opened_on(stream.container) if stream.container else None
        if opened is not None:
            yield stream.name, CallFor.LONGEST, opened + timedelta(days=most_days)


def _opened_on(container: WasteContainer) -> date | None:
    """Return the first day on which a container that is there was opened, where it is known."""
    days = (container.opened_on, *(one.opened_on for one in container.sealed))
    return min((day for day in days if day is not None), default=None)
