"""What each session sends to waste streams on its day: as JSON, as rows of a CSV, as lines."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Final

from prepstore.amounts import ZERO, Kind
from prepstore.planning.demands import SessionWork
from prepstore.planning.endings import Ended
from prepstore.planning.plan import Plan
from prepstore.planning.waste_by_session import Sent, sent_to_streams
from prepstore.report.screen import wrapped
from prepstore.report.text_table import as_table
from prepstore.report.waste_json import ended_in_json, substance_row
from prepstore.report.wording import amount_in_words, day_in_words, period_in_words

SENT_COLUMNS: Final = (
    "date", "session", "left_of", "stream", "unit", "substance", "held_back", "mL_expected",
    "mL_allow_for", "g_expected", "g_allow_for",
)  # fmt: skip
_HEADING: Final = (
    "day", "session", "stream", "expected", "allow for", "in it, expected", "not in the amount",
)  # fmt: skip

Row = dict[str, Any]


def sent_rows(plan: Plan) -> Iterator[Row]:
    """Yield what each session, and what is left of each batch, sends to each stream on its day.

    Figures are settled, so that they add up. One of `session` and `left_of` is null.
    """
    for sent in sent_to_streams(plan):
        yield {
            **_of(plan, sent),
            **ended_in_json(sent.amount),
            "unknown_mL": ended_in_json(sent.composition.unknown_ml),
            "unknown": list(sent.composition.unknown),
            "not_in_amount": list(sent.uncounted),
            "composition": [substance_row(one) for one in sent.composition.contained],
        }


def _of(plan: Plan, sent: Sent) -> Row:
    of = sent.of
    return {
        "date": sent.day.isoformat(),
        "session": of.session.session if isinstance(of, SessionWork) else None,
        "left_of": None if isinstance(of, SessionWork) else plan.label(of.name),
        "stream": sent.stream.name,
        "unit": str(sent.stream.kind),
    }


def sent_cells(plan: Plan) -> Iterator[Row]:
    """Yield the same as a row a substance, for a CSV; one without a name is not known."""
    for row in sent_rows(plan):
        parts = row["composition"]
        if row["unknown"]:
            nothing = ended_in_json(Ended())
            parts = [*parts, {"substance": "", "mL": row["unknown_mL"], "g": nothing}]
        for part in parts:
            yield {
                **row,
                **part,
                **{
                    f"{unit}_{figure}": part[unit][figure]
                    for unit in ("mL", "g")
                    for figure in ("expected", "allow_for")
                },
            }


def sent_lines(plan: Plan) -> Iterator[str]:
    """Yield a heading, and a line a session and stream with what is in it."""
    yield from wrapped(f"Waste by session of {period_in_words(plan.period)}")
    found = [_cells(plan, sent) for sent in sent_to_streams(plan)]
    yield from as_table(_HEADING, found)
    if not found:
        yield "  nothing"


def _cells(plan: Plan, sent: Sent) -> tuple[str, ...]:
    kind = sent.stream.kind
    return (
        day_in_words(sent.day),
        sent.of.session.session
        if isinstance(sent.of, SessionWork)
        else f"left of {plan.label(sent.of.name)}",
        sent.stream.name,
        amount_in_words(sent.amount.expected, kind),
        amount_in_words(sent.amount.allow_for, kind),
        "; ".join(_in_words(sent)),
        "; ".join(sent.uncounted),
    )


def _in_words(sent: Sent) -> Iterator[str]:
    """Yield each substance, the most first, and what is not known."""
    for one in sent.composition.contained:
        held = ", held back" if one.is_held_back else ""
        yield f"{one.item.item} {amount_in_words(*_measured(one.ml, one.g))}{held}"
    if sent.composition.unknown:
        unknown = amount_in_words(sent.composition.unknown_ml.expected, Kind.VOLUME)
        yield f"{unknown} not known of {' and '.join(sent.composition.unknown)}"


def _measured(ml: Ended, g: Ended) -> tuple[Decimal, Kind]:
    return (ml.expected, Kind.VOLUME) if ml.expected > ZERO else (g.expected, Kind.MASS)
