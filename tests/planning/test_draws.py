"""Rules 8 and 13: lots first to expire first, then deliveries, then what is made on site."""

from collections.abc import Iterable
from dataclasses import replace

from prepstore.planning.demands import Demand, SessionWork
from prepstore.planning.draws import (
    Served,
    Supplies,
    drawn_from_deliveries,
    drawn_from_lots,
    serve,
)
from prepstore.stores import Delivery, Holding, earliest_end
from tests.builders import day, delivery, demand, figures, lot, material, number, work

MONDAY, TUESDAY = work("mon", "2027-02-01"), work("tue", "2027-02-02")


def _shelf(label: str, amount: object, **cells: str) -> Holding:
    held = lot(label, **cells)
    return Holding(held, material(), number(amount), earliest_end(held.expiry, held.opened, 10))


def _due(date: str, amount: object, pack: str = "A") -> Delivery:
    return delivery(date, amount, pack)


def _serve(wanted: Iterable[tuple[object, SessionWork]], *supplies: object) -> list[Served]:
    lots = tuple(one for one in supplies if isinstance(one, Holding))
    deliveries = tuple(one for one in supplies if isinstance(one, Delivery))
    return serve((demand(amount, by) for amount, by in wanted), Supplies(lots, deliveries))


def test_the_last_day_of_use_is_included() -> None:
    ends_monday = _shelf("L", 5, expiry="2027-02-01")
    on_time, too_late = _serve([(2, MONDAY), (2, TUESDAY)], ends_monday)
    assert figures(on_time.unserved, too_late.unserved) == (0, 2)


def test_lots_go_first_to_expire_first_then_opened_then_by_label_and_those_that_keep_last() -> None:
    shelf = [
        _shelf("keeps", 1),
        _shelf("b sealed", 1, expiry="2027-02-20"),
        _shelf("a sealed", 1, expiry="2027-02-20"),
        _shelf("z opened", 1, opened="2027-02-10", expiry="2027-02-20"),
        _shelf("soon", 1, expiry="2027-02-09"),
    ]
    (one,) = _serve([(5, MONDAY)], *shelf)
    order = [draw.lot.lot for draw in one.draws if draw.lot]
    assert order == ["soon", "z opened", "a sealed", "b sealed", "keeps"]


def test_a_lot_is_finished_before_the_next_is_begun() -> None:
    first, second = _serve([(3, MONDAY), (3, TUESDAY)], _shelf("a", 4), _shelf("b", 4))
    assert drawn_from_lots([first]) == {"a": 3}
    assert drawn_from_lots([second]) == {"a": 1, "b": 2}


def test_what_is_promised_is_served_first_even_where_it_is_used_later() -> None:
    promised = work("promised", "2027-02-03", is_promised=True)
    first, second = _serve([(4, MONDAY), (4, promised)], _shelf("a", 5))
    assert figures(first.demand.wanted_by, first.unserved) == ("promised", 0)
    assert figures(second.demand.wanted_by, second.unserved) == ("mon", 3)


def test_a_lot_out_of_date_for_what_is_promised_may_be_in_date_for_the_period() -> None:
    promised = work("promised", "2027-02-03", is_promised=True)
    served = _serve([(1, promised), (1, MONDAY)], _shelf("a", 5, expiry="2027-02-01"))
    assert [one.unserved for one in served] == [1, 0]


def test_sessions_of_one_day_are_served_by_start_then_name() -> None:
    late, early, also = (
        work(name, "2027-02-01", start=start)
        for name, start in (("a", "14:00"), ("b", "09:00"), ("c", "09:00"))
    )
    order = [one.demand.wanted_by for one in _serve([(1, late), (1, also), (1, early)])]
    assert order == ["b", "c", "a"]


def test_lots_go_before_deliveries_and_those_by_the_day_they_are_due() -> None:
    deliveries = (_due("01-29", 5, "B"), _due("01-28", 1), _due("01-29", 1, "A"))
    (one,) = _serve([(5, MONDAY)], _shelf("a", 2), *deliveries)
    assert drawn_from_lots([one]) == {"a": 2}
    assert [figures(d.pack, amount) for d, amount in drawn_from_deliveries([one]).items()] == [
        ("A", 1), ("A", 1), ("B", 1),
    ]  # fmt: skip


def test_a_delivery_counts_on_the_day_of_need_and_not_after_it() -> None:
    """Monday's session has its things in hand on Friday the 29th."""
    for due, unserved in (("01-29", 0), ("01-30", 2)):
        (one,) = _serve([(2, MONDAY)], _due(due, 2))
        assert one.unserved == unserved


def test_made_on_site_is_up_to_the_capacity_of_each_day_of_use_after_lots() -> None:
    supplies = Supplies(lots=(_shelf("a", 1),), daily_capacity=number(5))
    wanted = [
        demand(3, MONDAY),
        demand(4, work("mon pm", "2027-02-01", start="14:00")),
        demand(6, TUESDAY),
    ]
    assert [one.unserved for one in serve(wanted, supplies)] == [0, 1, 1]


def test_made_on_site_without_a_capacity_has_no_limit() -> None:
    supplies = Supplies(daily_capacity=number("Infinity"))
    assert [one.unserved for one in serve([demand(10**9, MONDAY)], supplies)] == [0]


def test_a_hair_is_not_short() -> None:
    third = number(1) / 3
    (one,) = serve(
        [demand(third * 3, MONDAY)], Supplies(lots=(_shelf("a", third + third + third),))
    )
    assert one.unserved == 0
    (one,) = _serve([("1.0000000004", MONDAY)], _shelf("a", 1))
    assert one.unserved == 0
    (one,) = _serve([("1.000000001", MONDAY)], _shelf("a", 1))
    assert one.unserved == number("1e-9")


def _one_lot(amount: object, by: SessionWork) -> Demand:
    return replace(demand(amount, by), is_one_lot=True)


def test_one_lot_takes_the_first_lot_that_still_holds_all_of_it() -> None:
    shelf = (_shelf("a", 3), _shelf("b", 5), _shelf("c", 9))
    first, second = serve([_one_lot(4, MONDAY), _one_lot(4, TUESDAY)], Supplies(shelf))
    assert drawn_from_lots([first]) == {"b": 4}
    assert drawn_from_lots([second]) == {"c": 4}


def test_where_no_lot_holds_all_of_it_an_item_is_served_as_usual() -> None:
    (one,) = serve([_one_lot(6, MONDAY)], Supplies((_shelf("a", 3), _shelf("b", 5))))
    assert figures(drawn_from_lots([one]), one.unserved) == ({"a": 3, "b": 3}, 0)


def test_where_no_lot_holds_all_of_it_all_of_a_solution_is_made() -> None:
    shelf = (_shelf("a", 3), _shelf("b", 5))
    (one,) = serve([_one_lot(6, MONDAY)], Supplies(shelf, is_made=True))
    assert figures(one.draws, one.unserved) == ((), 6)


def test_one_lot_may_hold_just_as_much() -> None:
    (one,) = serve([_one_lot(5, MONDAY)], Supplies((_shelf("a", 5),), is_made=True))
    assert one.unserved == 0


def test_what_does_not_keep_is_taken_from_a_delivery_until_its_last_day() -> None:
    due = replace(_due("2027-01-29", 9), last_day=day("02-01"))
    on_time, too_late = _serve([(2, MONDAY), (2, TUESDAY)], due)
    assert figures(on_time.unserved, too_late.unserved) == (0, 2)


def test_what_is_unserved_is_spare_as_far_as_there_is_any() -> None:
    some = replace(demand(12, MONDAY), spare=number(2))
    by_two, by_three = Served(some, (), number(2)), Served(some, (), number(3))
    assert figures(by_two.of_spare, by_three.of_spare) == (2, 2)
    assert (by_two.is_short, by_three.is_short) == (False, True)


def test_from_a_lot_in_which_a_hair_is_left_nothing_is_taken() -> None:
    [served] = _serve([(2, MONDAY)], _shelf("L", "0.00000000003"))
    assert figures(served.draws, served.unserved) == ((), 2)


def test_of_two_deliveries_of_a_pack_on_a_day_the_order_of_rows_does_not_decide() -> None:
    first, second = (delivery("01-25", 5, reference=name) for name in ("PO 1", "PO 2"))
    for supplies in ((first, second), (second, first)):
        [served] = _serve([(3, MONDAY)], *supplies)
        assert [draw.delivery for draw in served.draws] == [first]
