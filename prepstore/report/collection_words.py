"""By when a waste collection must be called, and why, in a sentence."""

from datetime import date

from prepstore.planning.collections import Call, CallFor, Expected
from prepstore.report.wording import day_in_words, far_day_in_words


def call_in_words(call: Call, today: date) -> str:
    """Return by when a collection must be called, and why; that it is late where it is.

    Of one that was called, when it is expected and whether that is in time.

    >>> call_in_words(
    ...     Call("acid", CallFor.CONTAINERS, date(2027, 3, 15), date(2027, 3, 8)), date(2027, 3, 1)
    ... )
    'Call a collection by Mon 8 Mar 2027: on Mon 15 Mar 2027 the last container of acid is full.'
    """
    why = _why(call, f" of {call.stream}")
    by = far_day_in_words(call.by)
    if call.expected is not None:
        return f"{_called(call, call.expected)}: on {by} {why}."
    if call.call_by is None:
        return f"A collection must have come by {by}: {why} then."
    if call.call_by < today:
        then = far_day_in_words(call.call_by)
        return f"A collection should have been called by {then}: on {by} {why}."
    return f"Call a collection by {far_day_in_words(call.call_by)}: on {by} {why}."


def _called(call: Call, expected: Expected) -> str:
    """Return when a collection was called and is expected, and whether that is in time."""
    called = f"A collection of {collected_in_words(call)} was called on"
    called = f"{called} {far_day_in_words(expected.called_on)}"
    if expected.on is None:
        return f"{called}, for what day was not said"
    late = ", TOO LATE" if call.comes_too_late else ""
    return f"{called} and is expected on {expected_on_in_words(expected.on, expected)}{late}"


def expected_on_in_words(day: date, expected: Expected) -> str:
    """Return the day of a collection that was called, and that it is reckoned where it is.

    >>> expected_on_in_words(date(2027, 3, 15), Expected(date(2027, 3, 8), date(2027, 3, 15), True))
    'Mon 15 Mar 2027'
    """
    reckoned = "" if expected.is_said else " (by collection_lead; no day was said)"
    return f"{far_day_in_words(day)}{reckoned}"


def _why(call: Call, of_stream: str) -> str:
    return {
        CallFor.CONTAINERS: f"the last container{of_stream} is full",
        CallFor.MOST_HELD: "there is more waste than waste_most_held",
        CallFor.LONGEST: f"a container{of_stream} has been there as long as waste_longest",
    }[call.why]


def collected_in_words(call: Call) -> str:
    """Return what a collection is of: its stream, or all by volume."""
    return call.stream or "all streams by volume"


def day_of_collection_in_words(call: Call) -> str:
    """Return by when a collection must have come, and why; its stream stands beside it.

    >>> day_of_collection_in_words(Call("acid", CallFor.CONTAINERS, date(2027, 3, 15), None))
    'it must come by Mon 15 Mar, when the last container is full'
    """
    return f"it must come by {day_in_words(call.by)}, when {_why(call, '')}"
