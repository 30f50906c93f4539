"""PostgreSQL's own connections to a database."""

import logging
import os
from typing import Any, Final

import psycopg
from psycopg.adapt import Buffer, Loader

from prepstore.ledger.place import ServerPlace

# Else what a library remarks on a line that is cut stands on a technician's screen.
for _library in ("psycopg", "sqlalchemy"):
    logging.getLogger(_library).addHandler(logging.NullHandler())

SCHEMA: Final = "prepstore"
"""The schema of a database that holds a store, all of it and nothing else."""

_DEFAULTS: Final[dict[str, int]] = {
    "connect_timeout": 10,
    # So that a line that is cut is noticed within half a minute.
    "keepalives_idle": 10,
    "keepalives_interval": 5,
    "keepalives_count": 3,
    "tcp_user_timeout": 30_000,
}
"""How long a server may be silent, where neither the address nor PGCONNECT_TIMEOUT says it."""

Ledger = psycopg.Connection[tuple[Any, ...]]


class _WholeNumbers(Loader):
    """Read sums, which PostgreSQL gives as decimals, as the whole numbers that they are."""

    def load(self, data: Buffer) -> int:
        return int(bytes(data))


def connected(place: ServerPlace) -> Ledger:
    """Connect to a database; transactions are begun and ended by word alone.

    Raises:
        psycopg.Error: It cannot be reached, or does not let this user in.
    """
    given: dict[str, Any] = {
        name: value for name, value in _DEFAULTS.items() if f"{name}=" not in place.address
    }
    if "PGCONNECT_TIMEOUT" in os.environ:
        given.pop("connect_timeout", None)
    given |= place.secrets
    ledger = psycopg.connect(place.address, autocommit=True, client_encoding="UTF8", **given)
    ledger.adapters.register_loader("numeric", _WholeNumbers)
    return ledger
