from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import (
    RESOLUTION,
    Amount,
    Kind,
    is_more_than_nothing,
    plain,
    round_up,
    settle,
    times_into,
    times_reached,
)
from tests.every_case import every_case

NUMBERS = st.decimals(0, 10**12, places=9)
SIZES = st.decimals("0.001", 10**6, places=3)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        ("1.50", "1.5"),
        ("2E+3", "2000"),
        ("1E-9", "0.000000001"),
        ("100", "100"),
        ("0.0", "0"),
        ("-0.0", "0"),
        ("-1.50", "-1.5"),
    ],
)
def test_a_number_is_shown_plainly(number: str, text: str) -> None:
    assert plain(Decimal(number)) == text


@given(NUMBERS)
def test_a_plain_number_reads_back_as_it_was(number: Decimal) -> None:
    assert Decimal(plain(number)) == number
    assert "E" not in plain(number)


def test_an_amount_is_shown_with_its_unit() -> None:
    assert str(Amount(Decimal("0.250"), Kind.SUBSTANCE)) == "0.25 mol"


@every_case("parts", range(1, 60))
def test_a_share_added_up_again_is_the_whole(parts: int) -> None:
    assert settle(sum([Decimal(1) / parts] * parts, Decimal(0))) == 1


@pytest.mark.parametrize(
    ("number", "whole"), [("0", 0), ("1", 1), ("1.0000000001", 1), ("1.000000001", 2), ("0.5", 1)]
)
def test_rounding_up_settles_first(number: str, whole: int) -> None:
    assert round_up(Decimal(number)) == whole


@given(NUMBERS)
def test_rounding_up_adds_less_than_one(number: Decimal) -> None:
    assert 0 <= round_up(number) - number < 1


@given(NUMBERS, SIZES)
def test_so_many_sizes_hold_a_figure_and_one_less_does_not(number: Decimal, size: Decimal) -> None:
    count = times_into(number, size)
    assert (count - 1) * size < number <= count * size or number == count == 0
    assert 0 <= count - times_reached(number, size) <= 1


@given(st.decimals(-1, 1, places=12))
def test_more_than_nothing_is_more_than_half_the_resolution(number: Decimal) -> None:
    assert is_more_than_nothing(number) == (number > RESOLUTION / 2)


def test_a_figure_larger_than_any_store_is_settled_all_the_same() -> None:
    assert settle(Decimal("123456789012345678901234567.1234567891")) == Decimal(
        "123456789012345678901234567.123456789"
    )
