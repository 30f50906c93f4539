from prepstore.planning.ahead.balances import ItemAhead
from tests.builders import day, figures
from tests.planning.ahead.terms import ahead, tables_of


def acetone(**given: str) -> ItemAhead:
    return ahead(tables=tables_of(**given)).items[0]


def test_a_balance_goes_down_by_use_and_below_nothing_where_need_is_unserved() -> None:
    item = acetone()
    assert figures(item.opening, [week.balance for week in item.weeks]) == (1000, [0, -1000, -2000])
    assert [week.use for week in item.weeks] == [1000, 1000, 1000]


def test_the_first_week_that_is_not_covered_says_by_when_to_order() -> None:
    """Needed on Tuesday the 9th, two working days earlier is Friday the 5th."""
    item = acetone()
    assert figures(item.first_short, item.order_by) == (1, day("02-05"))
    covered = acetone(stock="3 L")
    assert figures(covered.first_short, covered.order_by) == (None, None)


def test_spare_counts_as_need() -> None:
    item = acetone(stock="3 L", spare="20 %")
    assert figures(item.first_short, item.weeks[2].balance) == (2, -600)


def test_a_day_to_order_may_be_past() -> None:
    item = acetone(stock="0 mL")
    assert figures(item.first_short, item.order_by) == (0, day("01-29"))


def test_what_is_on_order_comes_in_the_week_in_which_it_is_due() -> None:
    item = acetone(due="\nN1,1,2027-02-08")
    assert [week.arrives for week in item.weeks] == [0, 1000, 0]
    assert [week.balance for week in item.weeks] == [0, 0, -1000]
    assert item.first_short == 2


def test_what_is_overdue_does_not_come() -> None:
    assert [week.arrives for week in acetone(due="\nN1,1,2027-01-29").weeks] == [0, 0, 0]
    this_week = ahead(today="2027-02-02", tables=tables_of(due="\nN1,1,2027-02-01")).items[0]
    assert [week.arrives for week in this_week.weeks] == [0, 0, 0]


def test_a_lot_goes_out_of_date_in_the_week_of_the_day_after_its_last() -> None:
    """Sunday the 7th is the last day of the week, so that it is gone on Monday."""
    item = acetone(stock="5 L", expiry="2027-02-07")
    assert [week.expires for week in item.weeks] == [0, 4000, 0]
    assert [week.balance for week in item.weeks] == [4000, -1000, -2000]
    early = acetone(stock="5 L", expiry="2027-02-06")
    assert [week.expires for week in early.weeks] == [4000, 0, 0]


def test_what_is_out_of_date_before_the_weeks_begin_is_not_there() -> None:
    item = acetone(stock="5 L", expiry="2027-01-31")
    assert figures(item.opening, [week.expires for week in item.weeks]) == (0, [0, 0, 0])


def test_apparatus_has_no_balance_and_each_item_has_one() -> None:
    assert [item.name for item in ahead().items] == ["acetone", "salt"]
