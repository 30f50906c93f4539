from dataclasses import replace
from decimal import Decimal

from prepstore.amounts import Kind
from prepstore.planning.ordering.limits import limits_for, room_on
from prepstore.planning.ordering.stands import Most, Stand
from tests.builders import day, figures
from tests.planning.ordering.test_stands import stand

TWO_DAYS = (day("02-02"), day("02-04"))


def of_acetone(amount: object) -> Stand:
    most = Most("acetone", Kind.VOLUME, Decimal(str(amount)), {"acetone": Decimal(1)})
    return replace(stand(), limits=(most,))


def test_each_day_on_which_something_may_come_is_a_limit_of_all_that_is_ordered() -> None:
    sizes = [Decimal(500), Decimal(1000), Decimal(7)]
    names = ["acetone", "acetone", "salt"]
    first, second = limits_for(names, sizes, [*TWO_DAYS, TWO_DAYS[0]], of_acetone(8000))
    assert first.holds == second.holds == {0: 500, 1: 1000}
    assert figures(first.when, first.room, first.day) == ((0,), 500, TWO_DAYS[0])
    assert figures(second.when, second.room, second.day) == ((1,), 1600, TWO_DAYS[1])


def test_where_too_much_is_there_already_there_is_no_room() -> None:
    limited = of_acetone(7000)
    assert room_on(limited.limits[0], TWO_DAYS[0], limited) == -500
    (limit,) = limits_for(["acetone"], [Decimal(500)], [TWO_DAYS[0]], limited)
    assert limit.room == 0
