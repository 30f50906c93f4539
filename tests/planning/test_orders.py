"""Rule 10: whole packs at least cost, by when to order them, and what they stop when late."""

from dataclasses import replace

import pytest

from prepstore.facts import Pack, Supplier
from prepstore.planning.days import Days
from prepstore.planning.draws import Served
from prepstore.planning.orders import (
    Offer,
    Shortage,
    cheapest_cover,
    orders_for,
    stopped_sessions,
)
from prepstore.planning.states import State
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

_DAYS = Days(day("01-25"), MON_TO_FRI, 1)


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
    rows = orders_for(_short(20, "02-02", restock=15), [_pack("A", 10, 1)], _DAYS)
    assert [figures(row.packs, row.cost) for row in rows] == [(4, 4)]


def test_it_is_needed_by_the_first_day_of_need_and_ordered_the_lead_before() -> None:
    shortage = _short(20, "02-03", "02-02")
    (row,) = orders_for(shortage, [_pack("A", 50, 1, "3")], _DAYS)
    assert (row.needed_by, row.order_by, row.is_late) == (day("02-01"), day("01-27"), False)
    assert row.stops == ()


def test_a_restock_alone_has_no_day() -> None:
    (row,) = orders_for(_short(0, restock=5), [_pack("A", 50, 1, "9")], _DAYS)
    assert (row.needed_by, row.order_by, row.is_late) == (None, None, False)


def test_a_cheaper_pack_that_comes_too_late_is_not_chosen_where_another_is_in_time() -> None:
    packs = [_pack("CHEAP", 100, 1, "5"), _pack("DEAR", 10, 9, "4")]
    rows = orders_for(_short(20, "02-01"), packs, _DAYS)
    assert [(row.offer.pack.pack, row.packs, row.is_late) for row in rows] == [("DEAR", 2, False)]


def test_where_none_is_in_time_it_is_late_and_names_what_it_stops() -> None:
    """Ordered on Monday the 25th the faster one comes on the 2nd: after need for the 2nd, 02-01.

    It is in time for the 3rd, whose day of need is the 2nd; the cheaper one, which comes on the
    3rd, would keep that session waiting as well.
    """
    packs = [_pack("CHEAP", 100, 1, "7"), _pack("FAST", 10, 9, "6")]
    rows = orders_for(_short(20, "02-02", "02-03"), packs, _DAYS)
    assert [(row.offer.code, row.packs, row.is_late) for row in rows] == [("FAST", 4, True)]
    assert [work.session.session for work in rows[0].stops] == ["02-02"]
    assert rows[0].arrives == day("02-02")


def test_where_a_later_day_of_need_can_be_met_the_cheapest_in_time_for_that_is_chosen() -> None:
    """For the 5th (needed on the 4th) both come in time, so that the cheaper one is taken."""
    packs = [_pack("CHEAP", 100, 1, "7"), _pack("FAST", 10, 9, "6")]
    (row,) = orders_for(_short(20, "02-02", "02-05"), packs, _DAYS)
    assert (row.offer.code, row.is_late, row.needed_by) == ("CHEAP", True, day("02-01"))


def test_where_no_day_of_need_can_be_met_what_comes_first_is_ordered() -> None:
    packs = [_pack("CHEAP", 100, 1, "8"), _pack("FAST", 10, 9, "7")]
    (row,) = orders_for(_short(20, "02-02", "02-03"), packs, _DAYS)
    assert (row.offer.code, row.packs) == ("FAST", 4)
    assert [work.session.session for work in row.stops] == ["02-02", "02-03"]


def test_sessions_before_the_period_are_not_named_as_stopped() -> None:
    before = work("before", "2027-02-01", is_promised=True)
    unserved = [Served(demand(1, before), (), number(1))]
    assert stopped_sessions(unserved, day("02-20")) == ()


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


def _fresh(shelf_life: int, *dates: str, restock: object = 0) -> Shortage:
    """Each of these days needs 10, the working day before or as late as it keeps."""
    served = []
    for date in dates:
        by = work(date, f"2027-{date}")
        need = _DAYS.fresh_enough(by.day_of_need, by.session.date, shelf_life)
        served.append(Served(replace(demand(10, by), day_of_need=need), (), number(10)))
    return Shortage("it", tuple(served), number(restock), shelf_life)


@pytest.mark.parametrize(
    ("shelf_life", "groups"),
    [
        (30, [["02-02", "02-03", "02-08"]]),
        (6, [["02-02", "02-03"], ["02-08"]]),  # needed on the 1st: keeps until the 7th
        (7, [["02-02", "02-03", "02-08"]]),
        (1, [["02-02"], ["02-03"], ["02-08"]]),
        (2, [["02-02", "02-03"], ["02-08"]]),
    ],
)
def test_what_does_not_keep_comes_in_deliveries_of_what_keeps_until_its_last_use(
    shelf_life: int, groups: list[list[str]]
) -> None:
    deliveries = _fresh(shelf_life, "02-02", "02-03", "02-08").deliveries()
    found = [[one.demand.wanted_by for one in wanted.unserved] for wanted in deliveries]
    assert found == groups


def test_a_need_that_is_needed_sooner_joins_only_if_all_would_keep_from_then() -> None:
    """The second is needed on 01-29, before the first: from then on 3 days reach to 02-01."""
    first, second = _fresh(3, "02-02", "02-02").unserved
    sooner = replace(second, demand=replace(second.demand, day_of_need=day("01-29")))
    assert len(Shortage("it", (first, sooner), number(0), 3).deliveries()) == 2
    assert len(Shortage("it", (first, sooner), number(0), 4).deliveries()) == 1


def test_each_delivery_is_covered_by_itself_with_its_own_days() -> None:
    rows = orders_for(_fresh(1, "02-02", "02-04"), [_pack("A", 15, 1, "2")], _DAYS)
    assert [(row.packs, row.needed_by, row.order_by) for row in rows] == [
        (1, day("02-01"), day("01-28")),
        (1, day("02-03"), day("02-01")),
    ]


def test_a_restock_joins_the_last_delivery_or_stands_alone() -> None:
    first, last = _fresh(1, "02-02", "02-04", restock=7).deliveries()
    assert figures(first.amount, first.restock, last.amount, last.restock) == (10, 0, 17, 7)
    (alone,) = _fresh(1, restock=7).deliveries()
    assert figures(alone.amount, alone.needed_by) == (7, None)


def test_what_would_not_keep_is_not_to_be_ordered_before_a_day() -> None:
    """Used on the 4th, it keeps 1 day: it may come on the 3rd and is sent 2 days before, the 1st.

    Sent on Monday the 25th it would come on the 27th.
    """
    (row,) = orders_for(_fresh(1, "02-04"), [_pack("A", 15, 1, "2")], _DAYS)
    assert row.not_before == day("02-01")
    (keeps,) = orders_for(_fresh(8, "02-04"), [_pack("A", 15, 1, "2")], _DAYS)
    assert keeps.not_before is None


def _partly_spare(unserved: object, restock: object = 0) -> Shortage:
    wanted = replace(demand(12, work("02-02", "2027-02-02")), spare=number(2))
    return Shortage("it", (Served(wanted, (), number(unserved)),), number(restock))


@pytest.mark.parametrize(
    ("unserved", "restock", "for_spare"), [(2, 0, True), (3, 0, False), (2, 1, False), (1, 0, True)]
)
def test_an_order_is_for_spare_where_nothing_else_is_short(
    unserved: int,
    restock: int,
    for_spare: bool,  # noqa: FBT001
) -> None:
    (row,) = orders_for(_partly_spare(unserved, restock), [_pack("A", 15, 1)], _DAYS)
    assert row.is_for_spare is for_spare


def test_a_session_that_lacks_only_spare_is_not_stopped() -> None:
    (row,) = orders_for(_partly_spare(2), [_pack("A", 15, 1, "20")], _DAYS)
    assert (row.is_late, row.stops) == (True, ())
    (row,) = orders_for(_partly_spare(3), [_pack("A", 15, 1, "20")], _DAYS)
    assert [work.session.session for work in row.stops] == ["02-02"]


def test_over_a_closed_day_what_does_not_keep_is_sent_in_time_for_the_first_use() -> None:
    """Wednesday is closed: what comes on Tuesday keeps until Wednesday, and not until Thursday."""
    plan = plan_of(
        today="2027-01-25",
        items="item,kind,unit,shelf_life\nether,solvent,mL,1",
        practical_lines="practical,item,amount,per,spare\nP,ether,50 mL,session,0 %",
        timetable="session,practical,date,students\nS,P,2027-02-03,1\nT,P,2027-02-04,1",
        suppliers="supplier,lead_days\nShop,1",
        packs="pack,item,supplier,size,price\nA,ether,Shop,50 mL,5",
        settings="setting,value\nprep_lead,0\nholidays,2027-02-03",
    )
    (row,) = plan.orders
    assert (row.packs, row.needed_by, row.order_by) == (2, day("02-03"), day("02-01"))
    assert row.not_before == day("02-01")


def test_what_keeps_no_day_and_is_used_on_a_closed_day_stands_at_order_with_a_warning() -> None:
    """It can come on Friday at the latest, and is used on Saturday: a choice of ours."""
    plan = plan_of(
        today="2027-01-25",
        items="item,kind,unit,shelf_life\nether,solvent,mL,0",
        practical_lines="practical,item,amount,per,spare\nP,ether,50 mL,session,0 %",
        timetable="session,practical,date,students\nS,P,2027-02-06,1",
        suppliers="supplier,lead_days\nShop,1",
        packs="pack,item,supplier,size,price\nA,ether,Shop,50 mL,5",
    )
    (row,), (session,) = plan.orders, plan.sessions
    assert (row.is_late, row.needed_by, row.order_by) == (False, day("02-06"), day("02-04"))
    assert session.state is State.ORDER
    assert [(one.code, one.about) for one in plan.warnings if one.code == "never-fresh"] == [
        ("never-fresh", "ether")
    ]
