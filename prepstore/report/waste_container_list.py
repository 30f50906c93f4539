"""The waste containers that there are, as lines and as rows for other programs."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

from prepstore.amounts import Kind
from prepstore.cell_types import fold
from prepstore.containers import Called, ContainerState, Content, KeptContainer
from prepstore.facts import WasteStream
from prepstore.planning.collections import Call
from prepstore.planning.waste import WastePlan
from prepstore.report.row_lists import number_in_json
from prepstore.report.text_table import as_table
from prepstore.report.wording import amount_in_words
from prepstore.shelf.container_contents import Contents

CONTAINER_COLUMNS: Final = (
    "stream", "container", "state", "amount", "unit", "filling", "percent", "empty", "opened_on",
    "sealed_on", "collected_on", "full_on", "call_by", "called_on", "expected_on", "contents",
)  # fmt: skip
_HEADING: Final = (
    "stream", "container", "state", "holds", "of", "opened", "sealed", "full on", "contents",
)  # fmt: skip
_MOST_PARTS: Final = 5
_MOST_NAMES: Final = 12
_WHOLE_PERCENT: Final = Decimal(1)


@dataclass(frozen=True, slots=True)
class Listed:
    """A container of a stream with what is in it; None where the stream has none.

    `filling` is what one may be filled to, `empty` how many empty ones there are (None: not known).
    `full_on` is the day on which the open one will be full, `call_by` that by which a collection of
    the stream must be called, as far as sessions are in the timetable. `called` is the one that
    was called and has not come.
    """

    stream: WasteStream
    kept: KeptContainer | None
    contents: Contents
    filling: Decimal | None
    empty: int | None
    full_on: date | None = None
    call_by: date | None = None
    called: Called | None = None

    @property
    def unit(self) -> Kind:
        """Return what the stream measures in."""
        return self.stream.measure.kind

    @property
    def percent(self) -> Decimal | None:
        """Return how full it is of what it may be filled to, in whole %."""
        if self.kept is None or not self.filling:
            return None
        share = self.kept.filled / self.filling * 100
        return share.quantize(_WHOLE_PERCENT, rounding=ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class NotBooked:
    """Sessions that are over and not booked out, so that no container has what they sent."""

    names: tuple[str, ...] = field(default=())
    last_day: date | None = None


def container_rows(listed: Sequence[Listed]) -> list[dict[str, Any]]:
    """Return a row a container, or a stream without one; amounts are in mL or g.

    `contents` has an object for each thing; what is not known has no item. In a CSV they are words.
    """
    return [_row(one) for one in listed]


def _row(one: Listed) -> dict[str, Any]:
    kept = one.kept
    days = (kept.opened_on, kept.sealed_on, kept.collected_on) if kept else (None, None, None)
    opened, sealed, collected = (day and day.isoformat() for day in days)
    return {
        "stream": one.stream.stream,
        "container": kept.label if kept else None,
        "state": str(kept.state) if kept else None,
        "amount": number_in_json(kept.filled) if kept else None,
        "unit": str(one.unit),
        "filling": None if one.filling is None else number_in_json(one.filling),
        "percent": None if one.percent is None else number_in_json(one.percent),
        "empty": one.empty,
        "opened_on": opened,
        "sealed_on": sealed,
        "collected_on": collected,
        "full_on": one.full_on and one.full_on.isoformat(),
        "call_by": one.call_by and one.call_by.isoformat(),
        "called_on": one.called and one.called.on.isoformat(),
        "expected_on": _iso(one.called.expected if one.called else None),
        "contents": [_content_row(part) for part in one.contents.parts] + _unknown_row(one),
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _content_row(part: Content) -> dict[str, Any]:
    return {
        "item": part.item,
        "amount": number_in_json(part.amount),
        "unit": str(part.unit),
        "measured": number_in_json(part.level),
    }


def _unknown_row(one: Listed) -> list[dict[str, Any]]:
    if not one.contents.unknown:
        return []
    amount = number_in_json(one.contents.unknown)
    return [{"item": None, "amount": amount, "unit": str(one.unit), "measured": amount}]


def container_cells(listed: Sequence[Listed]) -> list[dict[str, Any]]:
    """Return the same rows with their contents in words, for a CSV."""
    return [
        {**row, "contents": "; ".join(contents_in_words(one.contents, one.unit))}
        for row, one in zip(container_rows(listed), listed, strict=True)
    ]


def contents_in_words(contents: Contents, unit: Kind) -> list[str]:
    """Return what is in a container in words, the most first, what is not known among them."""
    words = [
        (part.level, f"{amount_in_words(part.amount, part.unit)} {part.item}")
        for part in contents.parts
    ]
    if contents.unknown:
        words.append((contents.unknown, f"{amount_in_words(contents.unknown, unit)} not known"))
    return [said for _, said in sorted(words, key=lambda one: -one[0])]


def container_list_lines(
    listed: Sequence[Listed], behind: NotBooked, calls: Sequence[str] = ()
) -> Iterator[str]:
    """Yield a heading, a line a container, what is empty, and which sessions are not in there.

    Args:
        listed: The containers.
        behind: The sessions that no container has yet.
        calls: By when collections must be called, in sentences.
    """
    yield from as_table(_HEADING, [_cells(one) for one in listed])
    if not listed:
        yield "There is no waste stream in the tables."
    empty = {one.stream.stream: one.empty for one in listed}
    if empty:
        words = (f"{stream} {'not known' if one is None else one}" for stream, one in empty.items())
        yield f"Empty containers: {', '.join(words)}"
    yield from _called_in_words(listed)
    yield from calls
    if behind.names:
        more = len(behind.names) - _MOST_NAMES
        names = [*behind.names[:_MOST_NAMES], *([f"{more} more"] if more > 0 else [])]
        yield (
            f"Not in these figures, since they are over and not booked out: {', '.join(names)}. "
            f"To book them: prepstore stock use --until {behind.last_day}"
        )


def _called_in_words(listed: Iterable[Listed]) -> Iterator[str]:
    """Yield the collections that were called and have not come, those of one call together."""
    streams: dict[Called, dict[str, None]] = {}
    for one in listed:
        if one.called is not None:
            streams.setdefault(one.called, {})[one.stream.stream] = None
    for called, names in streams.items():
        expected = f"expected on {called.expected}" if called.expected else "no day was said"
        yield f"Collection called on {called.on}, {expected}: {', '.join(names)}"


def _cells(one: Listed) -> tuple[str, ...]:
    kept = one.kept
    if kept is None:
        return (one.stream.stream, "", "none open", "", "", "", "", "", "")
    percent = f" ({one.percent} %)" if one.percent is not None else ""
    words = contents_in_words(one.contents, one.unit)
    more = len(words) - _MOST_PARTS
    shown = [*words[:_MOST_PARTS], *([f"{more} more"] if more > 0 else [])]
    return (
        one.stream.stream,
        kept.label,
        str(kept.state),
        amount_in_words(kept.filled, one.unit) + percent,
        "" if one.filling is None else amount_in_words(one.filling, one.unit),
        _day(kept.opened_on),
        _day(kept.collected_on or kept.sealed_on),
        _day(one.full_on),
        "; ".join(shown),
    )


def _day(day: date | None) -> str:
    return day.isoformat() if day else ""


def listed_of(
    streams: Mapping[str, WasteStream],
    kept: Iterable[KeptContainer],
    contents: Mapping[str, Contents],
    waste: WastePlan,
    calls: Sequence[Call] = (),
) -> list[Listed]:
    """Return what is listed: containers stream after stream; a stream without one stands as well.

    Args:
        streams: By folded name.
        kept: The containers.
        contents: What is in each, by label.
        waste: What is to come of each stream, and its containers.
        calls: The collections that must be called, the soonest first.
    """
    nothing = Contents((), Decimal(0))
    of_stream: dict[str, list[KeptContainer]] = {name: [] for name in streams}
    for container in kept:
        of_stream.setdefault(fold(container.stream), []).append(container)
    plans = {fold(plan.name): plan for plan in waste.streams if plan.container is not None}
    listed = []
    for name, stream in streams.items():
        plan = plans[name]
        empty, called = (
            (plan.container.empty, plan.container.called) if plan.container else (None, None)
        )
        own = (
            call.call_by
            for call in calls
            if fold(call.stream) == name and call.call_by and not call.expected
        )
        call_by = next(own, None)
        rows: list[KeptContainer | None] = [*of_stream[name]]
        if not any(one.state is ContainerState.OPEN for one in of_stream[name]):
            rows.append(None)
        for one in rows:
            is_sealed = one is not None and one.state is not ContainerState.OPEN
            inside = contents.get(one.label, nothing) if one else nothing
            full_on = None if is_sealed else next(iter(plan.full_on), None)
            held = inside, plan.filling, empty
            listed.append(Listed(stream, one, *held, full_on, call_by, called))
    return listed
