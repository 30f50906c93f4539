"""Carbon dioxide that sessions and streams may give off, and how acid or alkaline streams are."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.acids_and_bases import InMoles
from prepstore.chemistry.carbon_dioxide import CarbonDioxide, carbon_dioxide_from
from prepstore.chemistry.conversions import Material, NoRouteError, holding_moles
from prepstore.chemistry.neutralising import AcidBaseBalance, acid_base_balance
from prepstore.chemistry.routes import Route
from prepstore.planning.composition import NOTHING_IN_IT, Composition
from prepstore.planning.demands import Scale, SessionWork, with_their_size
from prepstore.planning.endings import Ended
from prepstore.planning.waste import End, StreamPlan


@dataclass(frozen=True, slots=True)
class Gas:
    """The most carbon dioxide that a session or a stream (by its name) may give off.

    `groups` is how many groups a session has; None for a stream. `not_counted` are acids and bases
    of which the mol are not known.
    """

    name: str
    groups: int | None
    expected: CarbonDioxide | None
    allow_for: CarbonDioxide | None
    not_counted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StreamAcidity:
    """The acids and bases of a stream, of what is expected in it."""

    stream: str
    balance: AcidBaseBalance
    not_counted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AcidsAndBases:
    """Acids and bases in mol, without and with spare; the items whose mol are not known."""

    expected: tuple[InMoles, ...]
    allow_for: tuple[InMoles, ...]
    not_counted: tuple[str, ...]

    @property
    def is_anything(self) -> bool:
        """Return whether there is any of them."""
        return bool(self.expected or self.not_counted)


class Acidities:
    """Counts acids and bases in what sessions use and in what streams collect.

    Args:
        goods: Items, solutions and what they are made of.
    """

    def __init__(self, goods: Goods) -> None:
        self._goods = goods
        self._makeups = goods.makeups

    def gas_of_sessions(self, works: Iterable[SessionWork]) -> Iterator[Gas]:
        """Yield each session in which acid may meet carbonates, in order."""
        for work, amounts in with_their_size(works, self._used_in_moles):
            yield from _gas(work.session.session, work.scale.groups, amounts)

    def gas_of_streams(
        self, streams: Iterable[StreamPlan], compositions: Mapping[End, Composition]
    ) -> Iterator[Gas]:
        """Yield each stream in which acid may meet carbonates, in order."""
        for stream in streams:
            if stream.stream is not None:
                yield from _gas(stream.name, None, self._in_stream(stream, compositions))

    def of_streams(
        self, streams: Iterable[StreamPlan], compositions: Mapping[End, Composition]
    ) -> Iterator[StreamAcidity]:
        """Yield the balance of each stream in which there is any acid or base, in order."""
        for stream in streams:
            if stream.stream is None:
                continue
            amounts = self._in_stream(stream, compositions)
            if amounts.is_anything:
                balance = acid_base_balance(amounts.expected)
                yield StreamAcidity(stream.name, balance, amounts.not_counted)

    def _used_in_moles(self, scale: Scale) -> AcidsAndBases:
        return self.in_moles(self._used(scale))

    def _used(self, scale: Scale) -> dict[str, Ended]:
        """Return what a session uses of each item (folded), solutions as what they are made of."""
        used: dict[str, Ended] = {}
        for line in scale.lines:
            amount = Ended(line.expected, line.amount)
            for held, each in self._makeups.of(line.name).parts.items():
                used[held.name] = used.get(held.name, Ended()) + amount.times(each)
        return used

    def _in_stream(
        self, stream: StreamPlan, compositions: Mapping[End, Composition]
    ) -> AcidsAndBases:
        return self.in_moles(amounts_in(compositions, stream))

    def in_moles(self, amounts: Mapping[str, Ended]) -> AcidsAndBases:
        """Return the acids and bases among amounts of items (folded), each in its unit."""
        expected, allow_for, not_counted = [], [], []
        for name, amount in amounts.items():
            item = self._goods.items[name]
            if item.acid_or_base is None or not amount:
                continue
            try:
                mol = amount.times(_mol_of_unit(self._goods.materials[name]))
            except NoRouteError:
                not_counted.append(item.item)
                continue
            expected.append(InMoles(item.acid_or_base, mol.expected))
            allow_for.append(InMoles(item.acid_or_base, mol.allow_for))
        return AcidsAndBases(tuple(expected), tuple(allow_for), tuple(sorted(not_counted)))


def amounts_in(compositions: Mapping[End, Composition], stream: StreamPlan) -> Mapping[str, Ended]:
    """Return what a stream gets of each item (folded), in its unit; what is held back left out."""
    composition = compositions.get((fold(stream.name), stream.kind), NOTHING_IN_IT)
    return {
        fold(one.item.item): one.amount for one in composition.contained if not one.is_held_back
    }


def _mol_of_unit(material: Material) -> Decimal:
    """Return the mol of its formula in a unit (g, mL) of a material.

    Raises:
        NoRouteError: Its formula, strength or density is missing.
    """
    return 1 / holding_moles(material, Route(Decimal(1), ())).number


def _gas(name: str, groups: int | None, amounts: AcidsAndBases) -> Iterator[Gas]:
    expected = carbon_dioxide_from(amounts.expected)
    allow_for = carbon_dioxide_from(amounts.allow_for)
    if any(one is not None and one.mol > ZERO for one in (expected, allow_for)):
        yield Gas(name, groups, expected, allow_for, amounts.not_counted)
