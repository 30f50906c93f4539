from decimal import Decimal

from prepstore.planning.ahead.keeping_by_day import Arrived, cost_of_keeping
from tests.builders import day

ENDS = (day("02-07"), day("02-14"), day("02-21"))


def came(on: str, amount: int, price: int, last: str | None = None, code: str = "A") -> Arrived:
    return Arrived(day(on), code, Decimal(amount), Decimal(price), day(last) if last else None)


def test_what_is_there_at_the_end_of_a_week_costs_its_price() -> None:
    """By hand: 3 at 2 at the first end, 1 at 2 at the second, nothing at the third."""
    used = [(day("02-10"), Decimal(2)), (day("02-15"), Decimal(1))]
    assert cost_of_keeping([came("02-03", 3, 2)], used, ENDS) == 6 + 2


def test_what_came_first_is_used_first_on_one_day_by_code() -> None:
    """By hand: one unit of the first is used in the first week, so the dear one stays."""
    both = [came("02-03", 1, 9, code="B"), came("02-03", 1, 1, code="A")]
    assert cost_of_keeping(both, [(day("02-04"), Decimal(1))], ENDS) == 3 * 9


def test_what_is_out_of_date_costs_nothing_from_that_week_on() -> None:
    assert cost_of_keeping([came("02-03", 1, 5, last="02-14")], [], ENDS) == 10
    assert cost_of_keeping([came("02-03", 1, 5, last="02-13")], [], ENDS) == 5
