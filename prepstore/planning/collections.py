"""By when a waste collection must be called: containers run out, or a limit is passed.

One that is called already is not called again; whether it comes in time is told instead.
"""

from collections.abc import Iterable, Iterator, Mapping
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
class Expected:
    """A collection that was called on a day: the day on which it comes, and whether that was said.

    Where nobody said, it comes after the lead; `on` is None where that is not set.
    """

    called_on: date
    on: date | None
    is_said: bool


@dataclass(frozen=True, slots=True)
class Call:
    """A collection that must have come by a day, and by when it must be called.

    `stream` is blank where it is of all of them; `call_by` is None where the lead is not set.
    `expected` is the one that was called for it already, None where none was.
    """

    stream: str
    why: CallFor
    by: date
    call_by: date | None
    expected: Expected | None = None

    @property
    def comes_too_late(self) -> bool:
        """Return whether a collection was called that comes after the day."""
        return _is_too_late(self.expected, self.by)


def _is_too_late(expected: Expected | None, by: date) -> bool:
    return expected is not None and expected.on is not None and expected.on > by


def expected_collections(
    streams: Iterable[StreamPlan], settings: Settings, calendar: Calendar
) -> Mapping[str, Expected]:
    """Return the collections that were called and have not come, by stream (as spelled)."""
    lead = settings.collection_lead
    found: dict[str, Expected] = {}
    for stream in streams:
        called = stream.container.called if stream.container else None
        if called is not None:
            by_lead = None if lead is None else calendar.after(called.on, lead)
            is_said = called.expected is not None
            found[stream.name] = Expected(called.on, called.expected or by_lead, is_said=is_said)
    return found


def collections_to_call(
    waste: WastePlan, settings: Settings, calendar: Calendar, today: date
) -> tuple[Call, ...]:
    """Return the collections that what containers hold and what is to come call for.

    A stream wants one on the day on which its last container is full; all together on the day on
    which those by volume hold more than `waste_most_held`; a container on the day on which it has
    been there for `waste_longest` days since it was opened. The first of each sort and stream, the
    soonest first. Of a container that began with a load nobody knows when it was opened. Those that
    were called already are among them, with the day on which they are expected.
    """
    streams = [stream for stream in waste.streams if stream.container is not None]
    expected = expected_collections(streams, settings, calendar)
    lead = settings.collection_lead
    found = [
        *_without_containers(streams, today),
        *_more_than_held(streams, settings.waste_most_held, today),
        *_longer_than(streams, settings.waste_longest),
    ]
    calls = (
        Call(
            stream,
            why,
            by,
            None if lead is None else calendar.before(by, lead),
            expected.get(stream)
            if stream
            else _expected_of_all(streams, expected, settings.waste_most_held, by),
        )
        for stream, why, by in found
    )
    return tuple(sorted(calls, key=lambda call: (call.by, call.stream, call.why)))


def must_look_ahead(waste: WastePlan, settings: Settings) -> bool:
    """Return whether what is still to come can call for a collection.

    It cannot where nobody says how many empty containers there are nor how much may be held.
    """
    is_counted = any(stream.in_hand is not None for stream in waste.streams)
    return is_counted or settings.waste_most_held is not None


def full_by(streams: Iterable[StreamPlan], by: date) -> int:
    """Return how many containers of some streams are full by a day, those that are so now too."""
    return sum(
        len(stream.container.sealed) + sum(day <= by for day in stream.full_on)
        for stream in streams
        if stream.container is not None
    )


def streams_of(call: Call, waste: WastePlan) -> list[StreamPlan]:
    """Return the streams that a collection is of: its own; of all of them, those by volume."""
    return [
        stream
        for stream in waste.streams
        if stream.name == call.stream or (not call.stream and _is_by_volume(stream))
    ]


def _is_by_volume(stream: StreamPlan) -> bool:
    return stream.kind is Kind.VOLUME and stream.container is not None


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
    for stream in filter(_is_by_volume, streams):
        held += _held_today(stream)
        for day, ended in stream.by_day.items():
            by_day[day] = by_day.get(day, ZERO) + ended.allow_for
    for day, more in ((today, ZERO), *sorted(by_day.items())):
        held += more
        if held > most_ml:
            yield "", CallFor.MOST_HELD, day
            return


def _held_today(stream: StreamPlan) -> Decimal:
    """Return what is in the open container and in the full ones, and what comes before a period."""
    held = stream.container
    if held is None:
        return ZERO
    return held.filled + sum((one.filled for one in held.sealed), ZERO) + stream.before


def _expected_of_all(
    streams: Iterable[StreamPlan],
    expected: Mapping[str, Expected],
    most_ml: Decimal | None,
    by: date,
) -> Expected | None:
    """Return the collection that was called of some streams by volume, where it leaves few enough.

    It takes the containers that are full when it comes. Those that come in time go first: only
    where these are not enough do the others count, and it is the last of them.
    """
    by_volume = list(filter(_is_by_volume, streams))
    held = sum((_held_today(one) + _to_come(one, by) for one in by_volume), ZERO)
    called = [(one, expected[one.name]) for one in by_volume if one.name in expected]
    in_time = [(one, of) for one, of in called if not _is_too_late(of, by)]
    for some in (in_time, called):
        taken = sum((_taken(one, of.on or by) for one, of in some), ZERO)
        if some and most_ml is not None and held - taken <= most_ml:
            return max((of for _, of in some), key=lambda of: (of.on or by, of.called_on))
    return None


def _to_come(stream: StreamPlan, by: date) -> Decimal:
    return sum((of.allow_for for day, of in stream.by_day.items() if day <= by), ZERO)


def _taken(stream: StreamPlan, on: date) -> Decimal:
    """Return what is in the containers of a stream that are full by a day."""
    held = stream.container
    if held is None:
        return ZERO
    full = sum(day <= on for day in stream.full_on)
    return sum((one.filled for one in held.sealed), ZERO) + full * (held.size or ZERO)


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
