"""A term ahead as JSON."""

import json
from typing import Any

from prepstore.planning.ahead.ahead import Ahead
from prepstore.planning.ahead.balances import ItemAhead
from prepstore.planning.ahead.keeping import TermRow
from prepstore.report.plan_json import CONTRACT
from prepstore.report.row_lists import number_in_json
from prepstore.report.term_words import week_name

Row = dict[str, Any]


def ahead_json(ahead: Ahead) -> str:
    """Return a term ahead as JSON text."""
    return json.dumps(ahead_rows(ahead), ensure_ascii=False, indent=1) + "\n"


def ahead_rows(ahead: Ahead) -> Row:
    """Return a term ahead as what JSON is made of."""
    orders = ahead.orders
    return {
        "contract": CONTRACT,
        "from": week_name(ahead.asked_from),
        "weeks": [week_name(week) for week in ahead.term.weeks],
        "today": ahead.term.days.today.isoformat(),
        "items": [_item(ahead, item) for item in ahead.items],
        "orders": [_order(ahead, row) for row in orders.rows],
        "cost": {
            "goods": number_in_json(orders.goods),
            "charges": number_in_json(orders.charges),
            "holding": number_in_json(orders.keeping),
            "total": number_in_json(orders.total),
            "bound": number_in_json(orders.bound),
            "proven": orders.is_proven,
        },
        "waste": _waste(ahead),
        "make_or_buy": [
            {
                "solution": ahead.label(one.name),
                "make": None if one.make is None else number_in_json(one.make),
                "buy": None if one.buy is None else number_in_json(one.buy),
                "time": None if one.time is None else number_in_json(one.time),
            }
            for one in ahead.solutions
        ],
    }


def _item(ahead: Ahead, item: ItemAhead) -> Row:
    names = [week_name(week) for week in ahead.term.weeks]
    return {
        "item": item.material.name,
        "unit": str(item.material.unit),
        "opening": number_in_json(item.opening),
        "weeks": [
            {
                "week": name,
                "use": number_in_json(week.use),
                "arrives": number_in_json(week.arrives),
                "expires": number_in_json(week.expires),
                "balance": number_in_json(week.balance),
            }
            for name, week in zip(names, item.weeks, strict=True)
        ],
        "first_short": None if item.first_short is None else names[item.first_short],
        "order_by": item.order_by and item.order_by.isoformat(),
    }


def _order(ahead: Ahead, row: TermRow) -> Row:
    chance = row.chance
    return {
        "place_in": week_name(ahead.term.weeks[chance.week]),
        "place_on": chance.placed.isoformat(),
        "supplier": chance.offer.supplier.supplier,
        "item": chance.item.material.name,
        "pack": chance.offer.pack.pack,
        "packs": row.packs,
        "price": number_in_json(row.price),
        "cost": number_in_json(row.cost),
        "arrives": chance.arrives.isoformat(),
    }


def _waste(ahead: Ahead) -> list[Row]:
    """Return each stream by week; what is not assigned has a row a unit."""
    streams: dict[tuple[str, str], list[Row]] = {}
    for plan in ahead.term.plans:
        for stream in plan.waste.streams:
            streams.setdefault((stream.name, str(stream.kind)), [])
    for plan in ahead.term.plans:
        of_week = {(one.name, str(one.kind)): one.total for one in plan.waste.streams}
        for key, weeks in streams.items():
            total = of_week.get(key)
            weeks.append(
                {
                    "week": week_name(plan.period),
                    "expected": number_in_json(total.expected) if total else 0,
                    "allow_for": number_in_json(total.allow_for) if total else 0,
                }
            )
    return [
        {"stream": name, "unit": unit, "weeks": weeks} for (name, unit), weeks in streams.items()
    ]
