"""What goes into each line comes out again."""

from decimal import Decimal

import pytest

from prepstore.planning.balances import Account, Balance, balances_of
from tests.builders import number
from tests.planning.a_wash import a_wash


def _balances(*lines: str) -> dict[str, Balance]:
    (work,) = a_wash(*lines).works
    return {one.name: one for one in balances_of(work.scale)}


def _out(account: Account) -> dict[str, Decimal]:
    return {place: amount for place, amount in account.out.items() if amount}


def test_what_comes_out_of_a_line_adds_up_to_what_went_in() -> None:
    balance = _balances()["ethyl acetate"]
    assert balance.expected.goes_in == 100
    assert _out(balance.expected) == {
        "streams": number("85.4"), "air": 10, "held_back": number("4.6"),
    }  # fmt: skip
    assert balance.allow_for.goes_in == 120
    assert _out(balance.allow_for) == {
        "streams": number("102.7"), "air": 12, "held_back": number("5.3"),
    }  # fmt: skip


def test_solutions_stand_as_themselves_and_what_is_left_over_is_no_line_s() -> None:
    assert _out(_balances()["brine"].expected) == {"streams": 60}


def test_kept_air_and_drain_are_apart_and_not_assigned_is_a_stream() -> None:
    found = _balances("water, 10 mL, kept 50 %; air 30 %; drain 20 %,", "salt, 3 g, ,")
    assert _out(found["water"].expected) == {"kept": 10, "air": 6, "drain": 4}
    assert _out(found["salt"].expected) == {"streams": 6}


def test_what_is_not_followed_has_no_balance() -> None:
    assert list(_balances("glove, 1 each, ,", "filter paper, 1 each, solid,")) == ["filter paper"]


@pytest.mark.parametrize("amount", ["0.0000000003 mL", "1.1111111111 mL", "3 mL", "0 mL"])
def test_a_balance_closes_to_the_last_digit(amount: str) -> None:
    """Thirds of such amounts do not add up once each is rounded."""
    shares = "kept 33.3 %; air 33.3 %; drain 16.7 %; solvent 16.7 %"
    for account in (
        account
        for one in _balances(f"water, {amount}, {shares},").values()
        for account in (one.expected, one.allow_for)
    ):
        assert sum(account.out.values()) == account.goes_in
        assert all(amount >= 0 for amount in account.out.values())
