"""What happens to waste containers beside what is booked with a use: opened to collected."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from prepstore.amounts import Kind, WrittenAmount, in_billionths, of_billionths, plain
from prepstore.cell_types import fold
from prepstore.containers import (
    ContainerChange,
    ContainerState,
    ContainerWhat,
    KeptContainer,
    RecordedContainer,
)
from prepstore.facts import WasteStream
from prepstore.filling import WasteContainer, exactly
from prepstore.movements import Booking
from prepstore.problems import RefusedError, not_known
from prepstore.recorded import standing
from prepstore.shelf.asked import quantity
from prepstore.shelf.pouring import MOST, Poured, Pouring, poured_of
from prepstore.shelf.shelf import Shelf
from prepstore.shelf.using import quoted
from prepstore.stores import Stores


@dataclass(frozen=True, slots=True)
class Standing:
    """A container that is there, and the stream that it is of."""

    kept: KeptContainer
    stream: WasteStream
    size: Decimal | None

    @property
    def unit(self) -> Kind:
        """Return what it is measured in."""
        return self.stream.measure.kind


def kept_of(stores: Stores) -> list[Standing]:
    """Return all containers that are there, stream after stream, the open one last."""
    found = []
    for name, held in stores.containers.items():
        stream = stores.goods.streams[name]
        kept = [replace(one, stream=stream.stream) for one in held.sealed if one.label]
        if held.label:
            kept.append(_open_one(held, stream))
        found += [Standing(one, stream, held.size) for one in kept]
    return found


def _open_one(held: WasteContainer, stream: WasteStream) -> KeptContainer:
    return KeptContainer(
        label=held.label,
        stream=stream.stream,
        state=ContainerState.OPEN,
        filled=held.filled,
        opened_on=held.opened_on,
    )


def stream_called(stores: Stores, name: str) -> str:
    """Return the folded name of a waste stream.

    Raises:
        RefusedError: There is none of that name; names the nearest.
    """
    if fold(name) not in stores.goods.streams:
        known = [stream.stream for stream in stores.goods.streams.values()]
        raise not_known(name, "waste stream", known)
    return fold(name)


def container_called(stores: Stores, name: str) -> Standing:
    """Return a container by its label, or the open one of a stream by that stream's name.

    Raises:
        RefusedError: It is neither, or the stream has no open container.
    """
    kept = kept_of(stores)
    found = next((one for one in kept if fold(one.kept.label) == fold(name)), None)
    if found is not None:
        return found
    if fold(name) not in stores.goods.streams:
        if fold(name) in stores.container_labels:
            raise RefusedError(f"Container {name} was collected, or is no longer there.")
        known = [one.kept.label for one in kept]
        known += [stream.stream for stream in stores.goods.streams.values()]
        raise not_known(name, "waste container or stream", known)
    of_stream = [one for one in kept if fold(one.stream.stream) == fold(name)]
    found = next((one for one in of_stream if one.kept.state is ContainerState.OPEN), None)
    if found is None:
        what = f"No container of {stores.goods.streams[fold(name)].stream} is open."
        raise RefusedError(f"{what} Open one: prepstore waste open {quoted(name)}")
    return found


def opened(stores: Stores, name: str, label: str | None, day: date) -> Booking:
    """Return the opening of an empty container of a stream.

    Raises:
        RefusedError: Another one is open, or the label is taken.
    """
    stream = stream_called(stores, name)
    held = stores.containers[stream]
    if held.label:
        what = f"Container {held.label} of {stores.goods.streams[stream].stream} is open."
        raise RefusedError(f"{what} Seal it first: prepstore waste seal {quoted(held.label)}")
    if label is not None and (fold(label) in stores.container_labels or fold(label) == "none"):
        raise RefusedError(f"{label} is the label of another container. Give one of its own.")
    pouring = Pouring(stores, day)
    pouring.open(stream, label)
    return Booking(containers=tuple(pouring.changes))


def added(shelf: Shelf, name: str, written: WrittenAmount, item: str | None, day: date) -> Booking:
    """Return what is poured into the open container of a stream without a session.

    Args:
        shelf: The streams and their containers, and what is known of items.
        name: The stream.
        written: How much, as it was typed.
        item: What it is; None where that is not known.
        day: The day on which it happened.

    Raises:
        RefusedError: There is no such stream or item, or the amount is not of its measure.
    """
    stream = stream_called(shelf.stores, name)
    fact = shelf.goods.streams[stream]
    if item is not None:
        material = shelf.material(item)
        amount = quantity(material, written)
        poured = poured_of(material, amount.number, fact.measure.kind)
    else:
        poured = Poured(in_billionths(_measured(fact, written)))
        if not poured.level:
            raise RefusedError(f"'{written}' is too small. Give an amount above 0.")
    pouring = Pouring(shelf.stores, day)
    pouring.pour(stream, [replace(poured, written=str(written))])
    return Booking(containers=tuple(pouring.changes))


def _measured(stream: WasteStream, written: WrittenAmount) -> Decimal:
    """Return an amount of waste in mL or g, as its stream measures.

    Raises:
        RefusedError: It is of the other measure, or more than any container holds.
    """
    kind = stream.measure.kind
    if any(portion.kind is not kind for portion in written.portions):
        what = f"'{written}' is not a {stream.measure}, which {stream.stream} is filled by."
        raise RefusedError(f"{what} Give it in {kind}; of an item that is named, in any unit.")
    number = exactly(written)
    if in_billionths(number) >= MOST:
        raise RefusedError(f"'{written}' is more than any container holds. Check its unit.")
    return number


@dataclass(frozen=True, slots=True)
class Measurement:
    """A level or mass that was read, and what was poured in after that day, in billionths."""

    booking: Booking
    since: int


def level_read(standing: Standing, written: WrittenAmount | Decimal) -> Decimal:
    """Return a level that was read, in mL or g: an amount, or a share (0 to 1) of the container.

    Raises:
        RefusedError: The amount is of the other measure, or the stream's containers have no size.
    """
    if isinstance(written, WrittenAmount):
        return _measured(standing.stream, written)
    if standing.stream.container is None:
        what = f"The containers of {standing.stream.stream} have no size, so no share of it is"
        raise RefusedError(f"{what} known. Give an amount in {standing.unit}.")
    return exactly(standing.stream.container) * written


def measured(
    container: Standing, level: Decimal, history: Sequence[RecordedContainer], day: date
) -> Measurement:
    """Return a measurement of a container: the difference to what it held on that day.

    What was poured in after the day stands on it, as with a count of a lot.

    Args:
        container: Which it is.
        level: What was read, in mL or g.
        history: All changes of the container, in the order of recording.
        day: The day on which it was read.

    Raises:
        RefusedError: It was measured again later or opened later, or would hold less than nothing.
    """
    label = container.kept.label
    counting = standing(history)
    if counting and counting[0].on_day > day and counting[0].change.what is ContainerWhat.OPENED:
        raise RefusedError(f"Container {label} was opened on {counting[0].on_day}, after {day}.")
    later = [one for one in counting[1:] if one.on_day > day]
    again = next((one for one in later if one.change.what is ContainerWhat.MEASURED), None)
    if again is not None:
        what = f"Container {label} was measured on {again.on_day}, after {day}."
        raise RefusedError(f"{what} What was read before that changes nothing any more.")
    since = sum(one.change.billionths for one in later)
    now = in_billionths(level) + since
    if now < 0:
        what = f"Since {day} {plain(of_billionths(-since))} {container.unit} were taken out of"
        raise RefusedError(f"{what} container {label}, more than was read. Measure it now.")
    change = Pouring.change(container.stream, ContainerWhat.MEASURED, label)
    difference = now - in_billionths(container.kept.filled)
    return Measurement(Booking(containers=(replace(change, billionths=difference),)), since)


def sealed(standing: Standing) -> Booking:
    """Return the sealing of a container, though it may not be full.

    Raises:
        RefusedError: It is sealed already.
    """
    if standing.kept.state is not ContainerState.OPEN:
        raise RefusedError(f"Container {standing.kept.label} is sealed already.")
    return Booking(containers=(_into(standing, ContainerState.SEALED),))


def _into(standing: Standing, now: ContainerState) -> ContainerChange:
    what = {
        ContainerState.SEALED: ContainerWhat.SEALED,
        ContainerState.COLLECTED: ContainerWhat.COLLECTED,
    }[now]
    was = ContainerState.OPEN if now is ContainerState.SEALED else ContainerState.SEALED
    change = Pouring.change(standing.stream, what, standing.kept.label)
    return replace(change, was=was, now=now)


def to_be_collected(stores: Stores, names: Sequence[str]) -> list[Standing]:
    """Return the containers that a carrier takes: those named, else every sealed one.

    A stream stands for its sealed containers; an open one is taken where its label is named.

    Raises:
        RefusedError: A name is neither a container nor a stream, or there is nothing to collect.
    """
    kept = kept_of(stores)
    wanted: dict[str, Standing] = {}
    for name in names:
        if fold(name) in stores.goods.streams:
            of_stream = [one for one in kept if fold(one.stream.stream) == fold(name)]
            wanted |= {one.kept.label: one for one in of_stream if _is_sealed(one)}
        else:
            one = container_called(stores, name)
            wanted[one.kept.label] = one
    found = list(wanted.values()) if names else [one for one in kept if _is_sealed(one)]
    if not found:
        what = "There is nothing to collect: no container of that is sealed."
        raise RefusedError(f"{what} See: prepstore waste containers")
    return found


def _is_sealed(standing: Standing) -> bool:
    return standing.kept.state is ContainerState.SEALED


def collected(containers: Iterable[Standing]) -> Booking:
    """Return the collection of containers; an open one is sealed first."""
    changes: list[ContainerChange] = []
    for one in containers:
        if not _is_sealed(one):
            changes.append(_into(one, ContainerState.SEALED))
        changes.append(_into(one, ContainerState.COLLECTED))
    return Booking(containers=tuple(changes))


def empty_counted(stores: Stores, name: str, number: int) -> Booking:
    """Return a count of the empty containers of a stream.

    Raises:
        RefusedError: There is no such stream.
    """
    stream = stream_called(stores, name)
    change = Pouring.change(stores.goods.streams[stream], ContainerWhat.COUNTED, "")
    more = number - (stores.containers[stream].empty or 0)
    return Booking(containers=(replace(change, empty=more),))
