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
    from prepstore.ledger.containers import containers_held

    held = containers_held(connection)
    open_ones = [one for one in held.containers if one.state is ContainerState.OPEN]
    contents = contents_in(connection, [one.label for one in open_ones])
    known = {fold(one.stream): contents[one.label].parts for one in open_ones}
    return replace(held, known=known)


def contents_in(connection: "Connection", labels: Iterable[str]) -> "dict[str, Contents]":
    """Return what is in some containers, by label (as spelled)."""
    from prepstore.ledger.containers import recorded_containers
    from prepstore.shelf.container_contents import contents_of

    histories: dict[str, list[RecordedContainer]] = {label: [] for label in labels}
    if histories:
        for change in recorded_containers(connection, containers=list(histories)):
            histories[change.change.container].append(change)
    return {label: contents_of(history) for label, history in histories.items()}
