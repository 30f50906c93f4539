"""The containers of a waste stream as they stand, and how they fill."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, WrittenAmount, settle, times_into, times_reached
from prepstore.containers import (
    Called,
    ContainersHeld,
    ContainerState,
    Content,
    KeptContainer,
    Pour,
    level_of,
    put_together,
)
from prepstore.facts import WasteStream


@dataclass(frozen=True, slots=True)
class WasteContainer:
    """The open container of a stream: what is in it, and the empty ones beside it.

    `filled` is in mL or g, as the stream measures; `size` is what one may be filled to (None where
    no size is given); `empty` is None where their number is not known. `sealed` are the full ones
    that are still there. The open one has a `label`, blank where it was not opened by anybody yet;
    `known` is what of its content is known. `called` is the collection that is to come.
    """

    filled: Decimal
    size: Decimal | None
    is_open: bool
    empty: int | None
    label: str = ""
    opened_on: date | None = None
    sealed: tuple[KeptContainer, ...] = ()
    known: tuple[Content, ...] = ()
    called: Called | None = None

    @property
    def unknown(self) -> Decimal:
        """Return how much is in it of which nobody knows what it is, in mL or g, settled."""
        return settle(self.filled - level_of(self.known))

    @property
    def in_hand(self) -> int | None:
        """Return the containers there are, an open one included; None where it is not known."""
        return None if self.empty is None else self.empty + self.is_open

    def wanted(self, more: Decimal) -> int:
        """Return the containers that what is in it and more fill; 0 where no size is given."""
        return times_into(self.filled + more, self.size) if self.size else 0

    def after(self, pours: Iterable[Pour]) -> "WasteContainer":
        """Return the containers once things have been poured in, one pour after the other."""
        standing = self
        for parts in pours:
            standing = standing.after_one(parts)
        return standing

    def after_one(self, parts: Pour) -> "WasteContainer":
        """Return the containers once things have been poured in together.

        A full one is sealed, and the rest of the mixture goes into the next. One that was read to
        be full already is sealed first.
        """
        if not parts:
            return self
        if self.size and times_reached(self.filled, self.size):
            return self._next(ZERO, (), [self.filled]).after_one(parts)
        more = level_of(parts)
        filled = self.filled + more
        full = times_reached(filled, self.size) if self.size else 0
        if not self.size or not full:
            known = put_together((*self.known, *parts))
            opened = replace(self, filled=filled, is_open=True, known=known)
            return replace(opened, empty=self._empty_after(1))
        left = max(settle(filled) - full * self.size, ZERO)
        rest = put_together(part.share(left, more) for part in parts) if left else ()
        sealed = self._next(left, rest, [self.size] * full)
        return replace(sealed, empty=self._empty_after(full + bool(left)))

    def _empty_after(self, used: int) -> int | None:
        """Return how many empty ones are left once so many are used, an open one included."""
        return None if self.empty is None else max(0, self.empty - (used - self.is_open))

    def _next(
        self, filled: Decimal, known: tuple[Content, ...], full: list[Decimal]
    ) -> "WasteContainer":
        """Return the next container, once some are sealed that hold so much, the open one first."""
        sealed = (*self.sealed, *self._sealed(full))
        return WasteContainer(
            filled=filled,
            size=self.size,
            is_open=filled > 0,
            empty=self.empty,
            sealed=sealed,
            known=known,
            called=self.called,
        )

    def _sealed(self, full: Iterable[Decimal]) -> Iterator[KeptContainer]:
        for place, filled in enumerate(full):
            yield KeptContainer(
                label="" if place else self.label,
                stream="",
                state=ContainerState.SEALED,
                filled=filled,
                opened_on=None if place else self.opened_on,
            )


def exactly(written: WrittenAmount) -> Decimal:
    """Return an amount of waste as a number of mL or g; it has portions of that kind alone."""
    return sum((portion.number for portion in written.portions), ZERO)


def as_its_row_says(stream: WasteStream) -> WasteContainer:
    """Return the containers of a stream of which there is no record; what is in it is not known."""
    return WasteContainer(
        filled=exactly(stream.part_full) if stream.part_full else ZERO,
        size=_filling_of(stream),
        is_open=stream.part_full is not None,
        empty=stream.empty_containers,
    )


def as_recorded(name: str, stream: WasteStream, held: ContainersHeld) -> WasteContainer:
    """Return the containers of a stream (by its folded name) as their record has them."""
    open_one = held.open_one(name)
    return WasteContainer(
        filled=open_one.filled if open_one else ZERO,
        size=_filling_of(stream),
        is_open=open_one is not None,
        empty=held.empty.get(name),
        label=open_one.label if open_one else "",
        opened_on=open_one.opened_on if open_one else None,
        sealed=tuple(one for one in held.of(name) if one.state is ContainerState.SEALED),
        known=held.known.get(name, ()),
        called=held.called.get(name),
    )


def _filling_of(stream: WasteStream) -> Decimal | None:
    """Return what one container of a stream may be filled to; None where no size is given."""
    container = stream.container
    return exactly(container) * stream.fill_limit if container else None
