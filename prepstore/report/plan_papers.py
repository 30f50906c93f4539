"""What the papers of a plan said, from its JSON: of a plan now, or of one that was kept."""

from collections.abc import Iterator, Mapping
from datetime import date, time
from decimal import Decimal
from typing import Any

from prepstore.cell_types import NOT_ASSIGNED
from prepstore.planning.papers import (
    BatchThen,
    BenchThen,
    DeliveryThen,
    OrderThen,
    Papers,
    SessionThen,
    StreamThen,
)
from prepstore.planning.plan import Plan
from prepstore.report.plan_json import plan_rows

Row = Mapping[str, Any]


def papers_of(plan: Plan) -> Papers:
    """Return what the papers of a plan say, in the figures that its JSON has."""
    return papers_in(plan_rows(plan))


def papers_in(rows: Row) -> Papers:
    """Return what the papers of a plan said.

    Args:
        rows: Its JSON, which has the shape `plan_shape.PLAN`.
    """
    return Papers(
        first=date.fromisoformat(rows["period"]["from"]),
        last=date.fromisoformat(rows["period"]["to"]),
        today=date.fromisoformat(rows["today"]),
        sessions={str(row["session"]): _session(row) for row in rows["sessions"]},
        benches=dict(_benches(rows)),
        batches=tuple(_batch(row) for row in rows["making_up"]),
        orders=tuple(_order(row) for row in rows["orders"]),
        deliveries=tuple(_delivery(row) for row in rows["deliveries"]),
        short={str(row["item"]): _number(row["short"]) for row in rows["stock"] if row["short"]},
        apparatus_short={
            str(row["item"]): (_number(row["short"]), str(row["at"]))
            for row in rows["apparatus"]
            if row["short"]
        },
        streams={
            str(row["stream"]): StreamThen(int(row["containers"]), _days(row["full_on"]))
            for row in rows["waste"]
            if row["stream"] != NOT_ASSIGNED
        },
        warnings=dict(_warning(row) for row in rows["warnings"]),
        units={str(row["item"]): str(row["unit"]) for row in (*rows["needs"], *rows["stock"])},
    )


def _number(number: Any) -> Decimal:  # noqa: ANN401 - a number of JSON
    return Decimal(str(number))


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _days(texts: list[str]) -> tuple[date, ...]:
    return tuple(date.fromisoformat(text) for text in texts)


def _clock(text: str | None) -> time | None:
    return None if text is None else time.fromisoformat(text)


def _session(row: Row) -> SessionThen:
    return SessionThen(
        session=str(row["session"]),
        practical=str(row["practical"]),
        day=date.fromisoformat(row["date"]),
        start=_clock(row["start"]),
        end=_clock(row["end"]),
        room=row["room"],
        students=int(row["students"]),
        sets=int(row["sets"]),
        state=str(row["state"]),
        prepare_by=date.fromisoformat(row["prepare_by"]),
    )


def _benches(rows: Row) -> Iterator[tuple[tuple[str, str], BenchThen]]:
    bottles = {(row["session"], row["item"]): row for row in rows["setting_out"]}
    for row in rows["needs"]:
        for one in row["by_session"]:
            key = (str(one["session"]), str(row["item"]))
            shared = bottles.get(key, {"containers": 0, "fill": 0})
            yield (
                key,
                BenchThen(
                    amount=_number(one["amount"]),
                    lots=tuple(map(str, one["lots"])),
                    containers=int(shared["containers"]),
                    fill=_number(shared["fill"]),
                ),
            )


def _batch(row: Row) -> BatchThen:
    return BatchThen(
        solution=str(row["solution"]),
        make_on=date.fromisoformat(row["make_on"]),
        volume_ml=_number(row["volume_mL"]),
        makings=int(row["makings"]),
        parts={
            str(part["item"]): (_number(part["amount"]), tuple(map(str, part["lots"])))
            for part in row["parts"]
        },
    )


def _order(row: Row) -> OrderThen:
    return OrderThen(
        pack=str(row["pack"]),
        item=str(row["item"]),
        packs=int(row["packs"]),
        needed_by=_day(row["needed_by"]),
        order_by=_day(row["order_by"]),
        is_late=bool(row["late"]),
        is_for_spare=bool(row["for_spare"]),
    )


def _delivery(row: Row) -> DeliveryThen:
    return DeliveryThen(
        pack=str(row["pack"]),
        item=str(row["item"]),
        reference=str(row["reference"]),
        packs=int(row["packs"]),
        due=date.fromisoformat(row["due"]),
        is_counted=bool(row["taken"]),
    )


_SEVERAL_OF_ONE = frozenset({"room-taken-twice", "lot-without-dates", "peroxide-test-due"})
"""Codes of which one thing may have several warnings; their words tell which."""


def _warning(row: Row) -> tuple[tuple[str, str, str], str]:
    code, about, message = str(row["code"]), str(row["about"]), str(row["message"])
    return (code, about, message if code in _SEVERAL_OF_ONE else ""), message
