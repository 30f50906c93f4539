"""Patience: waiting for one's turn, and telling whom one waits for."""

import sqlite3
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeVar

from prepstore.ledger.holders import holders
from prepstore.ledger.sentences import code_of
from prepstore.ledger.teller import TOLD_BY

WAIT_SECONDS: Final = 30
"""How long one waits for others, whose turn takes a moment each."""

AT_A_TIME_SECONDS: Final = 0.2
"""How long SQLite waits by itself; in between, Ctrl-C stops the wait."""

_SILENT_SECONDS: Final = 2
_PAUSE_SECONDS: Final = 0.02

Result = TypeVar("Result")


@dataclass
class Patience:
    """How long one has waited for a store already."""

    path: Path
    waited_seconds: float = 0.0
    _is_told: bool = False

    def until_done(self, act: Callable[[], Result]) -> Result:
        """Try something until nobody else has the store locked.

        Args:
            act: Tried again while it fails for others' locks alone.

        Raises:
            sqlite3.OperationalError: Somebody has, for half a minute; or what `act` raises.
        """
        while True:
            begun = time.monotonic()
            try:
                return act()
            except sqlite3.OperationalError as error:
                if code_of(error) != sqlite3.SQLITE_BUSY or self.waited_seconds > WAIT_SECONDS:
                    raise
            time.sleep(_PAUSE_SECONDS)
            self.waited_seconds += time.monotonic() - begun
            self._tell()

    def _tell(self) -> None:
        if self.waited_seconds < _SILENT_SECONDS or self._is_told:
            return
        self._is_told = True
        TOLD_BY.get()(
            f"{self.path} is in use by {holders(self.path)}. Waiting until it is free, at most "
            f"{WAIT_SECONDS} seconds; press Ctrl-C to stop waiting."
        )
