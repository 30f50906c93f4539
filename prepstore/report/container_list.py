"""What happens to waste containers, as lines for the person who records it."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from itertools import groupby
from typing import Final

from prepstore.amounts import fine_amount_in_words, in_billionths, of_billionths
from prepstore.cell_types import fold
from prepstore.containers import ContainerChange, ContainerState, ContainerWhat
from prepstore.shelf.using import quoted
from prepstore.shelf.waste_containers import Measurement, Standing
from prepstore.stores import Stores

_MOST_PARTS: Final = 4

Levels = Mapping[str, int]
"""What containers hold, in billionths of their stream's unit, by label."""


def levels_of(stores: Stores) -> dict[str, int]:
    """Return what each container that is there holds."""
    found = {one.label: one.filled for held in stores.containers.values() for one in held.sealed}
    found |= {held.label: held.filled for held in stores.containers.values() if held.label}
    return {label: in_billionths(filled) for label, filled in found.items()}


def container_lines(changes: Iterable[ContainerChange], before: Levels) -> Iterator[str]:
    """Yield a line for what happens to a container in one go: what, and what is in it then.

    Args:
        changes: What is recorded.
        before: The containers as they were before.
    """
    levels = dict(before)
    for (label, *_), several in groupby(changes, key=_sort):
        together = list(several)
        first = together[0]
        if not label:
            yield f"{first.stream}: {change_in_words(first)}"
            continue
        levels[label] = levels.get(label, 0) + sum(one.billionths for one in together)
        now = fine_amount_in_words(of_billionths(levels[label]), first.unit)
        words = change_in_words(first) if len(together) == 1 else _together_in_words(together)
        left = "" if first.what is ContainerWhat.OPENED else f", {now} in it"
        yield f"{label} {first.stream}: {words}{left}"


def _sort(change: ContainerChange) -> tuple[str, str, ContainerWhat, bool, bool]:
    """Return what changes that stand in one line have in common, the container's label first."""
    is_less = change.billionths < 0
    return change.container, change.stream, change.what, change.now is not None, is_less


def _together_in_words(changes: list[ContainerChange]) -> str:
    first = changes[0]
    total = of_billionths(sum(one.billionths for one in changes))
    most_first = sorted(changes, key=lambda one: -abs(one.billionths))
    parts = list(filter(None, map(_of_item, most_first)))
    more = len(parts) - _MOST_PARTS
    shown = [*parts[:_MOST_PARTS], *([f"{more} more"] if more > 0 else [])]
    sign = ("-" if total < 0 else "+") if first.what is ContainerWhat.UNDONE else ""
    amount = fine_amount_in_words(abs(total), first.unit)
    return f"{first.what} {sign}{amount}" + (f" ({', '.join(shown)})" if shown else "")


def change_in_words(change: ContainerChange) -> str:
    """Return what happened to a container, without its label.

    >>> from prepstore.amounts import Kind
    >>> change_in_words(ContainerChange(stream="acid", what=ContainerWhat.FILLED,
    ...     unit=Kind.VOLUME, container="W1", billionths=25 * 10**9))
    'filled 25 mL'
    """
    words = [str(change.what)]
    of_item = _of_item(change)
    amount = fine_amount_in_words(abs(change.number), change.unit)
    if change.what is ContainerWhat.MEASURED:
        more = "more" if change.billionths > 0 else "less"
        words.append(f"{amount} {more}" if change.billionths else "as expected")
    elif change.what is ContainerWhat.UNDONE and change.billionths:
        sign = "+" if change.billionths > 0 else "-"
        words.append(f"{sign}{amount}" + (f" of {change.item}" if change.item else ""))
    elif of_item and not change.billionths:
        words.append(of_item)
    elif change.billionths:
        words.append(amount + (f" of {change.item}" if change.item else ""))
    if change.what is ContainerWhat.UNDONE and change.now is not None:
        words.append(f"and {change.now or 'not there'} again")
    if not change.container:
        words += _of_stream(change)
    return " ".join(words)


def _of_stream(change: ContainerChange) -> Iterator[str]:
    """Yield what happened to the empty containers of a stream, or which collection was called."""
    if change.what is ContainerWhat.CALLED:
        yield f"for {change.expected}" if change.expected else "(no day was said)"
    elif change.expected:
        yield f"the call of a collection for {change.expected}"
    elif change.empty:
        more = "more" if change.empty > 0 else "fewer"
        yield f"{abs(change.empty)} {more} empty"
    elif change.what is ContainerWhat.COUNTED:
        yield "empty ones, as expected"


def _of_item(change: ContainerChange) -> str:
    """Return how much of what was poured in, in the unit in which that is kept; blank if unknown.

    >>> from prepstore.amounts import Kind
    >>> _of_item(ContainerChange(stream="acid", what=ContainerWhat.FILLED, unit=Kind.VOLUME,
    ...     item="salt", item_billionths=5 * 10**9, item_unit=Kind.MASS))
    '5 g of salt'
    """
    if change.item is None or change.item_unit is None:
        return ""
    amount = fine_amount_in_words(abs(of_billionths(change.item_billionths)), change.item_unit)
    return f"{amount} of {change.item}"


def lacking_lines(changes: Iterable[ContainerChange], stores: Stores) -> Iterator[str]:
    """Yield a line for each stream of which a container was opened though none was left empty."""
    known = {held: one.empty for held, one in stores.containers.items() if one.empty is not None}
    told: set[str] = set()
    for change in changes:
        stream = change.stream
        is_opened = change.what is ContainerWhat.OPENED and not change.empty
        if is_opened and fold(stream) in known and stream not in told:
            told.add(stream)
            yield (
                f"No empty container of {stream} was left by the record; {change.container} is "
                "opened all the same. Count them: prepstore waste empty"
            )


def standing_on_a_measurement(
    measurement: Measurement, standing: Standing, day: date
) -> Iterator[str]:
    """Yield what a container holds now where something was poured in after it was measured."""
    if measurement.since:
        since = fine_amount_in_words(abs(of_billionths(measurement.since)), standing.unit)
        way = "was poured in" if measurement.since > 0 else "was taken out"
        yield f"After {day} another {since} {way}, which stands on it."


def to_be_sealed(measurement: Measurement, standing: Standing) -> Iterator[str]:
    """Yield that a container is full where it holds what it may be filled to."""
    level = standing.kept.filled + measurement.booking.containers[0].number
    if standing.kept.state is ContainerState.OPEN and standing.size and level >= standing.size:
        limit = fine_amount_in_words(standing.size, standing.unit)
        yield (
            f"{standing.kept.label} is filled to its limit, {limit}: "
            f"prepstore waste seal {quoted(standing.kept.label)}"
        )
