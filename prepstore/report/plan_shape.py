"""What an earlier plan's JSON is to hold: each key that is read, and what may stand there."""

import re
from collections.abc import Callable, Iterable
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any, Final

from prepstore.cell_types import FIRST_YEAR, LAST_YEAR, StockUnit, has_control_character
from prepstore.planning.states import State
from prepstore.report.plan_json import CONTRACT
from prepstore.report.shape import Listed, One, Row

_TOO_LARGE: Final = 10**18
"""No plan comes near it, and figures below it are exact all the way."""

_MOST_DECIMALS: Final = 60
"""More than a plan writes; a number of a million decimals would be written out in full."""


def _is_whole(value: Any) -> bool:  # noqa: ANN401 - a value of JSON
    # True and false are whole numbers to Python.
    return type(value) is int and 0 <= value < _TOO_LARGE


def _is_number(value: Any) -> bool:  # noqa: ANN401 - a value of JSON
    if not isinstance(value, Decimal):
        return _is_whole(value)
    return value.is_finite() and 0 <= value < _TOO_LARGE and _decimals(value) <= _MOST_DECIMALS


def _decimals(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return -exponent if isinstance(exponent, int) else 0


def _is_text(value: Any) -> bool:  # noqa: ANN401 - a value of JSON
    return isinstance(value, str) and not has_control_character(value)


def _is_name(value: Any) -> bool:  # noqa: ANN401 - a value of JSON
    return _is_text(value) and bool(value.strip())


def _one_of(words: Iterable[str]) -> One:
    known = tuple(words)
    return One(f"one of {', '.join(known)}", lambda value: value in known)


def _written(expected: str, pattern: str, read: Callable[[str], object]) -> One:
    """Return what is written by a pattern and is there in the calendar or on the clock."""

    def is_right(value: Any) -> bool:  # noqa: ANN401 - a value of JSON
        if not isinstance(value, str) or not re.fullmatch(pattern, value, re.ASCII):
            return False
        try:
            read(value)
        except ValueError:
            return False
        return True

    return One(expected, is_right)


def _or_null(one: One) -> One:
    return One(f"{one.expected}, or null", lambda value: value is None or one.is_right(value))


_NAME: Final = One("text", _is_name)
_TEXT: Final = One("text", _is_text)
_WHOLE: Final = One("a whole number of 0 or more, below 10^18", _is_whole)
_NUMBER: Final = One("a number of 0 or more, below 10^18", _is_number)
_FLAG: Final = One("true or false", lambda value: isinstance(value, bool))
_UNIT: Final = _one_of(StockUnit)
_DATE: Final = _written("a date like 2027-02-03", r"\d{4}-\d\d-\d\d", date.fromisoformat)
_TYPED_DATE: Final = One(
    f"{_DATE.expected}, in the years {FIRST_YEAR} to {LAST_YEAR}",
    lambda value: _DATE.is_right(value) and FIRST_YEAR <= int(value[:4]) <= LAST_YEAR,
)
"""A day that somebody typed; those that are worked out from it may lie a little outside."""

_TIME: Final = _written("a time like 09:30", r"\d\d:\d\d", time.fromisoformat)
_MOMENT: Final = _written(
    "a moment like 2027-02-03T09:30", r"\d{4}-\d\d-\d\dT\d\d:\d\d", datetime.fromisoformat
)
_CONTRACT: Final = One(
    f"{CONTRACT}, the contract of this version",
    lambda value: type(value) is int and value == CONTRACT,
)

PLAN: Final = Row(
    {
        "contract": _CONTRACT,
        "period": Row({"from": _TYPED_DATE, "to": _TYPED_DATE}),
        "today": _TYPED_DATE,
        "sessions": Listed(
            Row(
                {
                    "session": _NAME,
                    "practical": _NAME,
                    "date": _TYPED_DATE,
                    "start": _or_null(_TIME),
                    "end": _or_null(_TIME),
                    "room": _or_null(_TEXT),
                    "students": _WHOLE,
                    "sets": _WHOLE,
                    "state": _one_of(State),
                    "prepare_by": _DATE,
                }
            )
        ),
        "needs": Listed(
            Row(
                {
                    "item": _NAME,
                    "unit": _UNIT,
                    "by_session": Listed(
                        Row({"session": _NAME, "amount": _NUMBER, "lots": Listed(_NAME)})
                    ),
                }
            )
        ),
        "making_up": Listed(
            Row(
                {
                    "solution": _NAME,
                    "make_on": _DATE,
                    "volume_mL": _NUMBER,
                    "makings": _WHOLE,
                    "parts": Listed(Row({"item": _NAME, "amount": _NUMBER, "lots": Listed(_NAME)})),
                }
            )
        ),
        "setting_out": Listed(
            Row({"session": _NAME, "item": _NAME, "containers": _WHOLE, "fill": _NUMBER})
        ),
        "stock": Listed(Row({"item": _NAME, "unit": _UNIT, "short": _NUMBER})),
        "orders": Listed(
            Row(
                {
                    "pack": _NAME,
                    "item": _NAME,
                    "packs": _WHOLE,
                    "needed_by": _or_null(_DATE),
                    "order_by": _or_null(_DATE),
                    "late": _FLAG,
                    "for_spare": _FLAG,
                }
            )
        ),
        "deliveries": Listed(
            Row(
                {
                    "pack": _NAME,
                    "item": _NAME,
                    "reference": _TEXT,
                    "packs": _WHOLE,
                    "due": _TYPED_DATE,
                    "taken": _NUMBER,
                }
            )
        ),
        "waste": Listed(Row({"stream": _NAME, "containers": _WHOLE, "full_on": Listed(_DATE)})),
        "apparatus": Listed(
            Row(
                {"item": _NAME, "short": _NUMBER, "at": _or_null(_MOMENT)},
                with_it=("short", "at"),
            )
        ),
        "warnings": Listed(Row({"code": _NAME, "about": _NAME, "message": _NAME})),
    }
)
"""All of a plan that `plan_papers.papers_in` reads."""
