"""Where a store is kept, as `--db` says it; light, so that the door can import it."""

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from urllib.parse import unquote


class NoAddressError(Exception):
    """What looks like a server's address is none; the message does not repeat it."""


@dataclass(frozen=True, slots=True)
class ServerPlace:
    """A database of a server.

    `address` has no password in it, and is what people are told. `secrets` are the passwords that
    it came with, by the name that PostgreSQL's client library gives them.
    """

    address: str
    name: str
    secrets: dict[str, str] = field(default_factory=dict, repr=False, hash=False)

    def __str__(self) -> str:
        """Return the address as people are told it."""
        return self.address


Place = Path | ServerPlace
"""A store's place: it has a `name`, and `str` of it is how people are told of it.

Nobody but this module and `prepstore.ledger.store` asks what kind of place it is.
"""

IS_AN_ADDRESS: Final = re.compile(r"postgres(?:ql)?:", re.IGNORECASE)
"""How the address of a server begins."""

_ADDRESS: Final = re.compile(
    r"//(?:(?P<user>[^\s:/?#@]*)(?::(?P<password>[^\s:/?#@]*))?@)?"
    r"(?P<hosts>[\w.,:%\[\]-]*)(?:/(?P<name>[^\s/?#@]*))?(?:\?(?P<options>[^\s#@]*))?"
)
_SECRETS: Final = frozenset({"password", "sslpassword"})


def place_of(text: str) -> Place:
    """Return the place that `--db` or `PREPSTORE_DB` names.

    Raises:
        NoAddressError: It looks like the address of a server and cannot be read.
    """
    scheme = IS_AN_ADDRESS.match(text)
    return Path(text) if scheme is None else _on_server(text[scheme.end() :])


def _on_server(text: str) -> ServerPlace:
    """Return a place from what follows `postgresql:`.

    Source:
        The form of an address: PostgreSQL's manual, "Connection URIs".
    """
    found = _ADDRESS.fullmatch(text)
    if found is None:
        raise NoAddressError(
            "The address of the server cannot be read. Write it like postgresql://host/name; in a "
            "name or a password write %2F for /, %3A for :, %40 for @, %23 for #, %3F for ?, "
            "%25 for % and %20 for a space."
        )
    secrets = {"password": unquote(found["password"])} if found["password"] else {}
    told = []
    named = found["name"] or ""
    for option in filter(None, (found["options"] or "").split("&")):
        key, _, value = option.partition("=")
        if unquote(key) in _SECRETS:
            secrets[unquote(key)] = unquote(value)
        else:
            told.append(option)
            named = named or (value if unquote(key) in ("dbname", "service") else "")
    if not named:
        raise NoAddressError(
            "The address of the server names no database. Write it like postgresql://host/name."
        )
    user = f"{found['user']}@" if found["user"] else ""
    options = f"?{'&'.join(told)}" if told else ""
    name = f"/{found['name']}" if found["name"] else ""
    return ServerPlace(
        f"postgresql://{user}{found['hosts']}{name}{options}", unquote(named), secrets
    )


def new_one(place: Place) -> str:
    """Return what a new store of the same kind would be kept in."""
    return "an empty database" if isinstance(place, ServerPlace) else "a new file"


def remark_on(place: Place) -> str | None:
    """Return what people should know of a place before anything is done there, if anything."""
    if isinstance(place, ServerPlace):
        return _HAS_A_PASSWORD if place.secrets else None
    from prepstore.ledger.drives import network_kind  # noqa: PLC0415 - of files alone

    kind = network_kind(place)
    if kind is None:
        return None
    return (
        f"{place} is on a network drive ({kind}), where a store is slower and less safe. Keep it "
        "on a disk of one machine if you can, and back it up."
    )


_HAS_A_PASSWORD: Final = (
    "The address of the server has a password in it, which others on this machine can see. Write "
    "it into a file that you alone can read (PostgreSQL's password file, PGPASSFILE) and leave it "
    "out of the address."
)
