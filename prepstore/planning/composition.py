"""What is in the waste: substances as supplied, in mL and g, in each stream.

A solution is broken down into what it is made from, by the rule that says how it is made; what is
dissolved in it has no volume of its own.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import Final

from prepstore.amounts import ZERO, Kind
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material, NoRouteError, measured_as
from prepstore.chemistry.makeup import Held
from prepstore.chemistry.water import CAS_NUMBER_OF_WATER, is_water
from prepstore.facts import Item
from prepstore.planning.demands import by_scale
from prepstore.planning.endings import Ended, Endings, is_stream
from prepstore.planning.waste import End, Leaving
from prepstore.safety.meeting import halogens
from prepstore.safety.meeting.placing import Substance

HUNDRED: Final = Decimal(100)


def substance_of(item: Item) -> Substance:
    """Return an item as a substance whose groups in the chart are looked up."""
    cas = CAS_NUMBER_OF_WATER if is_water(item) else item.cas
    return Substance(item.item, cas, item.group)


def is_halogenated(item: Item) -> bool:
    """Return whether an item is a halogenated organic substance, by its groups in the chart."""
    return halogens.is_halogenated(substance_of(item))


@dataclass(frozen=True, slots=True)
class Contained:
    """How much of a substance is in a stream, as supplied: `amount` in its unit, in mL, and in g.

    What `is_held_back` is in an agent or paper there, and adds nothing to the stream. `not_known`
    are the kinds (volume, mass) in which it cannot be measured and counts nothing.
    """

    item: Item
    amount: Ended
    ml: Ended
    g: Ended
    is_held_back: bool
    not_known: tuple[Kind, ...] = ()

    def measured(self, kind: Kind) -> Ended:
        """Return its volume in mL, or its mass in g."""
        return self.ml if kind is Kind.VOLUME else self.g


@dataclass(frozen=True)
class Composition:
    """What is in a stream, the most first, what is held back last.

    `unknown_ml` is what of its solutions no part accounts for; `unknown` are their names.
    """

    contained: tuple[Contained, ...] = ()
    unknown_ml: Ended = field(default_factory=Ended)
    unknown: tuple[str, ...] = ()

    @cached_property
    def ml(self) -> Ended:
        """Return the volume of all substances that are known, mL; what is held back left out."""
        return self._whole(Kind.VOLUME)

    @cached_property
    def g(self) -> Ended:
        """Return the mass of all substances that are known, g; what is held back left out."""
        return self._whole(Kind.MASS)

    def _whole(self, kind: Kind) -> Ended:
        own = (one.measured(kind) for one in self.contained if not one.is_held_back)
        return sum(own, Ended())

    def percent(self, of: Contained, kind: Kind) -> Decimal | None:
        """Return a substance's share of what is known, by volume or by mass, in %; of *expected*.

        What is held back has none. None where nothing is known by that measure.
        """
        whole = self.ml.expected if kind is Kind.VOLUME else self.g.expected
        if not whole:
            return None
        return ZERO if of.is_held_back else of.measured(kind).expected / whole * HUNDRED

    def percent_of(self, is_meant: Callable[[Item], bool], kind: Kind) -> Decimal | None:
        """Return the share of all substances of a sort, as `percent`."""
        shares = [self.percent(one, kind) for one in self.contained]
        meant = [
            share
            for one, share in zip(self.contained, shares, strict=True)
            if share is not None and is_meant(one.item)
        ]
        return None if None in shares or not shares else sum(meant, ZERO)


NOTHING_IN_IT: Final = Composition()


def compositions_of(leaving: Leaving, goods: Goods) -> Mapping[End, Composition]:
    """Return what is in each stream, and in what is not assigned.

    Args:
        leaving: The sessions, and what is left of batches.
        goods: What is known of what they use.

    Returns:
        By folded stream and the kind that it is measured in; one that gets nothing is left out.
    """
    return Compositions(goods).of(leaving)


class Compositions:
    """Works out what is in streams, each solution broken down once however often it is asked.

    Args:
        goods: What is known of what leaves waste.
    """

    def __init__(self, goods: Goods) -> None:
        self._goods = goods

    def of(self, leaving: Leaving) -> Mapping[End, Composition]:
        """Return what is in each stream, as `compositions_of`."""
        mixtures = _Mixtures(self._goods)
        return {end: one.composition(self._goods) for end, one in mixtures.of(leaving).items()}


class _Mixture:
    """What is poured together: amounts in the unit of each item, and mL that nothing accounts for.

    Items are by how they are held, and whether in an agent or paper.
    """

    def __init__(self) -> None:
        self._parts: dict[tuple[Held, bool], Ended] = {}
        self._unknown: dict[str, Ended] = {}

    def add(self, held: Held, amount: Ended, *, is_held_back: bool) -> None:
        """Add an amount of an item."""
        key = (held, is_held_back)
        self._parts[key] = self._parts.get(key, Ended()) + amount

    def add_unknown(self, solution: str, ml: Ended) -> None:
        """Add what of a solution no part accounts for."""
        self._unknown[solution] = self._unknown.get(solution, Ended()) + ml

    def composition(self, goods: Goods) -> Composition:
        """Return what all of it comes to; counted things have neither volume nor mass."""
        keys = dict.fromkeys((held.name, is_back) for held, is_back in self._parts)
        contained = [
            self._contained(goods.items[name], goods.materials[name], is_held_back=is_back)
            for name, is_back in keys
            if goods.materials[name].unit is not Kind.COUNT
        ]
        return Composition(
            tuple(sorted(contained, key=_order)),
            sum(self._unknown.values(), Ended()),
            tuple(sorted(self._unknown)),
        )

    def _contained(self, item: Item, material: Material, *, is_held_back: bool) -> Contained:
        name = fold(item.item)
        dissolved, other = (
            self._parts.get((Held(name, is_dissolved), is_held_back), Ended())
            for is_dissolved in (True, False)
        )
        ml = _measured(material, other, Kind.VOLUME)
        g = _measured(material, dissolved + other, Kind.MASS)
        unknown = [kind for kind, amount in ((Kind.VOLUME, ml), (Kind.MASS, g)) if amount is None]
        return Contained(
            item, dissolved + other, ml or Ended(), g or Ended(), is_held_back, tuple(unknown)
        )


def _order(one: Contained) -> tuple[bool, Decimal, str]:
    return one.is_held_back, -max(one.ml.expected, one.g.expected), fold(one.item.item)


def _measured(material: Material, amount: Ended, kind: Kind) -> Ended | None:
    """Return an amount as a volume or a mass; None where it cannot be turned into one."""
    if not amount:
        return amount
    try:
        return Ended(
            measured_as(material, amount.expected, kind),
            measured_as(material, amount.allow_for, kind),
        )
    except NoRouteError:
        return None


class _Mixtures:
    """What is poured together, by where it ends."""

    def __init__(self, goods: Goods) -> None:
        self._goods = goods
        self._makeups = goods.makeups
        self._by_end: dict[End, _Mixture] = {}

    def of(self, leaving: Leaving) -> Mapping[End, _Mixture]:
        """Return what sessions and what is left of batches send to streams, by end."""
        for scale, works in by_scale(leaving.works):
            self._add_lines(scale.endings, len(works))
        for leftover in leaving.leftovers:
            for share in leftover.ends:
                self._add(share.end, leftover.name, leftover.amount.times(share.fraction))
        return self._by_end

    def _add_lines(self, endings: Endings, times: int) -> None:
        """Add what the lines of so many sessions of one size send to streams or hold back."""
        for ending in endings.lines:
            for end, amount in ending.ends.items():
                self._add(end, ending.line.name, amount.times(times))
        for held in endings.held_back:
            for share in held.agent.ends:
                amount = held.amount.times(share.fraction * times)
                self._add(share.end, held.liquid, amount, within=held.agent.name)

    def _add(self, end: str, name: str, amount: Ended, *, within: str | None = None) -> None:
        """Add an amount of an item or solution, in its unit, where it ends in a stream.

        Args:
            end: Folded.
            name: Folded.
            amount: In its unit.
            within: The agent or paper (folded) that holds it back, if one does.
        """
        if not is_stream(end) or not amount:
            return
        stream = self._goods.streams.get(end)
        kind = stream.measure.kind if stream else self._goods.materials[within or name].unit
        mixture = self._by_end.setdefault((end, kind), _Mixture())
        makeup = self._makeups.of(name)
        for held, each in makeup.parts.items():
            mixture.add(held, amount.times(each), is_held_back=within is not None)
        for solution, each in makeup.unknown.items():
            mixture.add_unknown(solution, amount.times(each))
