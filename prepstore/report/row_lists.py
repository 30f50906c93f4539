"""Lists as JSON and as CSV, for other programs."""

import csv
import io
import json
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, Final

from prepstore.formula_guard import guarded

WASTE_COLUMNS: Final = (
    "stream",
    "measure",
    "unit",
    "expected",
    "allow_for",
    "containers",
    "full_on",
)


def number_in_json(number: Decimal) -> int | float:
    """Return a number as JSON has them: whole where it is whole."""
    return int(number) if number == number.to_integral_value() else float(number)


def as_json(rows: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """Yield rows as the lines of a JSON list."""
    yield from json.dumps(rows, ensure_ascii=False, indent=1).splitlines()


def as_csv(rows: Sequence[Mapping[str, Any]], columns: Sequence[str]) -> Iterator[str]:
    """Yield a heading and a line a row; no cell would run as a formula, lists have ; between."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([_cell(row.get(column)) for column in columns] for row in rows)
    yield from text.getvalue().splitlines()


def _cell(value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(str(one) for one in value)
    return guarded(value) if isinstance(value, str) else value
