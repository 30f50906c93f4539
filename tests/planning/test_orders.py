"""Rule 10: whole packs at least cost, by when to order them, and what they stop when late."""

import pytest

from prepstore.facts import Pack, Supplier
from prepstore.planning.draws import Served
from prepstore.planning.orders import (
    Offer,
    Shortage,
    cheapest_cover,
    earliest_arrival,
    orders_for,
    stopped_sessions,
)
from tests.builders import (
    MON_TO_FRI,
    day,
    demand,
    fact_of,
    figures,
    number,
    plan_of,
    session_of,
    work,
)


def _pack(code: str, size: object, price: object, lead: str = "1") -> Offer:
    pack = fact_of(Pack, pack=code, item="it", supplier=lead, size="1 g", price=str(price))
    return Offer(pack, fact_of(Supplier, supplier=lead, lead_days=lead), number(size))


def _cover(wanted: object, *packs: Offer) -> dict[str, int]:
    return {pack.pack.pack: count for pack, count in cheapest_cover(packs, number(wanted))}


def _short(amount: object, *dates: str, restock: object = 0) -> Shortage:
    served = (
        Served(demand(amount, work(date, f"2027-{date}")), (), number(amount)) for date in dates
    )
    return Shortage("it", tuple(served), number(restock))


def test_two_small_packs_may_be_cheaper_than_a_large_one() -> None:
    assert _cover(200, _pack("A", 100, 4), _pack("B", 500, 9)) == {"A": 2}
    assert _cover(201, _pack("A", 100, 4), _pack("B", 500, 9)) == {"B": 1}


def test_a_mixed_cover_may_be_the_cheapest() -> None:
    assert _cover(3400, _pack("A", 2500, 30), _pack("B", 1000, 14)) == {"A": 1, "B": 1}


def test_on_equal_cost_the_least_excess_decides() -> None:
    assert _cover(3, _pack("A", 5, 3), _pack("B", 3, 3)) == {"B": 1}


def test_on_equal_cost_and_excess_the_fewest_packs_decide() -> None:
    assert _cover(4, _pack("A", 1, 1), _pack("B", 2, 2), _pack("C", 4, 4)) == {"C": 1}


def test_then_more_of_the_pack_whose_code_comes_first() -> None:
    """3 + 3 and 2 + 4 are both 6 in two packs for 6."""
    packs = (_pack("C", 4, 4), _pack("B", 3, 3), _pack("A", 2, 2))
    assert _cover(6, *packs) == {"A": 1, "C": 1}
    assert _cover(6, _pack("B", 6, 1), _pack("A", 6, 1)) == {"A": 1}


@pytest.mark.parametrize("wanted", [0, "0.0000000004"])
def test_nothing_wanted_orders_nothing(wanted: object) -> None:
    assert _cover(wanted, _pack("A", 1, 1)) == {}


def test_nothing_sold_orders_nothing() -> None:
    assert _cover(5) == {}


def test_a_hair_over_a_pack_is_no_second_pack_and_a_thousandth_is() -> None:
    assert _cover("100.0000000001", _pack("A", 100, 1)) == {"A": 1}
    assert _cover("100.001", _pack("A", 100, 1)) == {"A": 2}


def test_a_million_packs_are_counted_without_waiting() -> None:
    """29,999,997 ÷ 30 is just under a million of the cheaper pack; the odd 7 mL pack is dear."""
    assert _cover(29_999_997, _pack("A", 30, 1), _pack("B", 7, 1)) == {"A": 1_000_000}


def test_of_packs_at_one_unit_price_the_large_ones_make_up_the_bulk() -> None:
    packs = (_pack("A", 1, 1), _pack("B", 10, 10), _pack("C", 3, 4))
    assert _cover(1_000_000, *packs) == {"B": 100_000}


def test_of_packs_at_one_price_the_one_of_least_unit_price_makes_up_the_bulk() -> None:
    assert _cover(1_000_000, _pack("A", 4, 5), _pack("B", 5, 5), _pack("C", 3, 4)) == {"B": 200_000}


def test_the_bulk_leaves_room_for_all_other_packs_that_a_best_cover_may_hold() -> None:
    """Two of 7 g fill what 3 g packs cannot: 1,005 of these cost 3,015 and not 3,014.20."""
    packs = (_pack("A", 3, 3), _pack("B", 7, "7.10"))
    assert _cover(3 * 1000 + 2 * 7, *packs) == {"A": 1000, "B": 2}


def test_free_packs_cover_for_nothing() -> None:
    assert _cover(25, _pack("A", 10, 0), _pack("B", 25, 1)) == {"A": 3}


def test_short_and_restock_are_covered_together_one_row_a_pack() -> None:
    rows = orders_for(
        _short(20, "02-02", restock=15), [_pack("A", 10, 1)], day("01-25"), MON_TO_FRI
    )
    assert [figures(row.packs, row.cost) for row in rows] == [(4, 4)]


def test_it_is_needed_by_the_first_day_of_need_and_ordered_the_lead_before() -> None:
    shortage = _short(20, "02-03", "02-02")
    (row,) = orders_for(shortage, [_pack("A", 50, 1, "3")], day("01-25"), MON_TO_FRI)
    assert (row.needed_by, row.order_by, row.is_late) == (day("02-01"), day("01-27"), False)
    assert row.stops == ()


def test_a_restock_alone_has_no_day() -> None:
    (row,) = orders_for(_short(0, restock=5), [_pack("A", 50, 1, "9")], day("01-25"), MON_TO_FRI)
    assert (row.needed_by, row.order_by, row.is_late) == (None, None, False)


def test_a_cheaper_pack_that_comes_too_late_is_not_chosen_where_another_is_in_time() -> None:
    packs = [_pack("CHEAP", 100, 1, "5"), _pack("DEAR", 10, 9, "4")]
    rows = orders_for(_short(20, "02-01"), packs, day("01-25"), MON_TO_FRI)
    assert [(row.offer.pack.pack, row.packs, row.is_late) for row in rows] == [("DEAR", 2, False)]


def test_where_none_is_in_time_the_cheapest_is_late_and_names_what_it_stops() -> None:
    """On Monday the 25th the faster one arrives on the 2nd: after need for the 2nd, not the 3rd."""
    packs = [_pack("CHEAP", 100, 1, "7"), _pack("FAST", 10, 9, "6")]
    shortage = _short(20, "02-02", "02-03")
    rows = orders_for(shortage, packs, day("01-25"), MON_TO_FRI)
    assert [(row.offer.pack.pack, row.is_late) for row in rows] == [("CHEAP", True)]
    assert [work.session.session for work in rows[0].stops] == ["02-02"]
    assert rows[0].arrives == day("02-03")


def test_sessions_before_the_period_are_not_named_as_stopped() -> None:
    before = work("before", "2027-02-01", is_promised=True)
    shortage = Shortage("it", (Served(demand(1, before), (), number(1)),), number(0))
    assert stopped_sessions(shortage, [_pack("A", 1, 1, "20")], day("01-25"), MON_TO_FRI) == ()


def test_the_earliest_arrival_is_that_of_the_fastest_pack() -> None:
    packs = [_pack("A", 1, 1, "4"), _pack("B", 1, 1, "2")]
    assert earliest_arrival(packs, day("01-28"), MON_TO_FRI) == day("02-01")
    assert earliest_arrival([], day("01-28"), MON_TO_FRI) is None


def test_suppliers_may_be_mixed_and_late_rows_come_first() -> None:
    plan = plan_of(
        items="item,kind,unit\nsalt,reagent,g\nsugar,reagent,g",
        practical_lines="practical,item,amount,per\nP,salt,35 g,session\nP,sugar,1 g,session",
        timetable="session,practical,date,students\nS,P,2027-02-02,1",
        suppliers="supplier,lead_days\nNear,1\nFar,2\nSlow,30",
        packs="""
            pack,   item,  supplier, size, price
            N-10,   salt,  Near,     10 g, 2
            F-30,   salt,  Far,      30 g, 3
            SLOW-1, sugar, Slow,     1 g,  1""",
    )
    rows = [(row.offer.pack.pack, row.packs, row.is_late) for row in plan.orders]
    assert rows == [("SLOW-1", 1, True), ("F-30", 1, False), ("N-10", 1, False)]
    assert session_of(plan).state == "late"
