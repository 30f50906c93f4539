"""Which substances meet in a waste container, or stand at one place, and must not.

A solution is told as what it is made of. A pair of which nothing is known is never called safe.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from prepstore.amounts import Kind, is_more_than_nothing
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.makeup import Makeups
from prepstore.planning.composition import Composition, substance_of
from prepstore.planning.demands import Scale, SessionWork, by_scale
from prepstore.planning.endings import is_stream
from prepstore.planning.waste import End, StreamPlan
from prepstore.safety.meeting.halogens import not_taken
from prepstore.safety.meeting.meetings import (
    CONTENTS_UNKNOWN,
    Hit,
    Unchecked,
    hits_among,
    unchecked_among,
)
from prepstore.safety.meeting.remedies import Where
from prepstore.stores import Stores


@dataclass(frozen=True, slots=True)
class Meeting:
    """A hit in a stream or at a place, by its name; the sessions that send either substance.

    `is_in_one_thing` tells that both are there only in one and the same solution.
    """

    where: Where
    name: str
    hit: Hit
    sessions: tuple[str, ...] = ()
    is_in_one_thing: bool = False


@dataclass(frozen=True, slots=True)
class NotChecked:
    """A substance in a stream or at a place of which no pair could be looked up, and why."""

    where: Where
    name: str
    unchecked: Unchecked


@dataclass(frozen=True, slots=True)
class Halogenated:
    """Halogenated substances that a non-halogenated stream is sent, and by which sessions."""

    stream: str
    substances: tuple[str, ...]
    sessions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Meetings:
    """All that meets, streams first, then places, each by name."""

    hits: tuple[Meeting, ...]
    not_checked: tuple[NotChecked, ...]
    halogenated: tuple[Halogenated, ...]


def meetings_of(
    works: Sequence[SessionWork],
    streams: Iterable[StreamPlan],
    compositions: Mapping[End, Composition],
    stores: Stores,
    goods: Goods,
) -> Meetings:
    """Return what meets in the streams of a plan and at the places of the stores.

    Args:
        works: The plan's sessions, in order.
        streams: What they send something to.
        compositions: What is in each of them.
        stores: Their lots have places; what is in an open container is not known.
        goods: What is known of all of them.
    """
    makeups = Makeups(goods.parts, goods.materials)
    sent = _sent_to(works, makeups)
    hits: list[Meeting] = []
    not_checked: list[NotChecked] = []
    halogenated: list[Halogenated] = []
    for stream in streams:
        if stream.stream is None:
            continue
        contained = compositions.get((fold(stream.name), stream.kind), Composition()).contained
        substances = [substance_of(one.item) for one in contained]
        of = sent.get(fold(stream.name), {})
        hits += [
            Meeting(
                Where.STREAM,
                stream.name,
                hit,
                _sessions(works, of, hit.substances),
                _is_in_one_thing(of, hit),
            )
            for hit in hits_among(substances)
        ]
        unchecked = list(unchecked_among(substances))
        if is_more_than_nothing(stream.part_full):
            unchecked.append(CONTENTS_UNKNOWN)
        not_checked += [NotChecked(Where.STREAM, stream.name, one) for one in unchecked]
        wrong = not_taken(stream.name, substances)
        if wrong:
            halogenated.append(Halogenated(stream.name, wrong, _sessions(works, of, wrong)))
    for place, items in _at_places(stores, makeups):
        substances = [substance_of(goods.items[name]) for name in items]
        hits += [
            Meeting(Where.PLACE, place, hit, is_in_one_thing=_is_in_one_thing(items, hit))
            for hit in hits_among(substances)
        ]
        not_checked += [NotChecked(Where.PLACE, place, one) for one in unchecked_among(substances)]
    return Meetings(tuple(hits), tuple(not_checked), tuple(halogenated))


@dataclass(slots=True)
class _Origin:
    """What an item comes in (folded items and solutions), and the sessions that send it."""

    things: set[str] = field(default_factory=set)
    sessions: set[str] = field(default_factory=set)


_Origins = Mapping[str, _Origin]
"""By folded item."""


def _sent_to(works: Iterable[SessionWork], makeups: Makeups) -> Mapping[str, _Origins]:
    """Return what sessions send to each stream (folded)."""
    found: dict[str, dict[str, _Origin]] = {}
    for scale, of_size in by_scale(works):
        sessions = [work.session.session for work in of_size]
        for end, name in dict.fromkeys(_ended(scale)):
            for part in makeups.of(name).parts:
                origin = found.setdefault(end, {}).setdefault(part.name, _Origin())
                origin.things.add(name)
                origin.sessions.update(sessions)
    return found


def _ended(scale: Scale) -> Iterator[tuple[str, str]]:
    """Yield which streams get which items and solutions, held back in agents too."""
    for ending in scale.endings.lines:
        for end, amount in ending.ends.items():
            if amount and is_stream(end):
                yield end, ending.line.name
    for held in scale.endings.held_back:
        for share in held.agent.ends:
            if held.amount and is_stream(share.end):
                yield share.end, held.liquid


def _is_in_one_thing(origins: _Origins, hit: Hit) -> bool:
    """Return whether both of a pair come in one and the same thing alone."""
    first, second = (origins.get(fold(one), _Origin()).things for one in hit.substances)
    return len(first) == 1 and first == second


def _sessions(
    works: Iterable[SessionWork], origins: _Origins, substances: Iterable[str]
) -> tuple[str, ...]:
    """Return the sessions that send any of some substances, in the order of the plan."""
    names = set[str]().union(
        *(origins[fold(one)].sessions for one in substances if fold(one) in origins)
    )
    return tuple(work.session.session for work in works if work.session.session in names)


def _at_places(stores: Stores, makeups: Makeups) -> Iterator[tuple[str, _Origins]]:
    """Yield what stands at each place, places by name."""
    places: dict[str, tuple[str, dict[str, _Origin]]] = {}
    for held in stores.holdings.values():
        if held.lot.place is None or held.unit is Kind.COUNT or not held.amount:
            continue
        _, items = places.setdefault(fold(held.lot.place), (held.lot.place, {}))
        thing = fold(held.lot.item)
        for part in makeups.of(thing).parts:
            items.setdefault(part.name, _Origin()).things.add(thing)
    for key in sorted(places):
        yield places[key]
