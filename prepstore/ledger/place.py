"""Where a store is kept, as `--db` says it; light, so that the door can import it."""

from pathlib import Path

Place = Path
"""A store's place: it has a `name`, and `str` of it is how people are told of it.

Nobody but this module and `prepstore.ledger.store` asks what kind of place it is.
"""


def place_of(text: str) -> Place:
    """Return the place that `--db` or `PREPSTORE_DB` names."""
    return Path(text)


def remark_on(place: Place) -> str | None:
    """Return what people should know of a place before anything is done there, if anything."""
    from prepstore.ledger.drives import network_kind  # noqa: PLC0415 - of files alone

    kind = network_kind(place)
    if kind is None:
        return None
    return (
        f"{place} is on a network drive ({kind}), where a store is slower and less safe. Keep it "
        "on a disk of one machine if you can, and back it up."
    )
