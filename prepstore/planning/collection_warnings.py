"""What to look at where a waste collection was called and does not come in time."""

from collections.abc import Callable, Iterator
from typing import Final

from prepstore.planning.plan import Plan
from prepstore.planning.warned import Parts, Warned


def _too_late(plan: Plan) -> Iterator[Warned]:
    for call in plan.collections:
        expected = call.expected
        if expected is None or not call.comes_too_late:
            continue
        of_all = (name for name, one in plan.collections_called.items() if one == expected)
        parts: Parts = {
            "called_on": expected.called_on,
            "on": expected.on,
            "by": call.by,
            "why": str(call.why),
        }
        for stream in (call.stream,) if call.stream else of_all:
            yield Warned("collection-too-late", stream, parts)


def _not_recorded(plan: Plan) -> Iterator[Warned]:
    for stream, expected in plan.collections_called.items():
        if expected.on is not None and expected.on < plan.today:
            parts: Parts = {"called_on": expected.called_on, "on": expected.on}
            yield Warned("collection-overdue", stream, parts)


COLLECTION_WARNINGS: Final[tuple[Callable[[Plan], Iterator[Warned]], ...]] = (
    _too_late,
    _not_recorded,
)
