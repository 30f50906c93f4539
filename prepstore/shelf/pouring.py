"""What is poured into the open container of a stream: full ones are sealed, the next is opened."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import LARGEST_AMOUNT, Kind, in_billionths
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material
from prepstore.containers import (
    ContainerChange,
    ContainerState,
    ContainerWhat,
    RecordedContainer,
    free_container_label,
)
from prepstore.facts import WasteStream
from prepstore.planning.pours import content_of
from prepstore.problems import RefusedError
from prepstore.stores import Stores

MOST_AT_ONCE: Final = 1000
"""More containers than anybody fills in one go: the amount or the size is probably wrong."""

MOST: Final = in_billionths(LARGEST_AMOUNT)


@dataclass(frozen=True, slots=True)
class Poured:
    """Something that is poured into a container, in billionths.

    `level` is how much it adds there, in mL or g as the stream measures: 0 where it cannot be
    measured so. `item` is what it is (None: not known), `amount` how much in its unit.
    """

    level: int
    item: Material | None = None
    amount: int = 0
    written: str = ""
    lot: str | None = None

    @property
    def is_anything(self) -> bool:
        """Return whether there is any of it."""
        return bool(self.level or self.amount)


def poured_of(item: Material, amount: Decimal, kind: Kind, lot: str | None = None) -> Poured:
    """Return an amount of an item (in its unit) as it is poured into a stream of a kind."""
    content = content_of(item, amount, kind)
    return Poured(in_billionths(content.level), item, in_billionths(content.amount), lot=lot)


@dataclass(slots=True)
class _Stream:
    """The containers of a stream as they stand while something is poured.

    `size` is what one may be filled to, in billionths; `empty` is None where it is not known.
    """

    fact: WasteStream
    size: int | None
    empty: int | None
    label: str


class Pouring:
    """Pours things into the containers of streams, one after the other, and notes what changes."""

    def __init__(self, stores: Stores, day: date) -> None:
        self._day = day
        self._taken = set(stores.container_labels)
        self._levels: dict[str, int] = {}
        self._streams: dict[str, _Stream] = {}
        for name, container in stores.containers.items():
            # A size below a billionth holds nothing, and would never be filled.
            size = in_billionths(container.size) or None if container.size else None
            fact = stores.goods.streams[name]
            self._streams[name] = _Stream(fact, size, container.empty, container.label)
            if container.label:
                self._levels[container.label] = in_billionths(container.filled)
            self._levels |= {one.label: in_billionths(one.filled) for one in container.sealed}
        self.changes: list[ContainerChange] = []

    def pour(self, stream: str, parts: Iterable[Poured]) -> None:
        """Pour things together into a stream (folded): each container gets the same mixture.

        Raises:
            RefusedError: It is more than any container holds, or fills a great many of them.
        """
        held = self._streams[stream]
        left = [part for part in parts if part.is_anything]
        total = sum(part.level for part in left)
        if held.size and total // held.size > MOST_AT_ONCE:
            what = f"This would fill more than {MOST_AT_ONCE} containers of {held.fact.stream}."
            raise RefusedError(f"{what} Check the amount, and the size of its containers.")
        while left:
            if self._is_full(held):
                self.seal(stream)
            if not held.label:
                self.open(stream)
            take = min(total, self._room(held))
            now, left = _split(left, take, total)
            total -= take
            for part in now:
                self._fill(held, part)
            if self._is_full(held):
                self.seal(stream)

    def _room(self, held: _Stream) -> int:
        room = MOST - self._levels[held.label]
        return room if held.size is None else min(room, held.size - self._levels[held.label])

    def _is_full(self, held: _Stream) -> bool:
        return bool(held.label and held.size is not None and self._levels[held.label] >= held.size)

    def _fill(self, held: _Stream, part: Poured) -> None:
        if self._levels[held.label] + part.level >= MOST:
            what = f"Container {held.label} of {held.fact.stream} would hold more than any does."
            raise RefusedError(f"{what} Check the amount and its unit.")
        self._levels[held.label] += part.level
        change = self.change(held.fact, ContainerWhat.FILLED, held.label, part)
        self.changes.append(replace(change, written=part.written, lot=part.lot))

    def open(self, stream: str, label: str | None = None) -> str:
        """Open an empty container of a stream (folded); return its label."""
        held = self._streams[stream]
        held.label = label or free_container_label(self._taken, self._day)
        self._taken.add(fold(held.label))
        self._levels[held.label] = 0
        is_taken = bool(held.empty)
        held.empty = held.empty and held.empty - 1
        change = self.change(held.fact, ContainerWhat.OPENED, held.label)
        self.changes.append(
            replace(change, was="", now=ContainerState.OPEN, empty=-1 if is_taken else 0)
        )
        return held.label

    def seal(self, stream: str) -> None:
        """Seal the open container of a stream (folded)."""
        held = self._streams[stream]
        change = self.change(held.fact, ContainerWhat.SEALED, held.label)
        self.changes.append(replace(change, was=ContainerState.OPEN, now=ContainerState.SEALED))
        held.label = ""

    def take_back(self, stream: str, part: Poured, before: Sequence[RecordedContainer]) -> None:
        """Take something out again of the containers into which it was poured, the last one first.

        What is not there any more, since its container was collected or measured, stays out.

        Args:
            stream: Folded.
            part: What is taken back.
            before: What was poured for the same purpose.
        """
        held, left = self._streams[stream], part
        for container, there in reversed(_net(before, part, stream).items()):
            if not left.is_anything or container not in self._levels:
                continue
            level = min(left.level, there.level, self._levels[container])
            share = left.amount * level // left.level if level < left.level else left.amount
            some = replace(left, level=level, amount=min(share, there.amount))
            left = replace(left, level=left.level - level, amount=left.amount - some.amount)
            if some.is_anything:
                self._levels[container] -= level
                back = replace(some, level=-level, amount=-some.amount)
                what = ContainerWhat.TAKEN_BACK
                self.changes.append(self.change(held.fact, what, container, back))

    @staticmethod
    def change(
        stream: WasteStream, what: ContainerWhat, label: str, part: Poured | None = None
    ) -> ContainerChange:
        """Return a change of a container of a stream."""
        poured = part or Poured(0)
        return ContainerChange(
            stream=stream.stream,
            what=what,
            unit=stream.measure.kind,
            container=label,
            billionths=poured.level,
            item=poured.item.name if poured.item else None,
            item_billionths=poured.amount,
            item_unit=poured.item.unit if poured.item else None,
        )


def _net(before: Iterable[RecordedContainer], part: Poured, stream: str) -> dict[str, Poured]:
    """Return what of a thing was poured into which container of a stream, less what came back."""
    net: dict[str, Poured] = {}
    name = fold(part.item.name) if part.item else None
    for one in before:
        change = one.change
        if fold(change.stream) == stream and (change.item and fold(change.item)) == name:
            there = net.get(change.container, replace(part, level=0, amount=0))
            net[change.container] = replace(
                there,
                level=there.level + change.billionths,
                amount=there.amount + change.item_billionths,
            )
    return {label: there for label, there in net.items() if there.level > 0 or there.amount > 0}


def _split(parts: Sequence[Poured], take: int, total: int) -> tuple[list[Poured], list[Poured]]:
    """Return what of a mixture goes into a container that takes so much of its level, and the rest.

    Both have the same shares of each part, to a billionth; the levels add up exactly.
    """
    if take == total:
        return list(parts), []
    now, rest = [], []
    for part, level in zip(parts, _shares([part.level for part in parts], take), strict=True):
        of, out_of = (level, part.level) if part.level else (take, total)
        some = replace(part, level=level, amount=part.amount * of // out_of, written="")
        now.append(some)
        left = replace(part, level=part.level - level, amount=part.amount - some.amount, written="")
        rest.append(left)
    return [part for part in now if part.is_anything], [part for part in rest if part.is_anything]


def _shares(levels: Sequence[int], take: int) -> Iterator[int]:
    """Yield each level's share of `take`; they add up to it, and none is above its level."""
    total, upto, given = sum(levels), 0, 0
    for level in levels:
        upto += level
        share = upto * take // total
        yield share - given
        given = share
