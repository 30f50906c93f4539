"""An earlier plan's file, read back to what people acted on."""

import json
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from prepstore.planning.papers import Papers
from prepstore.report.errors import ReportError
from prepstore.report.plan_papers import papers_in
from prepstore.report.plan_shape import PLAN
from prepstore.report.shape import mistake_in

_LARGEST_BYTES = 256 * 1024 * 1024
_MOST_DIGITS = 30
"""More than any number that a plan may hold has."""


def read_earlier_plan(path: Path) -> Papers:
    """Return what the papers of a plan said that was written with `--json`.

    Raises:
        ReportError: The file is not there, or is no such plan.
    """
    rows = _json_of(path, _text_of(path))
    if mistake := mistake_in(rows, PLAN):
        raise _no_plan(path, str(mistake))
    return papers_in(rows)


def _text_of(path: Path) -> str:
    try:
        if path.is_dir():
            raise _no_plan(path, " is a folder, not a file")
        with path.open("rb") as file:
            # Its size is not asked for: a pipe has none, and a device has no end.
            content = file.read(_LARGEST_BYTES + 1)
    except OSError as error:
        raise _no_plan(path, f" cannot be read ({error.strerror})") from error
    if len(content) > _LARGEST_BYTES:
        raise _no_plan(path, " is larger than any plan")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _no_plan(path, " is not UTF-8 text, as JSON must be") from error
    if "\0" in text:  # half of each letter, where two bytes are one
        raise _no_plan(path, " is not UTF-8 text, as JSON must be")
    return text


def _json_of(path: Path, text: str) -> Any:  # noqa: ANN401 - whatever the file holds
    try:
        return json.loads(
            text, parse_int=_whole_number, parse_float=_number, parse_constant=Decimal
        )
    except (ValueError, RecursionError) as error:
        raise _no_plan(path, " is not JSON") from error


def _whole_number(digits: str) -> int | Decimal:
    """Return a whole number; as a Decimal where Python reads no `int` of so many digits."""
    return int(digits) if len(digits) <= _MOST_DIGITS else Decimal(digits)


def _number(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:  # its exponent is beyond what a Decimal holds
        return Decimal("Infinity")


def _no_plan(path: Path, what: str) -> ReportError:
    return ReportError(f"{path}{what}. Give a file that prepstore plan --json wrote.")
