"""Which substances meet in a waste container, or stand at one place, and must not.

A solution is told as what it is made of. A pair of which nothing is known is never called safe.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from prepstore.amounts import Kind, is_more_than_nothing
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.makeup import Makeups
from prepstore.filling import WasteContainer
from prepstore.planning.composition import Composition, substance_of
from prepstore.planning.demands import Scale, SessionWork, by_scale
from prepstore.planning.endings import is_stream
from prepstore.planning.leftovers import Leftover
from prepstore.planning.waste import End, WastePlan
from prepstore.safety.meeting.halogens import not_taken
from prepstore.safety.meeting.meetings import (
    CONTENTS_KNOWN_IN_PART,
    CONTENTS_UNKNOWN,
    NOT_IN_TABLES,
    Hit,
    Unchecked,
    hits_among,
    unchecked_among,
)
from prepstore.safety.meeting.placing import Substance
from prepstore.safety.meeting.remedies import Where
from prepstore.stores import Stores


@dataclass(frozen=True, slots=True)
class Meeting:
    """A hit in a stream or at a place, by its name; the sessions that send either substance.

    Of a stream `sent` are those of the pair that the plan sends to it, `already_there` those that
    are in its open container. `is_in_one_thing` tells that both are there only in one and the same
    solution.
    """

    where: Where
    name: str
    hit: Hit
    sessions: tuple[str, ...] = ()
    is_in_one_thing: bool = False
    sent: tuple[str, ...] = ()
    already_there: tuple[str, ...] = ()

    @property
    def from_before(self) -> tuple[str, ...]:
        """Return those of the pair that are in the open container and that the plan does not send.

        Both, where the plan adds neither: they have met already.
        """
        return tuple(one for one in self.already_there if one not in self.sent)

    @property
    def is_to_come(self) -> bool:
        """Return whether the plan, or where things are kept, brings the two together."""
        return self.where is Where.PLACE or bool(self.sent)


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
    waste: WastePlan,
    compositions: Mapping[End, Composition],
    stores: Stores,
    goods: Goods,
) -> Meetings:
    """Return what meets in the streams of a plan and at the places of the stores.

    Args:
        works: The plan's sessions, in order.
        waste: The streams that they and what is left of batches send something to, with their
            open containers.
        compositions: What is sent to each of them.
        stores: Their lots have places.
        goods: What is known of all of them.
    """
    makeups = goods.makeups
    sent = _sent_to(works, waste.leftovers, makeups)
    hits: list[Meeting] = []
    not_checked: list[NotChecked] = []
    halogenated: list[Halogenated] = []
    for stream in waste.streams:
        if stream.container is None:
            continue
        origins = sent.get(fold(stream.name), {})
        inside = _inside(stream.container, makeups, goods)
        contained = compositions.get((fold(stream.name), stream.kind), Composition()).contained
        poured = [substance_of(one.item) for one in contained]
        there = [substance_of(goods.items[name]) for name in inside.origins]
        of = _OfStream(works, _both(origins, inside.origins), _names(poured), _names(there))
        substances = [*poured, *there]
        hits += [of.meeting(stream.name, hit) for hit in hits_among(substances)]
        unchecked = (*unchecked_among(substances), *inside.unchecked)
        not_checked += [NotChecked(Where.STREAM, stream.name, one) for one in unchecked]
        wrong = not_taken(stream.name, poured)
        if wrong:
            halogenated.append(Halogenated(stream.name, wrong, of.sessions(wrong)))
    for place, origins in _at_places(stores, makeups):
        kept = [substance_of(goods.items[name]) for name in origins]
        hits += [
            Meeting(Where.PLACE, place, hit, is_in_one_thing=_is_in_one_thing(origins, hit))
            for hit in hits_among(kept)
        ]
        not_checked += [NotChecked(Where.PLACE, place, one) for one in unchecked_among(kept)]
    return Meetings(tuple(hits), tuple(not_checked), tuple(halogenated))


@dataclass(slots=True)
class _Origin:
    """What an item comes in (folded items and solutions), and the sessions that send it."""

    things: set[str] = field(default_factory=set)
    sessions: set[str] = field(default_factory=set)


_Origins = Mapping[str, _Origin]
"""By folded item."""


@dataclass(frozen=True, slots=True)
class _OfStream:
    """Where the substances of a stream come from; names of what is `sent` and what is `there`."""

    works: Sequence[SessionWork]
    origins: _Origins
    sent: frozenset[str]
    there: frozenset[str]

    def meeting(self, stream: str, hit: Hit) -> Meeting:
        """Return a hit in the stream, with who sends it and what was there before."""
        return Meeting(
            where=Where.STREAM,
            name=stream,
            hit=hit,
            sessions=self.sessions(hit.substances),
            is_in_one_thing=_is_in_one_thing(self.origins, hit),
            sent=tuple(one for one in hit.substances if fold(one) in self.sent),
            already_there=tuple(one for one in hit.substances if fold(one) in self.there),
        )

    def sessions(self, substances: Iterable[str]) -> tuple[str, ...]:
        """Return the sessions that send any of some substances, in the order of the plan."""
        known = (self.origins.get(fold(one)) for one in substances)
        names = set[str]().union(*(origin.sessions for origin in known if origin))
        return tuple(one for work in self.works if (one := work.session.session) in names)


def _names(substances: Iterable[Substance]) -> frozenset[str]:
    return frozenset(fold(one.name) for one in substances)


def _both(one: _Origins, other: _Origins) -> _Origins:
    """Return where items come from, by two accounts together."""
    nothing = _Origin()
    return {
        name: _Origin(
            one.get(name, nothing).things | other.get(name, nothing).things,
            one.get(name, nothing).sessions | other.get(name, nothing).sessions,
        )
        for name in (*one, *other)
    }


@dataclass(frozen=True, slots=True)
class _Inside:
    """What an open container holds: its items, and what of it cannot be looked up."""

    origins: _Origins
    unchecked: tuple[Unchecked, ...]


def _inside(container: WasteContainer, makeups: Makeups, goods: Goods) -> _Inside:
    """Return what an open container holds, solutions as what they are made of.

    Counted things are left out, as they are of what is sent.
    """
    items: dict[str, _Origin] = {}
    unchecked: list[Unchecked] = []
    is_unknown = is_more_than_nothing(container.unknown)
    for one in container.known:
        name = fold(one.item)
        if name not in goods.materials:
            unchecked.append(Unchecked(one.item, NOT_IN_TABLES))
        elif one.unit is not Kind.COUNT and is_more_than_nothing(one.amount):
            _bring(items, name, makeups)
            is_unknown = is_unknown or bool(makeups.of(name).unknown)
    if is_unknown:
        unchecked.append(CONTENTS_KNOWN_IN_PART if container.known else CONTENTS_UNKNOWN)
    return _Inside(items, tuple(unchecked))


def _sent_to(
    works: Iterable[SessionWork], leftovers: Iterable[Leftover], makeups: Makeups
) -> Mapping[str, _Origins]:
    """Return what sessions, and what is left of batches, send to each stream (folded)."""
    found: dict[str, dict[str, _Origin]] = {}
    for scale, of_size in by_scale(works):
        sessions = [work.session.session for work in of_size]
        for end, name in dict.fromkeys(_ended(scale)):
            _bring(found.setdefault(end, {}), name, makeups, sessions)
    for leftover in leftovers:
        for share in leftover.ends:
            _bring(found.setdefault(share.end, {}), leftover.name, makeups)
    return found


def _bring(
    items: dict[str, _Origin], name: str, makeups: Makeups, sessions: Sequence[str] = ()
) -> None:
    """Note that a thing (folded) brings the items that it is made of, and who sends it."""
    for part in makeups.of(name).parts:
        origin = items.setdefault(part.name, _Origin())
        origin.things.add(name)
        origin.sessions.update(sessions)


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


def _at_places(stores: Stores, makeups: Makeups) -> Iterator[tuple[str, _Origins]]:
    """Yield what stands at each place, places by name."""
    places: dict[str, tuple[str, dict[str, _Origin]]] = {}
    for held in stores.holdings.values():
        if held.lot.place is None or held.unit is Kind.COUNT or not held.amount:
            continue
        _, items = places.setdefault(fold(held.lot.place), (held.lot.place, {}))
        _bring(items, fold(held.lot.item), makeups)
    for key in sorted(places):
        yield places[key]
