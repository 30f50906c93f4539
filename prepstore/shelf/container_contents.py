"""What is in a waste container: each thing that was poured in, and a part that is not known."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from prepstore.amounts import Kind, of_billionths, settle
from prepstore.cell_types import fold
from prepstore.containers import (
    ContainerChange,
    Content,
    RecordedContainer,
    level_of,
)
from prepstore.recorded import standing


@dataclass(frozen=True, slots=True)
class Contents:
    """What is in a container, the most first; the levels and `unknown` add up to its level."""

    parts: tuple[Content, ...]
    unknown: Decimal

    @property
    def level(self) -> Decimal:
        """Return what the container holds, in mL or g as the stream measures."""
        return self.unknown + level_of(self.parts)


def contents_of(history: Sequence[RecordedContainer]) -> Contents:
    """Return what is in a container after all that happened to it and counts.

    What was there at first or was poured in without a name is not known; nor is what a measurement
    found beyond what was booked. Where it found less, something of each thing that takes up room is
    gone in equal shares, since nobody knows which; what takes up none stays as it was booked.

    Args:
        history: All changes of the container, in the order of recording.
    """
    mixture = _Mixture()
    for one in standing(history):
        mixture.add(one.change)
    return mixture.contents()


class _Mixture:
    def __init__(self) -> None:
        self._unknown = Fraction(0)
        self._levels: dict[str, Fraction] = {}
        self._amounts: dict[str, Fraction] = {}
        self._named: dict[str, tuple[str, Kind]] = {}

    def add(self, change: ContainerChange) -> None:
        """Add a change of the container."""
        if change.item is not None and change.item_unit is not None:
            name = fold(change.item)
            self._named[name] = change.item, change.item_unit
            level = self._levels.get(name, Fraction(0)) + change.billionths
            self._levels[name] = max(level, Fraction(0))
            # What came back may be more than is left of it once some was measured away.
            self._unknown += min(level, Fraction(0))
            amount = self._amounts.get(name, Fraction(0)) + change.item_billionths
            self._amounts[name] = max(amount, Fraction(0))
        elif change.billionths < 0:
            self._lose(Fraction(-change.billionths))
        else:
            self._unknown += change.billionths

    def _lose(self, less: Fraction) -> None:
        """Take something of each part that takes up room, in equal shares."""
        whole = self._whole()
        left = max(Fraction(0), 1 - less / whole) if whole else Fraction(0)
        self._unknown *= left
        for name, level in self._levels.items():
            if level:
                self._levels[name] = level * left
                self._amounts[name] *= left

    def _whole(self) -> Fraction:
        return self._unknown + sum(self._levels.values(), Fraction(0))

    def contents(self) -> Contents:
        """Return what is there."""
        parts = (
            Content(*self._named[name], _settled(self._amounts[name]), _settled(level))
            for name, level in self._levels.items()
        )
        return in_order(parts, _settled(self._unknown), _settled(self._whole()))


def _settled(number: Fraction) -> Decimal:
    return of_billionths(round(number))


def in_order(parts: Iterable[Content], unknown: Decimal, level: Decimal) -> Contents:
    """Return what is in a container, the most first, settled to a billionth.

    Levels and what is not known are to come to a level: the largest part has the odd billionths.
    """
    settled = (replace(one, amount=settle(one.amount), level=settle(one.level)) for one in parts)
    there = sorted((one for one in settled if one.amount or one.level), key=_most_first)
    odd = level - settle(unknown) - level_of(there)
    if odd and there and there[0].level:
        there[0] = replace(there[0], level=there[0].level + odd)
    return Contents(tuple(there), settle(unknown))


def _most_first(part: Content) -> tuple[Decimal, Decimal, str]:
    return -part.level, -part.amount, fold(part.item)
