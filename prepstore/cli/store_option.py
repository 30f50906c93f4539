"""The store that a command works on."""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

DEFAULT: Final = Path("prepstore.db")
"""The store of who names none."""


@dataclass(frozen=True, slots=True)
class Store:
    """Where the store's file is, as `--db` or `PREPSTORE_DB` says."""

    path: Path
