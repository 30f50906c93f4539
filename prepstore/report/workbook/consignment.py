"""The consignment list of a waste collection as a sheet to print, sign and hand over."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Final

from prepstore.report.consignment import (
    CAUTIONS,
    Consigned,
    ConsignedStream,
    container_in_words,
    heading_of,
    told_of,
)
from prepstore.report.wording import amount_in_words, far_day_in_words
from prepstore.report.workbook.page import (
    Block,
    CellForm,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    band,
    note,
)
from prepstore.report.workbook.workbook import Origin, write_pages

_COLUMNS: Final = (
    SheetColumn("Container", 25),
    SheetColumn("Holds", 16),
    SheetColumn("Mass of contents", 22),
    SheetColumn("Gross mass, weighed", 22, CellForm.WRITE),
    SheetColumn("Opened on", 18),
    SheetColumn("Sealed on", 18),
    SheetColumn("Remarks", 29, CellForm.WRITE),
)


def write_consignment(
    streams: Sequence[ConsignedStream], day: date, path: Path, origin: Origin
) -> None:
    """Write the list of a collection as a workbook.

    Args:
        streams: What is collected.
        day: The day of the collection.
        path: The file, ending in `.xlsx`.
        origin: What the sheet says of where it comes from.

    Raises:
        WorkbookError: The file cannot be written.
    """
    of_day = far_day_in_words(day)
    made = f"Collection of {of_day} · prepstore {origin.version} · store {origin.store}"
    how = "What was booked into each container and read of it; not an analysis."
    foot = f"Waste collection of {of_day} · not a risk assessment"
    write_pages([consignment_page(streams, day)], path, "Waste collection", (made, how), foot)


def consignment_page(streams: Sequence[ConsignedStream], day: date) -> Page:
    """Return the list as a sheet: a block a stream, then cautions and room to sign."""
    title = f"Waste for collection on {far_day_in_words(day)}"
    return Page("Collection", title, _COLUMNS, _blocks(streams))


def _blocks(streams: Sequence[ConsignedStream]) -> Iterator[Block]:
    for of in streams:
        yield _of_stream(of)
    yield (band("Handed over"), *(_to_write(word) for word in ("Handed over by", "Carrier", "Day")))
    yield (band("Cautions"), *map(note, CAUTIONS))


def _of_stream(of: ConsignedStream) -> Block:
    return (
        band(heading_of(of)),
        *(SheetRow(told, runs_from=1) for told in told_of(of)),
        *(_container(of, one) for one in of.containers),
        SheetRow(("In all", amount_in_words(of.total, of.unit)), Look.TOTAL),
    )


def _container(of: ConsignedStream, one: Consigned) -> SheetRow:
    label, holds, mass, *days = container_in_words(of, one)
    return SheetRow((label, holds, mass, None, *days, None))


def _to_write(word: str) -> SheetRow:
    return SheetRow((word, None), lines=2)
