from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Kind, in_billionths, of_billionths
from prepstore.movements import Booking, Movement, What

_AMOUNTS = st.decimals(min_value=0, max_value=Decimal("1e9"), places=9)


@given(_AMOUNTS)
def test_an_amount_of_nine_places_is_the_same_in_billionths(number: Decimal) -> None:
    assert of_billionths(in_billionths(number)) == number


@given(st.lists(_AMOUNTS, max_size=30))
def test_billionths_add_up_as_the_amounts_do(numbers: list[Decimal]) -> None:
    assert sum(map(in_billionths, numbers)) == in_billionths(sum(numbers, Decimal(0)))


def test_ten_tenths_of_a_litre_less_a_litre_leave_nothing() -> None:
    tenth = in_billionths(Decimal("0.1") * 1000)
    assert sum([tenth] * 10) - in_billionths(Decimal(1000)) == 0


def test_a_movement_knows_its_change_in_the_unit() -> None:
    movement = Movement(lot="L1", what=What.USED, billionths=-1_500_000_000, unit=Kind.MASS)
    assert movement.number == Decimal("-1.5")


def test_a_booking_knows_the_lots_it_touches() -> None:
    movements = [Movement(lot=lot, what=What.USED, unit=Kind.MASS) for lot in ("L1", "l1", "L2")]
    assert Booking(movements=tuple(movements)).lots == {"l1", "l2"}
