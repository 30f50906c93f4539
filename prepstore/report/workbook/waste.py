"""Waste: what each stream collects, when its containers are full, and what ends elsewhere."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from prepstore.amounts import Kind
from prepstore.planning.plan import Plan
from prepstore.planning.waste import Rising, StreamPlan, WastePlan
from prepstore.report.collection_words import call_in_words
from prepstore.report.wording import (
    amount_in_words,
    day_in_words,
    near_day_in_words,
    percent_in_words,
)
from prepstore.report.workbook.page import (
    CHARTS_ACROSS,
    Block,
    CellForm,
    Chart,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    band,
    note,
)
from prepstore.report.workbook.waste_contents import contents, reactions

COLUMNS: Final = (
    SheetColumn("Alert", 11, CellForm.WORD),
    SheetColumn("Stream", 18),
    SheetColumn("List code", 13),
    SheetColumn("Expected", 9),
    SheetColumn("With spare", 9),
    SheetColumn("In the open one", 9.5),
    SheetColumn("Container, filled to", 13.5),
    SheetColumn("Needed in all", 9, CellForm.COUNT),
    SheetColumn("Empty there", 9, CellForm.COUNT),
    SheetColumn("Full on", 13),
    SheetColumn("Notes", 36),
)


_ACROSS: Final = len(COLUMNS) - 1
"""How many streams stand side by side in a table by day."""


def waste_page(plan: Plan) -> Page:
    """Return the sheet of waste; a balance of what ends where stands below it for the screen.

    It takes no paper where nothing is collected and nothing is to be done with what is there.
    """
    return Page(
        "Waste",
        "Waste: what goes where, and when to change",
        COLUMNS,
        _blocks(plan),
        if_room=_full_ones(plan.waste),
        on_screen=_balance(plan),
        is_blank=not any(_is_touched(stream) for stream in plan.waste.streams)
        and not plan.collections,
    )


def _is_touched(stream: StreamPlan) -> bool:
    return bool(stream.by_day or stream.full_on or stream.lacks_containers)


def _blocks(plan: Plan) -> Iterator[Block]:
    streams = plan.waste.streams
    if not streams:
        yield (note("No waste stream is in the tables, and nothing is collected."),)
    yield tuple(_stream(stream) for stream in streams)
    for call in plan.collections:
        yield (note(call_in_words(call, plan.today)),)
    uncounted = tuple(_uncounted(streams))
    if uncounted:
        yield (band("Not included: no density, or a counted item"), *uncounted)
    yield from reactions(plan)
    yield from _by_day([stream for stream in streams if stream.stream])


def _balance(plan: Plan) -> Iterator[Block]:
    """Yield what nobody works from beside the containers: contents, and what ends elsewhere."""
    streams = plan.waste.streams
    yield from _filling(plan.waste)
    yield (band("For the screen, and not printed: what is in it, and what ends elsewhere"),)
    yield from _by_day([stream for stream in streams if stream.stream is None])
    other = tuple(_other_ends(plan))
    if other:
        yield (band("Ends elsewhere: kept, into the air, down the drain"), *other)
    yield from contents(plan)


def _stream(stream: StreamPlan) -> SheetRow:
    kept = stream.stream
    word = _word(stream)
    return SheetRow(
        (
            word,
            stream.name,
            kept.list_code if kept else "",
            amount_in_words(stream.total.expected, stream.kind),
            amount_in_words(stream.total.allow_for, stream.kind),
            _part_full(stream),
            _container(stream),
            stream.containers if stream.filling else None,
            stream.container.empty if stream.container else None,
            "\n".join(day_in_words(day) for day in stream.full_on),
            kept.notes if kept else "No script says where this ends: fill in the column to.",
        ),
        Look.ALERT if word in _GRAVE else Look.PLAIN,
    )


_GRAVE: Final = ("SHORT of containers", "NOT ASSIGNED")


def _word(stream: StreamPlan) -> str:
    if stream.stream is None:
        return "NOT ASSIGNED"
    if stream.lacks_containers:
        return "SHORT of containers"
    return "FULL" if stream.full_on else ""


def _part_full(stream: StreamPlan) -> str:
    is_open = stream.container is not None and stream.container.is_open
    return amount_in_words(stream.part_full, stream.kind) if is_open else ""


def _container(stream: StreamPlan) -> str:
    kept = stream.stream
    if kept is None or stream.filling is None:
        return "none entered" if kept else ""
    limit = percent_in_words(kept.fill_limit)
    return f"{kept.container}, {limit}: {amount_in_words(stream.filling, stream.kind)}"


def _by_day(streams: Sequence[StreamPlan]) -> Iterator[Block]:
    """Yield what each stream gets by day, as many streams a table as there are columns."""
    filled = [stream for stream in streams if stream.by_day]
    for first in range(0, len(filled), _ACROSS):
        yield tuple(_days_of(filled[first : first + _ACROSS]))


def _days_of(streams: Sequence[StreamPlan]) -> Iterator[SheetRow]:
    yield band("By day: expected and, below it, what to allow for with spare")
    yield SheetRow(("Day", *(stream.name for stream in streams)), Look.HEADING)
    for day in sorted({day for stream in streams for day in stream.by_day}):
        amounts = (_of_day(stream, day) for stream in streams)
        yield SheetRow((day_in_words(day), *amounts), form=CellForm.TEXT)


def _of_day(stream: StreamPlan, day: date) -> str:
    of_day = stream.by_day.get(day)
    if of_day is None:
        return ""
    amounts = (of_day.expected, of_day.allow_for)
    return "\n".join(amount_in_words(amount, stream.kind) for amount in amounts)


def _other_ends(plan: Plan) -> Iterator[SheetRow]:
    for (end, kind), ended in sorted(plan.waste.other_ends.items()):
        yield SheetRow(
            (
                "",
                end,
                None,
                amount_in_words(ended.expected, kind),
                amount_in_words(ended.allow_for, kind),
                "pieces" if kind is Kind.COUNT else None,
            )
        )


def _uncounted(streams: tuple[StreamPlan, ...]) -> Iterator[SheetRow]:
    for stream in streams:
        if stream.uncounted:
            yield SheetRow(("", stream.name, "; ".join(stream.uncounted)), runs_from=2)


def _filling(waste: WastePlan) -> Iterator[Block]:
    """Yield how containers fill, as many streams a table as there are columns."""
    for rising in _tables(waste):
        yield _levels(waste, rising)


def _tables(waste: WastePlan) -> list[tuple[Rising, ...]]:
    rising = waste.rising()
    return [rising[first : first + _ACROSS] for first in range(0, len(rising), _ACROSS)]


def _levels(waste: WastePlan, rising: Sequence[Rising]) -> Block:
    """Return the levels by day and, below them, a chart of each stream."""
    names = (one.stream.name for one in rising)
    days = ("at first", *map(near_day_in_words, waste.days))
    return (
        band(_FIGURES),
        SheetRow(("By the end of", *names), Look.HEADING),
        *(
            SheetRow((day, *(one.levels[position] for one in rising)), form=CellForm.PERCENT)
            for position, day in enumerate(days)
        ),
        *_charts(rising, len(days)),
    )


def _charts(rising: Sequence[Rising], days: int) -> Iterator[SheetRow]:
    charts = [(one.stream.name, column, one.top) for column, one in enumerate(rising, start=1)]
    for above, first in enumerate(range(0, len(charts), CHARTS_ACROSS), start=1):
        of_row = charts[first : first + CHARTS_ACROSS]
        yield SheetRow(
            (),
            charts=tuple(Chart(name, column, days, above, top) for name, column, top in of_row),
        )


def _full_ones(waste: WastePlan) -> Block:
    """Return charts of the streams that fill a container; their figures are below for the screen.

    What stands there, `_filling`, comes at once after these rows.
    """
    days = len(waste.days) + 1
    found: list[tuple[Rising, int, int]] = []
    down = 0
    for rising in _tables(waste):
        last = down + _HEAD + days - 1
        found += [
            (one, column, last) for column, one in enumerate(rising, start=1) if one.stream.full_on
        ]
        down += len(_levels(waste, rising))
    rows = [found[first : first + CHARTS_ACROSS] for first in range(0, len(found), CHARTS_ACROSS)]
    charts = (_full_row(of, len(rows) - at, days) for at, of in enumerate(rows))
    return (band(_FILLING), *charts) if rows else ()


_HEAD: Final = 2
"""Rows of a table above its figures: its band and its headings."""


def _full_row(found: Sequence[tuple[Rising, int, int]], down: int, days: int) -> SheetRow:
    """Return a row of charts whose figures begin so many rows further down."""
    return SheetRow(
        (),
        charts=tuple(
            Chart(one.stream.name, column, days, -(down + last), one.top)
            for one, column, last in found
        ),
    )


_FILLING: Final = (
    "How containers fill that are full on a day of these: share of a filling to the limit, with "
    "spare; 100 % is one full, 200 % two"
)
_FIGURES: Final = (
    "For the screen, and not printed: how containers fill, the open container's content included; "
    "100 % is one full, 200 % two"
)
