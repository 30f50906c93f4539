"""What is in waste containers, solutions broken down into what they are made of, as plans do it."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from typing import Final

from prepstore.amounts import ZERO, Kind, settle
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import NoRouteError, measured_as
from prepstore.chemistry.makeup import Makeup, Makeups
from prepstore.containers import Content, put_together
from prepstore.shelf.container_contents import Contents, in_order

_HUNDRED: Final = Decimal(100)


@dataclass(frozen=True, slots=True)
class _Piece:
    """What a part of a solution takes up by itself; None where that cannot be told.

    `content` is None where it has no name.
    """

    content: Content | None
    takes_up: Decimal | None


@dataclass(frozen=True)
class Substances:
    """Breaks down what is in containers, by what is known of items and solutions."""

    goods: Goods

    @cached_property
    def _makeups(self) -> Makeups:
        return self.goods.makeups

    def within(self, contents: Contents, kind: Kind, *, is_apart: bool = False) -> Contents:
        """Return what is in a container as items, each as supplied.

        A solution of which no parts are known stays as itself, and so does one of which nobody can
        tell how its parts share its level. What of it no part accounts for is not known.

        Args:
            contents: What was poured in, as it is called.
            kind: What the stream of the container measures.
            is_apart: Whether what takes up room of a thing and what takes up none, since it is
                dissolved, are two parts; else they are one.

        Returns:
            The same level in all. What is dissolved takes up no volume.
        """
        found: list[Content] = []
        unknown = contents.unknown
        for one in contents.parts:
            for content, level in self._broken_down(one, kind):
                if content is None:
                    unknown += level
                else:
                    found.append(replace(content, level=level))
        if is_apart:
            taking_none = put_together(one for one in found if not one.level)
            parts = (*put_together(one for one in found if one.level), *taking_none)
        else:
            parts = put_together(found)
        return in_order(parts, unknown, contents.level)

    def _broken_down(self, one: Content, kind: Kind) -> "Iterable[_Shared]":
        makeup = self._makeup(one)
        shared = makeup and _shared(one.level, list(self._pieces(one, makeup, kind)))
        return shared or [(one, one.level)]

    def _makeup(self, one: Content) -> Makeup | None:
        """Return what a solution is made of; None of an item, and where it cannot be told."""
        if self.goods.parts.get(fold(one.item)):
            with suppress(NoRouteError):  # what another program has changed was not checked
                makeup = self._makeups.of(fold(one.item))
                return makeup if all(each >= 0 for each in makeup.parts.values()) else None
        return None

    def _pieces(self, one: Content, makeup: Makeup, kind: Kind) -> Iterator[_Piece]:
        for held, each in makeup.parts.items():
            item = self.goods.materials[held.name]
            content = Content(item.name, item.unit, one.amount * each, ZERO)
            if held.is_dissolved and kind is Kind.VOLUME:
                yield _Piece(content, ZERO)
            else:
                yield _Piece(content, self._measured(content, kind))
        for name, each in makeup.unknown.items():
            rest = Content(name, Kind.VOLUME, one.amount * each, ZERO)
            if self.goods.parts.get(fold(name)):
                # Known in part: the rest of it has neither a name nor a density of its own.
                yield _Piece(None, rest.amount if kind is Kind.VOLUME else None)
            else:
                yield _Piece(rest, self._measured(rest, kind))

    def _measured(self, one: Content, kind: Kind) -> Decimal | None:
        """Return a thing as a mass or volume; None where it cannot be turned into one."""
        material = self.goods.materials.get(fold(one.item))
        if one.unit is kind:
            return one.amount
        if material is None or material.unit is not one.unit:
            return None
        try:
            return measured_as(material, one.amount, kind)
        except NoRouteError:
            return None

    def mass_of(self, contents: Contents, kind: Kind) -> tuple[Decimal, list[str]]:
        """Return the mass of what is in a container, in g, and what of it has no density to tell.

        What the stream measures by mass has that mass. A solution without a density has the mass
        of its parts together. What is not known goes by a blank name.
        """
        if kind is Kind.MASS:
            return contents.level, []
        mass, lacking = ZERO, dict[str, None]()
        for one in contents.parts:
            for name, found in self._masses(one):
                mass += found or ZERO
                if found is None:
                    lacking[name] = None
        if contents.unknown > 0:
            lacking[""] = None
        return settle(mass), list(lacking)

    def _masses(self, one: Content) -> Iterator[tuple[str, Decimal | None]]:
        own, makeup = self._measured(one, Kind.MASS), self._makeup(one)
        if own is not None or makeup is None:
            yield one.item, own
            return
        for piece in self._pieces(one, makeup, Kind.MASS):
            yield piece.content.item if piece.content else one.item, piece.takes_up


_Shared = tuple[Content | None, Decimal]
"""A piece and its level; None where the piece has no name."""


def _shared(level: Decimal, pieces: Sequence[_Piece]) -> list[_Shared] | None:
    """Return pieces with their shares of a level, as they measure; None where it cannot be told.

    One piece that cannot be measured has what the others leave of the level.
    """
    told = sum((one.takes_up for one in pieces if one.takes_up is not None), ZERO)
    untold = sum(one.takes_up is None for one in pieces)
    is_lost = not level and any(one.content is None for one in pieces)
    if untold > 1 or not (told or untold) or is_lost:
        return None
    left = max(level - told, ZERO) if untold else ZERO
    of_told = (level - left) / told if told else ZERO
    return [
        (one.content, left if one.takes_up is None else one.takes_up * of_told) for one in pieces
    ]


@dataclass(frozen=True, slots=True)
class Range:
    """The least and the greatest share of a thing in several containers, in % of their level.

    Of what takes up no room, `unit` is that of the least and the greatest amount in a container. A
    thing of which some takes up room and some none has a range of each.
    """

    item: str
    least: Decimal
    greatest: Decimal
    unit: Kind | None = None


def ranges_of(containers: Iterable[Contents]) -> list[Range]:
    """Return each thing's share in containers that hold anything, the greatest first.

    What is not known goes by a blank name. Amounts of what takes up no room stand last.
    """
    filled = [one for one in containers if one.level > 0]
    shares: dict[tuple[str, Kind | None], list[Decimal]] = {}
    spelled: dict[str, str] = {"": ""}
    for place, contents in enumerate(filled):
        for item, unit, figure in _figures(contents):
            spelled[fold(item)] = item
            of_item = shares.setdefault((fold(item), unit), [ZERO] * len(filled))
            of_item[place] = figure
    ranges = [Range(spelled[name], min(of), max(of), unit) for (name, unit), of in shares.items()]
    return sorted(ranges, key=lambda one: (one.unit is not None, -one.greatest, fold(one.item)))


def _figures(contents: Contents) -> Iterator[tuple[str, Kind | None, Decimal]]:
    """Yield each thing with its share in %, or with its amount where it takes up no room."""
    for part in contents.parts:
        if part.level > 0:
            yield part.item, None, part.level / contents.level * _HUNDRED
        else:
            yield part.item, part.unit, part.amount
    if contents.unknown > 0:
        yield "", None, contents.unknown / contents.level * _HUNDRED
