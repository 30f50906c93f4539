"""Names that gave way to others, and what was retired, as lines and rows."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

from prepstore.movements import NameChange, NameWhat, RecordedName
from prepstore.report.text_table import as_table
from prepstore.report.wording import user_in_words, why_in_words
from prepstore.shelf.names import named_in
from prepstore.shelf.shelf import Department

NAME_COLUMNS: Final = (
    "entry", "day", "at_utc", "by", "what", "table", "was", "now", "reason", "database_user",
)  # fmt: skip


def name_change_lines(changes: Iterable[NameChange], department: Department) -> Iterator[str]:
    """Yield a line a change, for the person who records it, and where a new name is written.

    Args:
        changes: What is renamed, retired or reinstated.
        department: All facts as they were before.
    """
    for change in changes:
        yield _in_words(change)
        if change.what is NameWhat.RENAMED:
            cells = named_in(department, change).items()
            yield f"renamed in: {', '.join(f'{table} {count}' for table, count in cells)}"


def _in_words(change: NameChange) -> str:
    match change.what:
        case NameWhat.RENAMED:
            return f"{change.was} is called {change.now} from now on"
        case NameWhat.RETIRED:
            return f"{change.was} is retired from {change.now} on; its history stays"
        case NameWhat.REINSTATED:
            return f"{change.was} is in use again"


def name_rows(history: Iterable[RecordedName]) -> list[dict[str, Any]]:
    """Return a row a change."""
    return [
        {
            "entry": one.entry,
            "day": one.on_day.isoformat(),
            "at_utc": one.at_utc,
            "by": one.by,
            "what": str(one.change.what),
            "table": one.change.table,
            "was": one.change.was,
            "now": one.change.now,
            "reason": one.reason,
            "database_user": one.database_user,
        }
        for one in history
    ]


def name_lines(history: Sequence[RecordedName]) -> Iterator[str]:
    """Yield a heading and a line a change, the latest last."""
    heading = ("entry", "day", "what", "by", "because")
    cells = [
        (
            str(one.entry),
            one.on_day.isoformat(),
            _in_words(one.change),
            user_in_words(one),
            why_in_words(one),
        )
        for one in history
    ]
    yield from as_table(heading, cells)
    yield f"{len(history)} change{'s' if len(history) != 1 else ''} of names"
