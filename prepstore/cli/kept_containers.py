"""What the store has of waste containers: those that are there, and what is in them."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.containers import ContainersHeld, RecordedContainer
    from prepstore.shelf.container_contents import Contents


def containers_in(connection: "Connection") -> "ContainersHeld":
    """Return the containers that are there, with what is known of the open ones' content."""
    from dataclasses import replace

    from prepstore.cell_types import fold
    from prepstore.containers import ContainerState
    from prepstore.ledger.ahead import ask_ahead
    from prepstore.ledger.containers import containers_held, held_and_open, recorded_of_open

    ask_ahead(connection, held_and_open())
    held = containers_held(connection)
    open_ones = [one for one in held.containers if one.state is ContainerState.OPEN]
    changes = recorded_of_open(connection) if open_ones else ()
    contents = _contents([one.label for one in open_ones], changes)
    known = {fold(one.stream): contents[one.label].parts for one in open_ones}
    return replace(held, known=known)


def contents_in(connection: "Connection", labels: Iterable[str]) -> "dict[str, Contents]":
    """Return what is in some containers, by label (as spelled)."""
    from prepstore.ledger.containers import recorded_containers

    wanted = list(labels)
    return _contents(wanted, recorded_containers(connection, containers=wanted) if wanted else ())


def _contents(
    labels: "Iterable[str]", changes: "Iterable[RecordedContainer]"
) -> "dict[str, Contents]":
    from prepstore.shelf.container_contents import contents_of

    histories: dict[str, list[RecordedContainer]] = {label: [] for label in labels}
    for change in changes:
        histories[change.change.container].append(change)
    return {label: contents_of(history) for label, history in histories.items()}
