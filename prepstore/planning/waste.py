"""What goes where, and the containers it fills."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import ZERO, Kind, round_up, times_reached
from prepstore.catalogue import Catalogue, Goods
from prepstore.cell_types import DRAIN, KNOWN_ENDS, NOT_ASSIGNED, fold
from prepstore.chemistry.conversions import NoRouteError, measured_as
from prepstore.facts import WasteStream
from prepstore.filling import WasteContainer
from prepstore.planning.demands import Scale, SessionWork, with_their_size
from prepstore.planning.endings import Ended
from prepstore.planning.leftovers import Leftover
from prepstore.stores import Stores

End = tuple[str, Kind]
"""Where an amount ends (folded name) and the kind it is added up in."""


@dataclass(frozen=True, slots=True)
class StreamPlan:
    """What a stream collects: by day and in all, in mL, g or each as `kind` says.

    `before` is what sessions before the period are to allow for. `stream` and its open `container`
    are None for what no script assigns. `full_on` has a day for each filling reached.
    """

    name: str
    stream: WasteStream | None
    kind: Kind
    total: Ended
    by_day: Mapping[date, Ended]
    before: Decimal = ZERO
    containers: int = 0
    full_on: tuple[date, ...] = ()
    container: WasteContainer | None = None
    uncounted: tuple[str, ...] = ()

    @property
    def part_full(self) -> Decimal:
        """Return what is in the open container today, in the unit of `kind`."""
        return self.container.filled if self.container else ZERO

    @property
    def filling(self) -> Decimal | None:
        """Return what one container is filled to; None where the stream has none."""
        return self.container.size if self.container else None

    @property
    def in_hand(self) -> int | None:
        """Return the containers there are, an open one included; None where it is not said."""
        return self.container.in_hand if self.container else None

    def levels(self, days: Iterable[date]) -> tuple[Decimal, ...]:
        """Return how full containers are at first and after each day, in fillings.

        Args:
            days: In order; every day of `by_day` among them.

        Returns:
            One more than days; the first is what is in the open container and what sessions before
            the period add. A whole number is that many full. None at all where the stream has no
            container.
        """
        if not self.filling:
            return ()
        filled = [self.part_full + self.before]
        for day in days:
            filled.append(filled[-1] + self.by_day.get(day, Ended()).allow_for)
        return tuple(one / self.filling for one in filled)

    @property
    def lacks_containers(self) -> bool:
        """Return whether more containers are wanted than there are."""
        return self.in_hand is not None and self.containers > self.in_hand


@dataclass(slots=True)
class Collected:
    """Amounts by end, and the items that a stream's measure cannot count, by its folded name."""

    ended: dict[End, Ended] = field(default_factory=dict)
    uncounted: dict[str, dict[str, None]] = field(default_factory=dict)

    def add(self, goods: Goods, name: str, ends: Mapping[str, Ended]) -> None:
        """Add where an amount of an item or solution (folded) ends, in its own unit."""
        material = goods.materials[name]
        for end, amount in ends.items():
            stream = goods.streams.get(end)
            kind = stream.measure.kind if stream else material.unit
            try:
                measured = Ended(
                    measured_as(material, amount.expected, kind),
                    measured_as(material, amount.allow_for, kind),
                )
            except NoRouteError:
                self.uncounted.setdefault(end, {})[material.name] = None
                continue
            if measured:
                self.ended[end, kind] = self.ended.get((end, kind), Ended()) + measured


@dataclass(slots=True)
class _Tally:
    """Amounts by end and day, and the items that a stream's measure cannot count."""

    ended: dict[End, dict[date, Ended]] = field(default_factory=dict)
    uncounted: dict[str, dict[str, None]] = field(default_factory=dict)

    def add(self, collected: Collected, day: date) -> None:
        """Add what is collected on a day."""
        for end, amount in collected.ended.items():
            days = self.ended.setdefault(end, {})
            days[day] = days.get(day, Ended()) + amount
        for name, of_stream in collected.uncounted.items():
            self.uncounted.setdefault(name, {}).update(of_stream)

    def by_day(self, name: str, kind: Kind) -> dict[date, Ended]:
        """Return what ends in one place, in order of days."""
        return dict(sorted(self.ended.get((name, kind), {}).items()))


@dataclass(frozen=True, slots=True)
class Leaving:
    """What leaves waste: sessions, and what is left of batches on their last day."""

    works: tuple[SessionWork, ...] = ()
    leftovers: tuple[Leftover, ...] = ()


NOTHING_LEFT: Final = Leaving()


@dataclass(frozen=True, slots=True)
class WastePlan:
    """Streams, then what is not assigned; and what is kept, goes into the air or down the drain.

    `of_period` leaves what its figures count; what is `promised` fills containers first.
    """

    streams: tuple[StreamPlan, ...]
    other_ends: Mapping[End, Ended]
    of_period: Leaving = NOTHING_LEFT
    promised: Leaving = NOTHING_LEFT

    @property
    def leftovers(self) -> tuple[Leftover, ...]:
        """Return what is left of batches that its figures count."""
        return self.of_period.leftovers

    @property
    def leftovers_before(self) -> tuple[Leftover, ...]:
        """Return what is left of batches for sessions before the period."""
        return self.promised.leftovers

    @property
    def days(self) -> tuple[date, ...]:
        """Return the days on which anything is collected, in order."""
        return tuple(sorted({day for stream in self.streams for day in stream.by_day}))

    def rising(self) -> tuple["Rising", ...]:
        """Return how containers fill: of each stream by volume that has one and collects any."""
        return tuple(
            Rising(stream, levels, max(1, round_up(levels[-1])))
            for stream in self.streams
            if stream.kind is Kind.VOLUME and stream.by_day
            if (levels := stream.levels(self.days))
        )


@dataclass(frozen=True, slots=True)
class Rising:
    """How a stream's containers fill: `levels` in fillings, at first and after each day.

    `top` is the next whole number of fillings.
    """

    stream: StreamPlan
    levels: tuple[Decimal, ...]
    top: int


def waste_of(of_period: Leaving, promised: Leaving, stores: Stores, today: date) -> WastePlan:
    """Return what a period leaves behind, and when that fills containers.

    Args:
        of_period: The sessions of the period, and what is left of batches on a day of it.
        promised: Those from today up to the period, whose waste comes first.
        stores: The streams and their open containers.
        today: The day on which what is full already is dated.

    The shares of each line add up to its amount: what is not in a stream is in `other_ends`, in
    `not assigned`, held back by an agent or, where the stream's measure cannot count it, named as
    `uncounted`.
    """
    tally, before = _tally(of_period, stores.goods), _tally(promised, stores.goods)
    return WastePlan(
        streams=(
            *(
                _stream_plan(stream, stores.containers[name], (before, tally), today)
                for name, stream in stores.goods.streams.items()
            ),
            *_not_assigned(before, tally),
        ),
        other_ends={
            end: sum(days.values(), Ended())
            for end, days in tally.ended.items()
            if end[0] in KNOWN_ENDS
        },
        of_period=of_period,
        promised=promised,
    )


def collected_of(leaving: Leaving, goods: Goods) -> Collected:
    """Return what ends in each place, whatever the day, and what cannot be counted there."""
    tally = _tally(leaving, goods)
    ended = {end: sum(days.values(), Ended()) for end, days in tally.ended.items()}
    return Collected(ended, tally.uncounted)


def _tally(leaving: Leaving, goods: Goods) -> _Tally:
    tally = _Tally()
    for work, collected in with_their_size(leaving.works, lambda scale: _ends_of(scale, goods)):
        tally.add(collected, work.session.date)
    for leftover in leaving.leftovers:
        poured = Collected()
        shares = {share.end: leftover.amount.times(share.fraction) for share in leftover.ends}
        poured.add(goods, leftover.name, shares)
        tally.add(poured, leftover.date)
    return tally


def _ends_of(scale: Scale, goods: Goods) -> Collected:
    """Return where the lines of one size of session end, and what cannot be counted there."""
    collected = Collected()
    for ending in scale.endings.lines:
        collected.add(goods, ending.line.name, ending.ends)
    return collected


def waste_ends(
    name: str, works: Iterable[SessionWork], streams: Mapping[str, WasteStream]
) -> dict[str, tuple[str, ...]]:
    """Return where the waste of something goes: practicals' codes by stream, drain, not assigned.

    Args:
        name: A folded item or solution name, after replacements.
        works: The sessions that use it; a practical is named once.
        streams: By folded name, for their spelling.
    """
    ends: dict[str, dict[str, None]] = {}
    for work in works:
        for line in work.scale.lines:
            for share in line.ends if line.name == name else ():
                stream = streams.get(share.end)
                if stream is not None or share.end in (DRAIN, NOT_ASSIGNED):
                    spelled = stream.stream if stream else share.end
                    ends.setdefault(spelled, {})[work.session.practical] = None
    return {end: tuple(practicals) for end, practicals in ends.items()}


def streams_in_scripts(name: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Return the streams, as spelled, to which scripts send an item or solution (folded)."""
    found: dict[str, None] = {}
    for line in (line for lines in catalogue.lines.values() for line in lines):
        chain = catalogue.replaced(line.item)
        if fold(chain[-1].replaced_by if chain else line.item) != name:
            continue
        to = next((link.to for link in reversed(chain) if link.to), line.to)
        for share in to or ():
            stream = catalogue.streams.get(fold(share.end))
            if stream is not None:
                found[stream.stream] = None
    return tuple(found)


def _stream_plan(
    stream: WasteStream, container: WasteContainer, tallies: tuple[_Tally, _Tally], today: date
) -> StreamPlan:
    name, kind = fold(stream.stream), stream.measure.kind
    before, tally = tallies
    promised, by_day = before.by_day(name, kind), tally.by_day(name, kind)
    total = sum(by_day.values(), Ended())
    allowed_before = sum(promised.values(), Ended()).allow_for
    return StreamPlan(
        name=stream.stream,
        stream=stream,
        kind=kind,
        total=total,
        by_day=by_day,
        before=allowed_before,
        containers=container.wanted(allowed_before + total.allow_for),
        full_on=tuple(_full_on(_added(promised, by_day), container, today)),
        container=container,
        uncounted=tuple(tally.uncounted.get(name, ())),
    )


def _added(one: Mapping[date, Ended], other: Mapping[date, Ended]) -> dict[date, Ended]:
    """Return two mappings by day added, in order of days."""
    days = sorted(one.keys() | other.keys())
    return {day: one.get(day, Ended()) + other.get(day, Ended()) for day in days}


def _full_on(by_day: Mapping[date, Ended], container: WasteContainer, today: date) -> list[date]:
    """Return the day on which each filling is reached; what is full already is so today."""
    days: list[date] = []
    filled = container.filled
    if not container.size:
        return days
    for day, more in ((today, Ended()), *by_day.items()):
        filled += more.allow_for
        reached = times_reached(filled, container.size)
        days += [day] * (reached - len(days))
    return days


def _not_assigned(before: _Tally, tally: _Tally) -> list[StreamPlan]:
    kinds = sorted({kind for end, kind in (*before.ended, *tally.ended) if end == NOT_ASSIGNED})
    return [
        StreamPlan(
            name=NOT_ASSIGNED,
            stream=None,
            kind=kind,
            total=sum(tally.by_day(NOT_ASSIGNED, kind).values(), Ended()),
            by_day=tally.by_day(NOT_ASSIGNED, kind),
            before=sum(before.by_day(NOT_ASSIGNED, kind).values(), Ended()).allow_for,
        )
        for kind in kinds
    ]
