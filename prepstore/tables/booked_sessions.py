"""Sessions that are booked out: a load leaves them as they were."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Final

from prepstore.problems import Problem, at
from prepstore.tables.merge import laid_over
from prepstore.tables.understand import understand
from prepstore.written import WrittenRow, WrittenSet

_BOOKED_BY: Final = (
    "practical", "date", "students", "group_size", "demonstrator_sets", "leave_out",
)  # fmt: skip
"""Columns of a session that decide what it takes, and when."""


def changed_after_booking(
    new: WrittenSet, stored: WrittenSet, booked: Mapping[str, date]
) -> Iterator[Problem]:
    """Yield a problem for each cell that would change of a session that is booked out.

    Of those that what it took rests on: a room may be renamed afterwards.
    """
    held = {row.key: row for row in stored.get("timetable", [])}
    for row in new.get("timetable", []):
        old = held.get(row.key)
        day = booked.get(row.key[0])
        if old is None or day is None or _is_the_same(old, laid_over(old, row)):
            continue
        for column in _BOOKED_BY:
            if column not in row.columns:
                continue
            if row.text.get(column, "") != old.text.get(column, ""):
                was = f"'{old.text[column]}'" if column in old.text else "blank"
                given = "" if column in row.text else f"{column} is blank, and "
                what = f"{given}is not what the store has, {was}, and it was booked out on {day}."
                remedy = "Leave it as it was, or undo what was booked first."
                yield at(row, column, "session-booked-out", what, remedy)


def _is_the_same(old: WrittenRow, now: WrittenRow) -> bool:
    """Return whether two rows say the same, however it is written: 9:00 is 09:00."""
    known, _ = understand({"timetable": [old, now]})
    facts = [fact for _, fact in known["timetable"]]
    return old.text == now.text or (len(facts) > 1 and facts[0] == facts[1])
