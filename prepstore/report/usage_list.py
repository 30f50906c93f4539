"""What sessions really used beside what was planned, as lines and as rows."""

from collections.abc import Iterator, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

from prepstore.report.row_lists import number_in_json
from prepstore.report.text_table import as_table
from prepstore.report.wording import amount_in_words
from prepstore.shelf.usage import Usage

USAGE_COLUMNS: Final = (
    "practical", "item", "unit", "sessions", "planned", "used", "difference", "percent",
    "cut_short", "lacked",
)  # fmt: skip
_HEADING: Final = ("practical", "item", "sessions", "planned", "used", "difference", "cut short")
_TENTH = Decimal("0.1")


def usage_rows(usage: Sequence[Usage]) -> list[dict[str, Any]]:
    """Return a row an item and practical; figures are numbers in the item's unit."""
    return [
        {
            "practical": row.practical,
            "item": row.item,
            "unit": str(row.unit),
            "sessions": row.sessions,
            "planned": number_in_json(row.planned),
            "used": number_in_json(row.used),
            "difference": number_in_json(row.difference),
            "percent": None if row.percent is None else number_in_json(_rounded(row.percent)),
            "cut_short": row.cut_short,
            "lacked": number_in_json(row.lacked),
        }
        for row in usage
    ]


def _rounded(percent: Decimal) -> Decimal:
    return percent.quantize(_TENTH, rounding=ROUND_HALF_UP)


def usage_lines(usage: Sequence[Usage]) -> Iterator[str]:
    """Yield a heading and a line an item and practical."""
    lines = [
        (
            row.practical,
            row.item,
            str(row.sessions),
            amount_in_words(row.planned, row.unit),
            amount_in_words(row.used, row.unit),
            _difference_in_words(row),
            _cut_short_in_words(row),
        )
        for row in usage
    ]
    yield from as_table(_HEADING, lines)
    if not usage:
        yield "No session is booked out yet. Next: prepstore stock use --session SESSION"


def _cut_short_in_words(row: Usage) -> str:
    """Return how many sessions were booked as far as there was, and what they did not find."""
    if not row.cut_short:
        return ""
    sessions = f"{row.cut_short} session{'s' if row.cut_short != 1 else ''}"
    return f"{sessions}, {amount_in_words(row.lacked, row.unit)} not there"


def _difference_in_words(row: Usage) -> str:
    if not row.sessions:
        return ""
    if not row.difference:
        return "as planned"
    return "not planned" if row.percent is None else f"{_rounded(row.percent):+} %"
