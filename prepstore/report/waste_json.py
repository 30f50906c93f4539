"""What is in a plan's waste, as JSON: compositions, balances, and what is left of batches."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from prepstore.amounts import Kind
from prepstore.chemistry.water import is_water
from prepstore.planning.balances import Account, Balance, balances_of
from prepstore.planning.composition import (
    Composition,
    Contained,
    is_halogenated,
)
from prepstore.planning.demands import Scale
from prepstore.planning.endings import Ended
from prepstore.planning.leftovers import Leftover
from prepstore.planning.plan import Plan
from prepstore.planning.waste import StreamPlan
from prepstore.report.row_lists import number_in_json
from prepstore.report.rows_of_sessions import Row, RowsOfSessions
from prepstore.report.wording import shares_in_words

_MEASURES: Final = {Kind.VOLUME: "volume", Kind.MASS: "mass"}


def stream_row(plan: Plan, stream: StreamPlan) -> Row:
    """Return a stream: what it collects, its containers, and what is in it."""
    return {
        "stream": stream.name,
        "measure": _MEASURES.get(stream.kind, "count"),
        "unit": str(stream.kind),
        "before": number_in_json(stream.before),
        **ended_in_json(stream.total),
        "containers": stream.containers,
        "full_on": [day.isoformat() for day in stream.full_on],
        "by_day": [
            {"date": day.isoformat(), **ended_in_json(ended)}
            for day, ended in stream.by_day.items()
        ],
        **_composition(plan.composition(stream), stream.kind),
    }


def _composition(of: Composition, kind: Kind) -> Row:
    """Return what is in a stream; shares of water and halogenated go by what it is filled by."""
    by = Kind.MASS if kind is Kind.MASS else Kind.VOLUME
    return {
        "mass_g": ended_in_json(of.g),
        "unknown_mL": number_in_json(of.unknown_ml.expected),
        "unknown": list(of.unknown),
        "water_percent": _or_null(of.percent_of(is_water, by)),
        "halogenated_percent": _or_null(of.percent_of(is_halogenated, by)),
        "composition": [_contained(of, one) for one in of.contained],
    }


def _contained(of: Composition, one: Contained) -> Row:
    return {
        **substance_row(one),
        "volume_percent": _or_null(of.percent(one, Kind.VOLUME)),
        "mass_percent": _or_null(of.percent(one, Kind.MASS)),
    }


def substance_row(one: Contained) -> Row:
    """Return how much of a substance there is, without its shares."""
    return {
        "substance": one.item.item,
        "mL": ended_in_json(one.ml),
        "g": ended_in_json(one.g),
        "held_back": one.is_held_back,
        "not_known": [str(kind) for kind in one.not_known],
    }


def other_end_rows(plan: Plan) -> Iterator[Row]:
    """Yield what is kept, goes into the air or down the drain, by unit."""
    for (end, kind), ended in sorted(plan.waste.other_ends.items()):
        yield {"end": end, "unit": str(kind), **ended_in_json(ended)}


def balance_rows(plan: Plan) -> RowsOfSessions:
    """Return the balances of the lines of each session."""

    def of_size(scale: Scale) -> list[Row]:
        return [_balance(plan, balance) for balance in balances_of(scale)]

    return RowsOfSessions(plan.works, of_size)


def _balance(plan: Plan, balance: Balance) -> Row:
    return {
        "item": plan.label(balance.name),
        "unit": str(plan.materials[balance.name].unit),
        "expected": _account(balance.expected),
        "allow_for": _account(balance.allow_for),
    }


def _account(account: Account) -> Row:
    out = {place: number_in_json(amount) for place, amount in account.out.items()}
    return {"in": number_in_json(account.goes_in), **out}


def leftover_row(plan: Plan, leftover: Leftover) -> Row:
    """Return what is left of a batch on its last day, and where that goes."""
    return {
        "solution": plan.label(leftover.name),
        "date": leftover.date.isoformat(),
        "to": leftover.to and shares_in_words(leftover.to),
        "expected_mL": number_in_json(leftover.amount.expected),
        "allow_for_mL": number_in_json(leftover.amount.allow_for),
    }


def ended_in_json(ended: Ended) -> Row:
    """Return an amount without spare and with it."""
    return {
        "expected": number_in_json(ended.expected),
        "allow_for": number_in_json(ended.allow_for),
    }


def _or_null(number: Decimal | None) -> int | float | None:
    return None if number is None else number_in_json(number)
