"""Waste collections as things to do on a day: to be called, and to come once they were."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from prepstore.planning.collections import Call, Expected, full_by, streams_of
from prepstore.planning.plan import Plan


@dataclass(frozen=True, slots=True)
class CollectionToCall:
    """A waste collection, and how many containers are full by its day; whether it is late."""

    call: Call
    call_by: date
    full: int
    is_late: bool


@dataclass(frozen=True, slots=True)
class CollectionToCome:
    """A collection of some streams that was called and comes `on` a day.

    `full` are the containers that are full by then; `must_come_by` is the first day by which it
    must have come, as far as the plan looks (None: none). `is_overdue` where the day is past.
    """

    streams: tuple[str, ...]
    expected: Expected
    on: date
    full: int
    must_come_by: date | None
    is_overdue: bool

    @property
    def is_too_late(self) -> bool:
        """Return whether it comes after the day by which it must have."""
        return self.must_come_by is not None and self.on > self.must_come_by


def to_call(plan: Plan) -> Iterator[tuple[CollectionToCall, date]]:
    """Yield the collections to call, each with its last open day; with today where it is late.

    Where it is not set how long before one is called, nobody knows the day.
    """
    calendar = plan.days.calendar
    for call in plan.collections:
        if call.call_by is not None and call.expected is None:
            day = max(calendar.on_or_before(call.call_by), calendar.on_or_after(plan.today))
            full = max(
                full_by(streams_of(call, waste), call.by)
                for waste in (plan.waste, plan.waste_to_come)
            )
            yield CollectionToCall(call, call.call_by, full, call.call_by < plan.today), day


def to_come(plan: Plan) -> Iterator[tuple[CollectionToCome, date]]:
    """Yield the collections that were called, those of one call and day together.

    Each has its day; one that should have come, today.
    """
    together: dict[Expected, list[str]] = {}
    for name, expected in plan.collections_called.items():
        together.setdefault(expected, []).append(name)
    for expected, names in together.items():
        if expected.on is not None and expected.on <= plan.period.last:
            of = CollectionToCome(
                streams=tuple(names),
                expected=expected,
                on=expected.on,
                full=max(
                    full_by((one for one in waste.streams if one.name in names), expected.on)
                    for waste in (plan.waste, plan.waste_to_come)
                ),
                must_come_by=min(
                    (one.by for one in plan.collections if one.expected == expected), default=None
                ),
                is_overdue=expected.on < plan.today,
            )
            yield of, max(expected.on, plan.today)
