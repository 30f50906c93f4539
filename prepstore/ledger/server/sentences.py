"""What a server and the way to it say, in sentences for a technician."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

import psycopg
from sqlalchemy.exc import DBAPIError

from prepstore.ledger.errors import NewerStoreError, NotAStoreError, StoreError
from prepstore.ledger.place import ServerPlace

_ASK = "Ask who looks after the server"
NOT_A_STORE: Final = (
    "{place} holds no prepstore store, but tables of another program. Name the right database "
    "with --db, or load tables into an empty one."
)
MAY_ONLY_BE_READ: Final = (
    "The server of {place} can only be read at present: it is a copy of another server, or set "
    "so. Name the server that can be written with --db. Nothing was recorded."
)
_IN_USE: Final = (
    "The store {place} is in use by others, who do not come to an end. Wait until they are done, "
    "and try again. Nothing was recorded."
)
_LOST: Final = (
    "The connection to {place} was lost in the middle ({reason}), and nothing was recorded. Try "
    "again in a moment."
)
_FULL: Final = (
    f"The server of {{place}} has no room left, so nothing was recorded. {_ASK} to make room, and "
    "try again."
)
PERHAPS: Final = (
    "The connection to {place} was lost at the very moment of recording ({reason}), so it may have "
    "been recorded or not. Look before you do it again: prepstore stock history."
)
_HAS_NO_ROOM: Final = r"No space left on device|Disk quota exceeded|File too large"
"""What a system says that can write no more, where PostgreSQL passes it on without a code.

Source: POSIX, the errors ENOSPC, EDQUOT and EFBIG, in the words of the GNU C library.
"""

_SENTENCES: Final = {
    "53100": _FULL,
    "53200": _FULL,
    "25006": MAY_ONLY_BE_READ,
    "55P03": _IN_USE,
    "40001": _IN_USE,
    "40P01": _IN_USE,
    "42501": f"The server of {{place}} does not let you do this ({{reason}}). {_ASK} for leave.",
    "57014": f"The server of {{place}} stopped this, since it took too long ({{reason}}). {_ASK}.",
}
"""What some of PostgreSQL's codes (its manual, "Error Codes") mean for a technician."""

_AT_THE_DOOR: Final = (
    (_HAS_NO_ROOM, _FULL),
    (
        r"does not exist$|does not exist\b.*database|database .* does not exist",
        f"There is no such database or user at {{place}} ({{reason}}). Check the address, or "
        f"{_ASK[0].lower()}{_ASK[1:]} to make it.",
    ),
    (
        r"password|authentication failed|no pg_hba\.conf entry",
        "{place} does not let you in ({reason}). Check the user's name in the address and the "
        f"password in the password file (PGPASSFILE), or {_ASK[0].lower()}{_ASK[1:]}.",
    ),
    (
        r"too many (clients|connections)|connection slots",
        "The server of {place} has as many connections as it takes. Try again in a moment; if "
        f"that does not help, {_ASK[0].lower()}{_ASK[1:]}.",
    ),
    (
        # A line that is cut while a secure one is begun is only a line that is cut.
        r"certificate|\bSSL\b(?! negotiation| SYSCALL| exchange| connection has been closed"
        r"|.*(unexpected eof|reset))|\bTLS\b",
        "The connection to {place} is not as secure as is asked for ({reason}), so nothing was "
        "sent. Its certificate may have run out, or it may be another machine than you think: do "
        "not go on, and "
        f"{_ASK[0].lower()}{_ASK[1:]} about its certificate (sslrootcert, sslmode).",
    ),
    (
        r"starting up|shutting down|recovery mode",
        "The server of {place} is just starting or stopping ({reason}). Try again in a moment.",
    ),
    (
        "",
        "The server of {place} cannot be reached ({reason}). Check its name and the network, or "
        f"{_ASK[0].lower()}{_ASK[1:]}, and try again.",
    ),
)
"""What is said where a connection does not come about, by words of the reason.

There are no codes for it; a server that speaks another language gets the last sentence.
"""


@contextmanager
def sentences(place: ServerPlace) -> Iterator[None]:
    """Say in a sentence what is wrong while something is done with a store on a server.

    Raises:
        StoreError: In place of what PostgreSQL and SQLAlchemy raise.
    """
    try:
        yield
    except NewerStoreError as error:
        raise StoreError(
            f"{place} was written by a newer prepstore than this one. Install the newer one."
        ) from error
    except NotAStoreError as error:
        raise StoreError(NOT_A_STORE.format(place=place)) from error
    except (psycopg.Error, DBAPIError) as error:
        # Not `from error`, whose words may hold what is not to be shown.
        raise StoreError(_sentence(place, error)) from None


@contextmanager
def at_the_door(place: ServerPlace) -> Iterator[None]:
    """Say in a sentence why a connection does not come about.

    Raises:
        StoreError: In place of what PostgreSQL's client library raises.
    """
    try:
        yield
    except psycopg.Error as error:
        reason = reason_of(place, error)
        words = next(words for about, words in _AT_THE_DOOR if re.search(about, reason))
        raise StoreError(words.format(place=place, reason=reason)) from None


def _sentence(place: ServerPlace, error: psycopg.Error | DBAPIError) -> str:
    if is_lost(error):
        words = _LOST
    elif "NUL (0x00)" in str(error):
        words = "A cell has the sign NUL (a byte of zeros), which no store on a server can hold."
    elif re.search(_HAS_NO_ROOM, str(error)):
        words = _FULL
    else:
        otherwise = (
            "The store {place} cannot be used: {reason}. To see what is wrong: prepstore check."
        )
        words = _SENTENCES.get(code_of(error), otherwise)
    return words.format(place=place, reason=reason_of(place, error))


def code_of(error: psycopg.Error | DBAPIError) -> str:
    """Return PostgreSQL's code of an error; blank where it has none."""
    reason = error.orig if isinstance(error, DBAPIError) else error
    return getattr(reason, "sqlstate", None) or ""


def is_lost(error: psycopg.Error | DBAPIError) -> bool:
    """Return whether an error says that the connection is gone, by the server or on the way."""
    code = code_of(error)
    reason = error.orig if isinstance(error, DBAPIError) else error
    if not code:
        return isinstance(reason, psycopg.OperationalError)
    return code.startswith(("08", "57P", "25P03"))


def reason_of(place: ServerPlace, error: psycopg.Error | DBAPIError) -> str:
    """Return what PostgreSQL says, in one line and without any password."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    told = cause.diag.message_primary if isinstance(cause, psycopg.Error) else None
    reason = told or str(cause)
    for secret in place.secrets.values():
        reason = reason.replace(secret, "…")
    first = " ".join(reason.split())
    return re.sub(r"^connection failed: ", "", first).rstrip(".")
