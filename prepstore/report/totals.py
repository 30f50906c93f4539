"""Pivots of a finished plan; the only module that imports pandas.

Numbers stay exact: the frames hold `Decimal` objects.
"""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

import pandas as pd

from prepstore.amounts import ZERO, settle
from prepstore.planning.plan import Plan
from prepstore.planning.waste import StreamPlan
from prepstore.report.wording import amount_in_words, day_in_words

TOTAL = "all"


def waste_by_day(plan: Plan) -> pd.DataFrame:
    """Return what to allow for of each stream on each day.

    Returns:
        A row a stream (its name and unit), a column a day with waste, in order, and the column
        `all` with each row's total; numbers in the stream's unit.
    """
    days = _days(plan)
    return pd.DataFrame(
        [
            [*(_allowed(stream, day) for day in days), stream.total.allow_for]
            for stream in plan.waste.streams
        ],
        index=pd.MultiIndex.from_tuples(
            [(stream.name, stream.kind) for stream in plan.waste.streams], names=["stream", "unit"]
        ),
        columns=[*days, TOTAL],
        dtype=object,
    )


def _days(plan: Plan) -> list[date]:
    return sorted({day for stream in plan.waste.streams for day in stream.by_day})


def _allowed(stream: StreamPlan, day: date) -> Decimal:
    return stream.by_day[day].allow_for if day in stream.by_day else ZERO


def waste_by_day_lines(plan: Plan) -> Iterator[str]:
    """Yield the pivot as lines of text, amounts as people say them."""
    if not plan.waste.streams:
        yield "There are no waste streams."
        return
    frame = waste_by_day(plan)
    words = pd.DataFrame(
        [
            [amount_in_words(settle(number), kind) if number else "" for number in row]
            for (_, kind), row in zip(frame.index, frame.to_numpy(), strict=True)
        ],
        index=[name for name, _ in frame.index],
        columns=[day_in_words(day) for day in _days(plan)] + [TOTAL],
    )
    yield from words.to_string().splitlines()
