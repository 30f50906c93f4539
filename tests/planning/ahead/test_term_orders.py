"""Orders over weeks: by hand, and beside trying all of them, a store being used day by day."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import chain, product
from random import Random

import pytest

from prepstore.planning.ahead.ahead import Ahead
from prepstore.planning.ahead.keeping_by_day import Arrived, cost_of_keeping
from prepstore.planning.calendar import Calendar
from tests.builders import day, figures
from tests.planning.ahead.terms import ahead, tables_of

Placed = list[tuple[str, str, int]]


def placed(found: Ahead) -> Placed:
    """Return each order row: day, pack and number."""
    return [
        (f"{row.chance.placed:%m-%d}", row.chance.offer.code, row.packs)
        for row in found.orders.rows
    ]


def cost(found: Ahead) -> tuple[object, ...]:
    orders = found.orders
    assert orders.is_proven
    return figures(orders.goods, orders.charges, orders.keeping)


def test_one_order_serves_two_weeks_where_a_delivery_costs_more_than_to_keep_it() -> None:
    """By hand: two packs of 10 and one charge of 8; held for one and for two ends of weeks."""
    found = ahead(holding="52 %")
    assert placed(found) == [("02-01", "N1", 2)]
    assert cost(found) == (20, 8, Decimal("0.3"))


def test_without_a_charge_what_costs_money_to_keep_is_bought_late() -> None:
    found = ahead(holding="52 %", charge="0")
    assert placed(found) == [("02-01", "N1", 1), ("02-08", "N1", 1)]
    assert cost(found) == (20, 0, Decimal("0.2"))


def test_a_minimum_is_reached_in_each_week_that_has_an_order() -> None:
    """By hand: one order of 20 reaches 15; two of 10 would not."""
    assert placed(ahead(least="15", charge="0")) == [("02-01", "N1", 2)]
    assert placed(ahead(least="25", charge="0")) == [("02-01", "N1", 3)]


def test_what_does_not_keep_is_bought_so_late_that_it_is_in_date() -> None:
    """By hand: what comes on the 3rd keeps until the 10th, the third session is on the 17th."""
    found = ahead(keeps="7")
    assert placed(found) == [("02-01", "N1", 1), ("02-08", "N1", 1)]
    assert cost(found) == (20, 16, 0)


def test_what_would_be_out_of_date_whenever_it_is_ordered_is_named_and_not_bought() -> None:
    """By hand: orders on Mondays come on Wednesdays, and the third session is on a Thursday."""
    tables = tables_of(keeps="0")
    tables["timetable"] = tables["timetable"].replace("02-17", "02-18")
    found = ahead(tables=tables)
    assert found.orders.out_of_date == ("acetone",)
    assert placed(found) == [("02-08", "N1", 1)]


def test_a_need_that_no_order_meets_in_time_takes_what_comes_first() -> None:
    """By hand: needed on the 2nd, the soonest comes on the 3rd, ordered today."""
    slow = "\nS1,acetone,Slow,1 L,1"
    tables = tables_of(stock="0 mL", packs=slow)
    tables["suppliers"] += "        Slow,3,,\n"
    found = ahead(tables=tables)
    assert placed(found) == [("02-01", "N1", 1), ("02-01", "S1", 2)]


def test_a_restock_is_wanted_at_the_end_of_the_last_week() -> None:
    assert placed(ahead(minimum="500 mL")) == [("02-01", "N1", 3)]
    found = ahead(minimum="500 mL", stock="3 L", weeks=1, today="2027-02-05", first="2027-W05")
    assert found.orders.rows == ()
    assert figures(found.items[0].restock, found.orders.dropped) == (0, ())


def test_a_restock_that_cannot_come_by_then_is_dropped_and_named() -> None:
    found = ahead(minimum="5 L", stock="3 L", weeks=1, today="2027-02-05")
    assert figures(found.orders.rows, found.orders.dropped) == ((), ("acetone",))


def test_the_most_that_may_be_there_holds_on_each_day_on_which_something_comes() -> None:
    """By hand: on the 3rd a litre is there still, so only one more may come; on the 10th, too."""
    found = ahead(most="2 L")
    assert placed(found) == [("02-01", "N1", 1), ("02-08", "N1", 1)]
    assert found.orders.exceeded == ()


def test_a_need_goes_before_the_most_that_may_be_there() -> None:
    found = ahead(most="1500 mL")
    assert [limit.most.name for limit in found.orders.exceeded] == ["acetone"]
    assert sum(packs for _, _, packs in placed(found)) == 2


def test_sessions_before_the_first_week_take_first() -> None:
    found = ahead(first="2027-W06", weeks=2)
    assert [week.week for week in found.term.weeks] == ["2027-W05", "2027-W06", "2027-W07"]
    assert placed(found) == [("02-01", "N1", 2)]


def test_a_week_that_is_over_gets_no_order() -> None:
    found = ahead(today="2027-02-09")
    assert placed(found) == [("02-09", "N1", 1)]
    assert found.items[0].opening == 1000


# All of them, tried one by one.

MONDAYS = (day("02-01"), day("02-08"), day("02-15"))
WORKING = Calendar(frozenset(range(5)))


def _is_enough(
    arrivals: Sequence[tuple[date, Decimal]],
    needs: Sequence[tuple[date, date]],
    keeps: int | None,
    soonest: date,
) -> bool:
    """Return whether a litre is there for each need, used day by day, the first to expire first."""
    left = dict(sorted(arrivals))
    for needed, used in needs:
        wanted = Decimal(1000)
        late = needed < soonest
        for came in sorted(left):
            in_time = came == soonest if late else came <= needed
            if in_time and (late or keeps is None or used <= came + timedelta(days=keeps)):
                taken = min(left[came], wanted)
                left[came] -= taken
                wanted -= taken
        if wanted:
            return False
    return True


@dataclass(frozen=True)
class _Sold:
    """What one supplier sells a litre or so of acetone in, and how."""

    name: str
    lead: int
    size: int
    price: Decimal
    charge: Decimal
    least: Decimal

    @classmethod
    def by_chance(cls, random: Random, name: str, leads: Sequence[int]) -> "_Sold":
        return cls(
            name,
            random.choice(leads),
            random.choice([1000, 1500, 2000]),
            Decimal(random.randint(500, 1500)) / 100,
            Decimal(random.choice([0, 4, 9])),
            Decimal(random.choice([0, 8, 12])),
        )

    @property
    def most(self) -> int:
        """Return more packs than a best order holds."""
        return -(-3000 // self.size) + int(-(-self.least // self.price))

    def orders(self) -> Iterator[tuple[Decimal, list[tuple[date, Decimal]]]]:
        """Yield what each way to order on three Mondays costs and brings."""
        for counts in product(range(self.most + 1), repeat=len(MONDAYS)):
            goods = [self.price * count for count in counts]
            if any(0 < value < self.least for value in goods):
                continue
            total = sum(goods, Decimal(0)) + self.charge * sum(map(bool, counts))
            brought = [
                (WORKING.arrival(monday, self.lead), Decimal(self.size * count))
                for monday, count in zip(MONDAYS, counts, strict=True)
                if count
            ]
            yield total, brought


def _tables(sold: Sequence[_Sold], keeps: int | None, stock: int) -> dict[str, str]:
    tables = tables_of(stock=f"{stock} mL", keeps="" if keeps is None else str(keeps))
    tables["suppliers"] = "supplier,lead_days,delivery_charge,minimum_order\n" + "\n".join(
        f"{one.name},{one.lead},{one.charge},{one.least}" for one in sold
    )
    tables["packs"] = "pack,item,supplier,size,price\n" + "\n".join(
        f"{one.name}-1,acetone,{one.name},{one.size} mL,{one.price}" for one in sold
    )
    return tables


def _together(*brought: list[tuple[date, Decimal]]) -> list[tuple[date, Decimal]]:
    sums: dict[date, Decimal] = {}
    for on, amount in chain(*brought):
        sums[on] = sums.get(on, Decimal(0)) + amount
    return list(sums.items())


def _least(sold: Sequence[_Sold], keeps: int | None, stock: int) -> Decimal | None:
    """Return what the best of all orders costs; None where none is enough."""
    uses = [day("02-03"), day("02-10"), day("02-17")][1 if stock else 0 :]
    needs = [(WORKING.before(use, 1), use) for use in uses]
    soonest = min(WORKING.arrival(MONDAYS[0], one.lead) for one in sold)
    north, south = (sorted(one.orders(), key=lambda order: order[0]) for one in sold)
    enough = (
        first + second
        for (first, some), (second, others) in product(north, south)
        if _is_enough(_together(some, others), needs, keeps, soonest)
    )
    return min(enough, default=None)


@pytest.mark.slow
@pytest.mark.parametrize("ten", range(10))
def test_no_orders_over_the_weeks_cost_less(ten: int) -> None:
    for seed in range(ten * 10, ten * 10 + 10):
        random = Random(seed)
        keeps, stock = random.choice([None, None, 9, 14]), random.choice([0, 1000])
        sold = [
            _Sold.by_chance(random, "North", [2]),
            _Sold.by_chance(random, "South", [1, 3, 4]),
        ]
        orders = ahead(tables=_tables(sold, keeps, stock)).orders
        if not orders.out_of_date:
            best = _least(sold, keeps, stock)
            assert figures(seed, orders.total, orders.is_proven) == (seed, best, True)


@pytest.mark.parametrize("packs", ["\nN2,acetone,North,2 L,18", "\nA2,acetone,North,500 mL,6"])
def test_keeping_two_prices_is_counted_first_in_first_out(packs: str) -> None:
    """The total is what the store would cost day by day, and no other orders cost less."""
    found = ahead(tables=tables_of(holding="52 %", charge="0", packs=packs, minimum="700 mL"))
    assert found.orders.is_proven
    arrived = [
        Arrived(
            row.chance.arrives,
            row.chance.offer.code,
            row.chance.offer.size * row.packs,
            row.price / row.chance.offer.size,
            None,
        )
        for row in found.orders.rows
    ]
    used = [(day("02-10"), Decimal(1000)), (day("02-17"), Decimal(1000))]
    ends = [week.last for week in found.term.weeks]
    assert found.orders.keeping == cost_of_keeping(arrived, used, ends) / 100
    assert found.orders.bound <= found.orders.total


def test_a_restock_may_come_on_the_last_day_itself() -> None:
    """By hand: with work on all days, ordered on Friday it comes on Sunday; 2 L are missing."""
    tables = tables_of(minimum="5 L", stock="3 L")
    tables["settings"] += "\nworking_days,Mon-Sun"
    found = ahead(tables=tables, weeks=1, today="2027-02-05")
    assert figures(placed(found), found.orders.dropped) == ([("02-05", "N1", 2)], ())


def test_what_is_used_on_the_day_on_which_something_comes_is_there_still() -> None:
    """By hand: S2 uses on the 10th what came on the 3rd, so one more on the 10th would be 2 L."""
    tables = tables_of(most="1500 mL", stock="0 mL")
    tables["timetable"] = tables["timetable"].replace("S1,P,2027-02-03,4", "S1,P,2027-02-03,0")
    found = ahead(tables=tables)
    assert placed(found) == [("02-01", "N1", 2)]
    assert [limit.held for limit in found.orders.exceeded] == [2000]


def test_on_a_closed_day_what_is_late_is_ordered_today_and_not_on_monday() -> None:
    """By hand: what is ordered on Saturday or on Monday comes on Wednesday, after the need."""
    tables = tables_of(stock="0 mL")
    tables["timetable"] = "session,practical,date,students\nS1,P,2027-02-10,4"
    found = ahead(tables=tables, today="2027-02-06")
    assert placed(found) == [("02-06", "N1", 1)]
