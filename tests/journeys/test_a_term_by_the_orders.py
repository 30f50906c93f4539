"""A term lived through: ordered as `ahead` says, each week alone, and with late deliveries."""

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random

import pytest

from prepstore.amounts import ZERO
from prepstore.cell_types import Count, fold
from prepstore.facts import OnOrder
from prepstore.planning.ahead.ahead import ahead_of
from prepstore.planning.ahead.term import term_of, weeks_from
from prepstore.planning.calendar import Period
from prepstore.planning.orders import Offer
from prepstore.planning.plan import Plan
from prepstore.planning.states import SessionPlan
from prepstore.shelf.shelf import Department
from prepstore.stores import Delivery, Stores
from prepstore.tables.crosscheck import checked
from prepstore.timetable import Timetable
from tests.builders import department_of, facts_from
from tests.journeys.sample import Sample

FIRST = Period.of_week("2027-W05")
TENTH = Period.of_week("2027-W10")
WEEKS = 6
ITEMS = 8
Placed = list[tuple[Offer, str, int, Decimal, date]]
"""Packs ordered: the pack, its item (folded), how many, the price of each, and when they come."""


def department(random: Random) -> Department:
    """Return a department by chance: 2 L of each item, which serves the first week."""
    days = [
        FIRST.first + timedelta(weeks=week, days=day) for week in range(WEEKS) for day in range(4)
    ]
    sessions = [
        f"S{number},P{random.randrange(6)},{day},{random.randint(6, 24)}"
        for number, day in enumerate(days)
    ]
    packs = []
    for item in range(ITEMS):
        price = random.uniform(3, 20)
        for size, times in ((500, 1.0), (2000, 3.4)):
            by = random.choice("ABC")
            packs.append(f"I{item}-{size},item {item},{by},{size} mL,{price * times:.2f}")
    lines = [
        f"P{practical},item {random.randrange(ITEMS)},{random.randint(5, 40)} mL,student"
        for practical in range(6)
        for _ in range(3)
    ]
    charges = [
        f"{name},{random.randint(1, 4)},{random.choice([4, 9, 15])},{random.choice(['', 30])}"
        for name in "ABC"
    ]
    return facts_from(
        {
            "items": _csv("item,kind,unit", [f"item {item},solvent,mL" for item in range(ITEMS)]),
            "practicals": _csv("practical,title", [f"P{number},Work" for number in range(6)]),
            "practical_lines": _csv("practical,item,amount,per", lines),
            "timetable": _csv("session,practical,date,students", sessions),
            "stock": _csv("lot,item,amount", [f"L{item},item {item},2 L" for item in range(ITEMS)]),
            "suppliers": _csv("supplier,lead_days,delivery_charge,minimum_order", charges),
            "packs": _csv("pack,item,supplier,size,price", packs),
            "settings": "setting,value\nordering,jointly",
        }
    )


def _csv(heading: str, rows: Sequence[str]) -> str:
    return "\n".join([heading, *rows])


def longer_sample() -> Department:
    """Return the sample with its tenth week held again in each of the five after it."""
    rows = Sample((), "2027-W10").rows
    again = [
        replace(
            row,
            text={
                **row.text,
                "session": f"{row.text['session']} {later}",
                "date": str(first + timedelta(weeks=later)),
            },
        )
        for row in rows["timetable"]
        for later in range(WEEKS)
        if TENTH.first <= (first := date.fromisoformat(row.text["date"])) <= TENTH.last
    ]
    result = checked({**rows, "timetable": again})
    assert not result.problems, [problem.sentence for problem in result.problems]
    return department_of(result)


Policy = Callable[[Department, Sequence[Period]], Placed]


def term_as_a_whole(of: Department, weeks: Sequence[Period]) -> Placed:
    """Return what the term from a week on says to order in it."""
    week = weeks[0]
    plans = list(term_of(of.catalogue, of.timetable, of.stores, weeks, week.first))
    found = ahead_of(of.stores, plans, of.catalogue.settings, week)
    return [
        (row.chance.offer, row.chance.item.name, row.packs, row.price, row.chance.arrives)
        for row in found.orders.rows
        if row.chance.week == 0
    ]


def each_week_alone(of: Department, weeks: Sequence[Period]) -> Placed:
    """Return what the plans of this week and the next say to order."""
    week = weeks[0]
    both = Period(week.first, week.last + timedelta(weeks=1))
    plan = of.plan(both, week.first)
    return [(row.offer, row.name, row.packs, row.price, row.arrives) for row in plan.orders]


@dataclass
class Lived:
    """What a term came to: money, and sessions that went without something that is sold."""

    cost: Decimal = ZERO
    without: int = 0


def live(
    of: Department, policy: Policy, delay: Callable[[], int] = lambda: 0, first: Period = FIRST
) -> Lived:
    """Live through the term: order on Mondays, take in what comes, hold the sessions."""
    lived = Lived()
    weeks = weeks_from(first, WEEKS, first.first)
    for number, week in enumerate(weeks):
        placed = policy(of, weeks[number:])
        lived.cost += sum((price * packs for _, _, packs, price, _ in placed), ZERO)
        suppliers = {offer.supplier.supplier: offer.supplier for offer, *_ in placed}
        lived.cost += sum((one.delivery_charge or ZERO for one in suppliers.values()), ZERO)
        stores = _on_order(of.stores, placed, delay)
        plan = replace(of, stores=stores).plan(week, week.first)
        # In the first week nothing that is ordered comes before Friday.
        if week != weeks[0]:
            lived.without += sum(_lacks_what_is_sold(session, plan) for session in plan.sessions)
        of = replace(of, stores=stores.after(plan), timetable=_booked(of.timetable, plan))
    return lived


def _lacks_what_is_sold(session: SessionPlan, plan: Plan) -> bool:
    """Return whether a session lacks what suppliers have, which ice for one is not."""
    return any(
        plan.catalogue.is_bought(lack.name) and plan.packs.get(lack.name) for lack in session.lacks
    )


def _on_order(stores: Stores, placed: Placed, delay: Callable[[], int]) -> Stores:
    deliveries = [
        Delivery(
            OnOrder(
                pack=offer.pack.pack, packs=Count(packs), due=arrives + timedelta(days=delay())
            ),
            offer.pack.pack,
            name,
            offer.size * packs,
            None,
        )
        for offer, name, packs, _, arrives in placed
    ]
    late = [replace(one, order=replace(one.order, due=one.due)) for one in deliveries]
    return replace(stores, deliveries=(*stores.deliveries, *late))


def _booked(timetable: Timetable, plan: Plan) -> Timetable:
    done = {fold(work.session.session): work.session.date for work in plan.works}
    return Timetable(timetable.sessions, {**timetable.booked_out, **done})


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(int(os.environ.get("TERMS", "4"))))
def test_a_term_that_is_ordered_ahead_lacks_nothing_and_costs_no_more(
    seed: int, record_property: Callable[[str, object], None]
) -> None:
    ahead = live(department(Random(seed)), term_as_a_whole)
    alone = live(department(Random(seed)), each_week_alone)
    random = Random(seed)
    delays = [0, 0, 0, 1, 3, 7]
    for policy, name in ((term_as_a_whole, "ahead"), (each_week_alone, "alone")):
        delayed = live(department(Random(seed)), policy, lambda: random.choice(delays))
        record_property(f"without, {name}, delayed", delayed.without)
    record_property("cost ahead", str(ahead.cost))
    record_property("cost alone", str(alone.cost))
    assert ahead.without == 0
    assert ahead.cost <= alone.cost


@pytest.mark.slow
def test_the_sample_s_term_ordered_ahead_lacks_nothing_that_can_be_bought(
    record_property: Callable[[str, object], None],
) -> None:
    random = Random(1)
    delays = [0, 0, 0, 1, 3, 7]
    found = {
        policy: live(longer_sample(), policy, first=TENTH)
        for policy in (term_as_a_whole, each_week_alone)
    }
    for policy, name in ((term_as_a_whole, "ahead"), (each_week_alone, "alone")):
        delayed = [
            live(longer_sample(), policy, lambda: random.choice(delays), TENTH).without
            for _ in range(int(os.environ.get("TERMS", "1")))
        ]
        record_property(f"without, {name}, delayed", delayed)
        record_property(f"cost {name}", str(found[policy].cost))
        record_property(f"without, {name}", found[policy].without)
    assert found[term_as_a_whole].without == 0
    assert found[term_as_a_whole].cost <= found[each_week_alone].cost
