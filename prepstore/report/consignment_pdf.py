"""The consignment list of a waste collection on paper, to sign and hand over."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from prepstore.report.consignment import (
    CAUTIONS,
    ConsignedStream,
    container_in_words,
    heading_of,
    told_of,
)
from prepstore.report.paper.listing import ROOM, Listing, Section, Table, listing_pdf
from prepstore.report.wording import amount_in_words, far_day_in_words

_COLUMNS: Final = (
    ("Container", 34.0),
    ("Holds", 27.0),
    ("Mass of contents", 40.0),
    ("Gross mass, weighed", 40.0),
    ("Opened on", 36.0),
    ("Sealed on", 36.0),
    ("Remarks", 54.0),
)
_TO_SIGN: Final = tuple((word, ROOM / 3) for word in ("Handed over by", "Carrier", "Day"))


def consignment_pdf(streams: Sequence[ConsignedStream], day: date, origin: str) -> bytes:
    """Return the list of a collection as a PDF.

    Args:
        streams: What is collected.
        day: The day of the collection.
        origin: What it says of where it comes from.
    """
    of_day = far_day_in_words(day)
    listing = Listing(
        f"Waste for collection on {of_day}",
        f"{origin}. What was booked into each container and read of it; not an analysis.",
        f"Waste collection of {of_day} · not a risk assessment",
    )
    return listing_pdf(listing, list(_sections(streams)), day)


def _sections(streams: Sequence[ConsignedStream]) -> Iterator[Section]:
    for of in streams:
        yield Section(
            heading_of(of),
            tuple(f"{word}: {text}" for word, text in told_of(of)),
            Table(_COLUMNS, tuple(_rows(of))),
        )
    # Before the cautions, so that what is signed stands below the containers.
    yield Section("Handed over", (), Table(_TO_SIGN, (("", "", ""),), row_height=14))
    yield Section("Cautions", CAUTIONS)


def _rows(of: ConsignedStream) -> Iterator[tuple[str, ...]]:
    for one in of.containers:
        label, holds, mass, opened, sealed = container_in_words(of, one)
        yield label, holds, mass, "", opened, sealed, ""
    if len(of.containers) > 1:
        yield "In all", amount_in_words(of.total, of.unit), "", "", "", "", ""
