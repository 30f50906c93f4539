"""What is wrong with a store and therefore not counted, as lines and as warnings of a plan."""

from collections.abc import Iterator, Mapping, Sequence

from prepstore.planning.warned import Warned
from prepstore.problems import Problem

_WORDS: Mapping[str, str] = {
    "items": "items",
    "solutions": "solutions",
    "hazard_limits": "hazard limits",
    "practicals": "practicals",
    "timetable": "sessions",
    "stock": "lots",
    "suppliers": "suppliers",
    "packs": "packs",
    "price_breaks": "quantity prices",
    "storage_limits": "storage limits",
    "on_order": "orders",
    "waste_streams": "waste streams",
    "replacements": "replacements",
    "settings": "settings",
}
"""What the rows of a table are called; those of others have no names of their own."""


def left_out_lines(
    problems: Sequence[Problem], names: Mapping[str, Sequence[str]], at_most: int
) -> Iterator[str]:
    """Yield a line a mistake of the store, so many at most, and what is not counted because of it.

    Args:
        problems: What is wrong.
        names: What is left out because of it, by table.
        at_most: How many mistakes are told.
    """
    for problem in problems[:at_most]:
        yield problem.sentence
    if len(problems) > at_most:
        yield f"… and {len(problems) - at_most} more: prepstore check"
    if problems:
        yield f"The store has {_mistakes(problems)}. Left out: {_left_out(names)}."


def lots_to_mend_lines(problems: Sequence[Problem], at_most: int) -> Iterator[str]:
    """Yield a line a mistake in the row of a lot, so many at most, and what to do about them."""
    for problem in problems[:at_most]:
        yield problem.sentence
    if problems:
        yield (
            f"Lots with mistakes are shown as in quarantine here, {len(problems)} in all: set "
            "them right with prepstore stock correct or stock count."
        )


def left_out_warnings(
    problems: Sequence[Problem], names: Mapping[str, Sequence[str]]
) -> Iterator[Warned]:
    """Yield a warning a mistake of the store, and one of what a plan does not count for it."""
    for problem in problems:
        yield Warned("store-mistake", "the store", {"sentence": problem.sentence})
    if problems:
        yield Warned("store-left-out", "the store", {"things": _left_out(names)})


def _mistakes(problems: Sequence[Problem]) -> str:
    return f"{len(problems)} mistake{'s' if len(problems) != 1 else ''}"


def _left_out(names: Mapping[str, Sequence[str]]) -> str:
    """Return what is left out by kind: `lots L1, L2; sessions Mon-1`."""
    parts = [f"{_WORDS.get(table, table)} {', '.join(of_one)}" for table, of_one in names.items()]
    return "; ".join(parts) if parts else "only what these cells say"
