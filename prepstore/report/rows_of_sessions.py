"""A table of JSON by session, whose rows are made and written once for all sessions of one size."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from prepstore.planning.demands import Scale, SessionWork, with_their_size

Row = dict[str, Any]
_SESSION: Final = "session"


@dataclass(frozen=True, slots=True)
class RowsOfSessions:
    """Rows of sessions: `of_size` gives those of one size, without the session's name."""

    works: Iterable[SessionWork]
    of_size: Callable[[Scale], Sequence[Row]]

    def __iter__(self) -> Iterator[Row]:
        """Yield all rows, session by session, the session's name in front."""
        for work, rows in with_their_size(self.works, self.of_size):
            for row in rows:
                yield {_SESSION: work.session.session, **row}

    def texts(self, encode: Callable[[Any], str], between: str) -> Iterator[str]:
        """Yield the JSON of the same rows, all rows of a session as one text.

        Args:
            encode: Returns the JSON of a value, of an object on one line.
            between: Stands between two rows.
        """

        def rests(scale: Scale) -> list[str]:
            return [encode(row).removeprefix("{") for row in self.of_size(scale)]

        for work, of_rows in with_their_size(self.works, rests):
            begin = f"{{{encode(_SESSION)}: {encode(work.session.session)}, "
            if of_rows:
                yield begin + f"{between}{begin}".join(of_rows)
