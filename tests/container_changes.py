"""Changes of waste containers in a line, and as the store keeps them."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Final

from prepstore.amounts import Kind
from prepstore.containers import ContainerChange, ContainerWhat, RecordedContainer
from tests.builders import day

ML: Final = 10**9
"""A mL in billionths."""


def change(what: str, container: str = "W1", ml: int = 0, **others: Any) -> ContainerChange:  # noqa: ANN401
    """Return a change of a container of solvent unless another stream is given."""
    given = ContainerChange(
        stream="solvent",
        what=ContainerWhat(what),
        unit=Kind.VOLUME,
        container=container,
        billionths=ml * ML,
    )
    return replace(given, **others)


def recorded(*changes: ContainerChange) -> list[RecordedContainer]:
    """Return changes as they were recorded on one day, each with an entry of its own."""
    return recorded_with(enumerate(changes, start=1))


def recorded_with(changes: Iterable[tuple[int, ContainerChange]]) -> list[RecordedContainer]:
    """Return changes as they were recorded with entries of these numbers."""
    return [
        RecordedContainer(
            number=place, entry=entry, change=one, on_day=day("02-01"), at_utc="", by="Kim"
        )
        for place, (entry, one) in enumerate(changes, start=1)
    ]
