"""What a store has recorded, entry by entry, read past all of our own code."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from prepstore.ledger.place import Place
from tests.past_our_code import answered

_PARTS = (
    "movements", "session_uses", "order_changes", "name_changes", "timetable_changes",
    "container_changes", "label_changes",
)  # fmt: skip


@dataclass(frozen=True)
class Entry:
    """Who recorded an entry, and of how many rows of other tables."""

    by: str
    parts: int


def entries_in(place: Place) -> Mapping[int, Entry]:
    """Return the entries of a store, by number."""
    of_parts = " UNION ALL ".join(f"SELECT entry FROM {part}" for part in _PARTS)
    counted = f"SELECT count(*) FROM ({of_parts}) AS part WHERE part.entry = entries.entry"
    rows = answered(place, f"SELECT entry, by, ({counted}) FROM entries ORDER BY entry")
    return {entry: Entry(by, parts) for entry, by, parts in rows}


def containers_that_differ(place: Place) -> list[str]:
    """Return the containers that hold something else than what was booked and measured.

    Of what was booked that counts which was not undone, or brought back as often as undone.
    """
    rows = answered(
        place,
        "SELECT container_change, container, billionths, reverses FROM container_changes "
        "WHERE container IS NOT NULL ORDER BY container_change",
    )
    held = dict(answered(place, "SELECT container, billionths FROM containers"))
    counts = {number: True for number, *_ in rows}
    booked: dict[str, int] = dict.fromkeys(held, 0)
    for number, container, billionths, reverses in reversed(rows):
        if counts[number] and reverses is not None:
            counts[reverses] = False
        elif counts[number]:
            booked[container] += billionths
    return [container for container, level in held.items() if level != booked[container]]


def poured_into(place: Place) -> Mapping[str, Mapping[str, Fraction]]:
    """Return what was poured into the containers of each stream, by item as it was poured.

    What nobody knows has a blank name. Each is in the unit of its item.
    """
    rows = answered(
        place,
        "SELECT stream, coalesce(item, '') AS thing, "
        "sum(CASE WHEN item IS NULL THEN billionths ELSE item_billionths END) "
        "FROM container_changes WHERE container IS NOT NULL GROUP BY stream, thing",
    )
    found: dict[str, dict[str, Fraction]] = {}
    for stream, thing, billionths in rows:
        if billionths:
            found.setdefault(stream, {})[thing] = Fraction(int(billionths), 10**9)
    return found
