"""The lots of a store as lines, straight from its rows."""

from collections.abc import Iterator, Mapping, Sequence

from prepstore.facts import fold
from prepstore.problems import nearest
from prepstore.report.errors import ReportError
from prepstore.written import WrittenRow

COLUMNS = ("lot", "item", "amount", "expiry", "opened", "state", "place")


def stock_rows(
    rows: Mapping[str, list[WrittenRow]], item: str | None, place: str | None
) -> list[dict[str, str]]:
    """Return the lots as written, those of one item or place if one is named.

    Args:
        rows: The tables stock, items and solutions of the store.
        item: Name of an item or solution, in any case.
        place: A place, in any case.

    Raises:
        ReportError: There is no such item.
    """
    if item is not None:
        _check_known(rows, item)
    return [
        {column: row.text.get(column, "") for column in COLUMNS}
        for row in rows["stock"]
        if (item is None or fold(row.text["item"]) == fold(item))
        and (place is None or fold(row.text.get("place", "")) == fold(place))
    ]


def stock_lines(lots: Sequence[Mapping[str, str]]) -> Iterator[str]:
    """Yield a heading, a line a lot, and how many there are."""
    cells = [COLUMNS, *(tuple(lot[name] for name in COLUMNS) for lot in lots)]
    widths = [max(len(line[position]) for line in cells) for position in range(len(COLUMNS))]
    for line in cells:
        padded = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
        yield "  ".join(padded).rstrip()
    yield f"{len(lots)} lot{'s' if len(lots) != 1 else ''}"


def _check_known(rows: Mapping[str, list[WrittenRow]], item: str) -> None:
    names = [row.text["item"] for row in rows["items"]]
    names += [row.text["solution"] for row in rows["solutions"]]
    if fold(item) not in {fold(name) for name in names}:
        what = f"'{item}' is not a known item or solution. {nearest(item, names)}"
        raise ReportError(what.rstrip())
