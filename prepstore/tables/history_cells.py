"""A cell of a history's table to what its column holds: one reader a type of `prepstore.history`.

Every reader takes text that is not blank and raises `UnreadableError`.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from functools import partial
from typing import Any, Final

from prepstore import cell_types, history
from prepstore.amounts import LARGEST_AMOUNT, in_billionths
from prepstore.columns import TABLES
from prepstore.containers import ContainerState, ContainerWhat
from prepstore.lot_labels import LabelWhat
from prepstore.movements import NameWhat, OrderWhat, What
from prepstore.problems import nearest
from prepstore.tables.cells import READERS, read_word
from prepstore.tables.unreadable import UnreadableError

_MOST = in_billionths(LARGEST_AMOUNT)

_WHOLE = re.compile(r"[1-9][0-9]{0,17}")
_SIGNED_WHOLE = re.compile(r"-?[0-9]{1,18}")
_SIGNED = re.compile(r"-?[0-9]{1,12}(?:\.[0-9]{1,9})?")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _verbatim(text: str) -> str:
    return text


def _number(text: str) -> int:
    if not _WHOLE.fullmatch(text):
        what = "is not a whole number above 0."
        raise UnreadableError("count-unreadable", what, "Write it like 17.")
    return int(text)


def _packs(text: str) -> int:
    if not _SIGNED_WHOLE.fullmatch(text):
        what = "is not a whole number."
        raise UnreadableError("count-unreadable", what, "Write it like 2, or -2 for fewer.")
    return int(text)


def _billionths(text: str) -> int:
    if not _SIGNED.fullmatch(text):
        what = "is not a number with at most nine digits after the point."
        raise UnreadableError("number-unreadable", what, "Write it like 25.5, or -25.5 for less.")
    found = in_billionths(Decimal(text))
    if abs(found) > _MOST:
        what = "is more than a store can hold."
        raise UnreadableError("number-too-large", what, "Write what was recorded.")
    return found


def any_day(text: str) -> date:
    """Return a date, whatever its year."""
    wrong = "is not a date." if not _DAY.fullmatch(text) else "is a date that does not exist."
    try:
        if _DAY.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise UnreadableError("date-unreadable", wrong, "Write it year-month-day, like 2027-02-03.")


def _instant(text: str) -> str:
    try:
        is_instant = datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        is_instant = False
    if not is_instant:
        remedy = "Write it like 2027-03-08T16:40:12.000000+00:00."
        raise UnreadableError("time-unreadable", "is not a time in UTC.", remedy)
    return text


def _digits(text: str) -> str:
    READERS[cell_types.Money](text)
    return text


def _changed_cell(text: str) -> str:
    if text not in history.CHANGED_CELLS:
        expected = nearest(text, history.CHANGED_CELLS)
        raise UnreadableError("word-unknown", "is not a column of stock.", expected)
    return text


def _timetable_cell(text: str) -> str:
    if text not in TABLES["timetable"].columns:
        expected = nearest(text, TABLES["timetable"].columns)
        raise UnreadableError("word-unknown", "is not a column of timetable.", expected)
    return text


HISTORY_READERS: Final[Mapping[Any, Callable[[str], Any]]] = {
    **READERS,
    history.Verbatim: _verbatim,
    history.Number: _number,
    history.Packs: _packs,
    history.Billionths: _billionths,
    history.Day: any_day,
    history.Instant: _instant,
    history.Digits: _digits,
    history.ChangedCell: _changed_cell,
    history.TimetableCell: _timetable_cell,
    **{
        words: partial(read_word, words=words)
        for words in (
            What,
            OrderWhat,
            NameWhat,
            history.NamedTable,
            ContainerWhat,
            ContainerState,
            LabelWhat,
            history.StreamUnit,
        )
    },
}
"""How each type of column of a history is read."""
