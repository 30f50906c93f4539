"""What a store's file has recorded, entry by entry, read past all of our own code."""

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

_PARTS = (
    "movements", "session_uses", "order_changes", "name_changes", "timetable_changes",
    "container_changes", "label_changes",
)  # fmt: skip


@dataclass(frozen=True)
class Entry:
    """Who recorded an entry, and of how many rows of other tables."""

    by: str
    parts: int


def entries_in(path: Path) -> Mapping[int, Entry]:
    """Return the entries of a store, by number."""
    of_parts = " UNION ALL ".join(f"SELECT entry FROM {part}" for part in _PARTS)
    counted = f"SELECT count(*) FROM ({of_parts}) AS part WHERE part.entry = entries.entry"
    with closing(sqlite3.connect(path)) as opened:
        rows = opened.execute(f"SELECT entry, by, ({counted}) FROM entries").fetchall()
    return {entry: Entry(by, parts) for entry, by, parts in rows}


def whole_content(path: Path) -> str:
    """Return all that a store's file holds, as the statements that would make it anew."""
    with closing(sqlite3.connect(path)) as opened:
        return "\n".join(opened.iterdump())


def containers_that_differ(path: Path) -> list[str]:
    """Return the containers that hold something else than what was booked and measured.

    Of what was booked that counts which was not undone, or brought back as often as undone.
    """
    with closing(sqlite3.connect(path)) as opened:
        rows = opened.execute(
            "SELECT container_change, container, billionths, reverses FROM container_changes "
            "WHERE container IS NOT NULL ORDER BY container_change"
        ).fetchall()
        held = dict(opened.execute("SELECT container, billionths FROM containers"))
    counts = {number: True for number, *_ in rows}
    booked: dict[str, int] = dict.fromkeys(held, 0)
    for number, container, billionths, reverses in reversed(rows):
        if counts[number] and reverses is not None:
            counts[reverses] = False
        elif counts[number]:
            booked[container] += billionths
    return [container for container, level in held.items() if level != booked[container]]
