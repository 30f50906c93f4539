"""What was recorded with an entry: of which day, by whom and why; and which of it still counts."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol, TypeVar


@dataclass(frozen=True, slots=True, kw_only=True)
class OfEntry:
    """Something as the store keeps it: the number of its entry, who recorded it when and why.

    `on_day` is the local day on which it happened, `at_utc` the instant of recording (ISO 8601).
    `database_user` is as whom a server knew that person; None where the store was in a file.
    Of what was recorded in a copy and taken in from there, `taken_in` is that instant (ISO 8601),
    and `taken_from` the copy's name.
    """

    entry: int
    on_day: date
    at_utc: str
    by: str
    reason: str | None = None
    database_user: str | None = None
    taken_in: str | None = None
    taken_from: str | None = None

    @property
    def users(self) -> tuple[str, ...]:
        """Return the names of the one who recorded it: as given, and as a server knew it."""
        names = (self.by, self.database_user or self.by)
        return tuple(dict.fromkeys(names))


@dataclass(frozen=True, slots=True, kw_only=True)
class CanBeUndone(OfEntry):
    """Something with a number of its own; `undone_by` is the entry that reversed it."""

    number: int
    undone_by: int | None = None


class _Reverses(Protocol):
    @property
    def number(self) -> int:
        """Return its number."""

    @property
    def reverses(self) -> int | None:
        """Return the number of what it undoes; None where it undoes nothing."""


Kept = TypeVar("Kept", bound=_Reverses)


def standing(history: Sequence[Kept]) -> list[Kept]:
    """Return what counts of a history: what is neither undone nor undoes something else.

    What was undone by something that was undone itself counts again.

    Args:
        history: All that happened to some lots or containers, in the order of recording.
    """
    taken_back: set[int] = set()
    for one in reversed(history):
        if one.reverses is not None and one.number not in taken_back:
            taken_back.add(one.reverses)
    return [one for one in history if one.reverses is None and one.number not in taken_back]
