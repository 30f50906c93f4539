"""A waste collection that is called: of which streams, and when it is expected."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from prepstore.containers import Called, ContainerWhat
from prepstore.movements import Booking
from prepstore.problems import RefusedError
from prepstore.shelf.pouring import Pouring
from prepstore.shelf.waste_containers import stream_called
from prepstore.stores import Stores


def collection_called(
    stores: Stores, names: Sequence[str], expected: date | None, day: date
) -> Booking:
    """Return the call of a collection of some streams, each once.

    One that is called already is called again with the later word: another day, or none.

    Args:
        stores: The streams, and which collections are to come.
        names: The streams.
        expected: The day on which it comes; None where the carrier did not say.
        day: The day on which it was called.

    Raises:
        RefusedError: There is no such stream, it comes before it was called, or all of that is
            recorded already.
    """
    if expected is not None and expected < day:
        what = f"A collection that was called on {day} is not expected on {expected}, before that."
        raise RefusedError(f"{what} Give a later day, or with --on the day of the call.")
    streams = list(dict.fromkeys(stream_called(stores, name) for name in names))
    new = [one for one in streams if stores.containers[one].called != Called(day, expected)]
    if not new:
        raise RefusedError("This call is recorded already. See: prepstore waste containers")
    calls = (Pouring.change(stores.goods.streams[one], ContainerWhat.CALLED, "") for one in new)
    return Booking(containers=tuple(replace(call, expected=expected) for call in calls))
