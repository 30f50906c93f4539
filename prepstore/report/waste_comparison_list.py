"""What sessions were to send to waste streams beside what they sent, as lines and as rows."""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

from prepstore.report.row_lists import number_in_json
from prepstore.report.text_table import as_table
from prepstore.report.wording import amount_in_words
from prepstore.shelf.waste_compared import Compared, Comparison

COMPARED_COLUMNS: Final = (
    "practical", "stream", "unit", "sessions", "expected", "allow_for", "recorded", "difference",
    "percent", "cut_short",
)  # fmt: skip
_HEADING: Final = (
    "practical", "stream", "sessions", "expected", "allow for", "recorded", "difference",
    "cut short",
)  # fmt: skip
_TENTH: Final = Decimal("0.1")


def compared_rows(comparison: Comparison) -> list[dict[str, Any]]:
    """Return a row a practical and stream; figures are in mL or g, the difference to allow_for."""
    return [
        {
            "practical": row.practical,
            "stream": row.stream,
            "unit": str(row.unit),
            "sessions": row.sessions,
            "expected": number_in_json(row.expected),
            "allow_for": number_in_json(row.allow_for),
            "recorded": number_in_json(row.recorded),
            "difference": number_in_json(row.difference),
            "percent": None if row.percent is None else number_in_json(_rounded(row.percent)),
            "cut_short": row.cut_short,
        }
        for row in comparison.rows
    ]


def _rounded(percent: Decimal) -> Decimal:
    return percent.quantize(_TENTH, rounding=ROUND_HALF_UP)


def compared_lines(comparison: Comparison) -> Iterator[str]:
    """Yield a heading, a line a practical and stream, and what has no forecast."""
    lines = [
        (
            row.practical,
            row.stream,
            str(row.sessions),
            amount_in_words(row.expected, row.unit),
            amount_in_words(row.allow_for, row.unit),
            amount_in_words(row.recorded, row.unit),
            _difference_in_words(row),
            str(row.cut_short or ""),
        )
        for row in comparison.rows
    ]
    yield from as_table(_HEADING, lines)
    if comparison.without_forecast:
        names = ", ".join(comparison.without_forecast)
        yield f"Not among them, since the timetable has them no longer: {names}"
    elif not lines:
        yield "No such session is booked out. Next: prepstore stock use --session SESSION"


def _difference_in_words(row: Compared) -> str:
    if not row.difference:
        return "as planned"
    words = f"{'+' if row.difference > 0 else ''}{amount_in_words(row.difference, row.unit)}"
    share = "not planned" if row.percent is None else f"{_rounded(row.percent):+} %"
    return f"{words} ({share})"
