from decimal import Decimal
from fractions import Fraction

import pytest

from prepstore.amounts import Kind
from prepstore.report.costs import (
    cost_cells,
    cost_in_words,
    known_in_words,
    money,
    money_cell,
    no_price_lines,
    price_cell,
    price_in_words,
)
from prepstore.shelf.prices import MADE_ON_SITE, Cost, estimated, not_known, paid

PAID, ESTIMATED, DYE = paid(Fraction(3)), estimated(Fraction(1)), not_known("dye")


@pytest.mark.parametrize(
    ("cost", "words"),
    [
        (PAID, "paid"),
        (ESTIMATED, "estimated"),
        (DYE, "not known"),
        (MADE_ON_SITE, "made on site"),
        (PAID + MADE_ON_SITE, "paid"),
        (PAID + ESTIMATED, "paid 75 %, estimated 25 %"),
        (PAID + DYE, "paid, some not known"),
        (PAID + ESTIMATED + DYE, "paid 75 %, estimated 25 %, some not known"),
        (PAID.times(Fraction(1000)) + ESTIMATED, "paid 99 %, estimated 1 %"),
        (PAID + ESTIMATED.times(Fraction(1000)), "paid 1 %, estimated 99 %"),
        (PAID.times(Fraction(0)) + ESTIMATED.times(Fraction(0)), "estimated"),
        (Cost(), "paid"),
    ],
)
def test_money_says_how_it_is_known(cost: Cost, words: str) -> None:
    assert known_in_words(cost) == words


def test_what_is_not_known_is_blank_and_never_nothing() -> None:
    assert (money(DYE), money_cell(DYE), cost_in_words(DYE, "EUR")) == (None, None, "")
    assert (price_cell(DYE), price_in_words(DYE, Kind.MASS, "EUR")) == (None, "")
    assert cost_in_words(PAID + DYE, "EUR") == "3.00 EUR"


def test_money_is_a_number_for_other_programs() -> None:
    assert money(PAID + ESTIMATED) == Decimal(4)
    assert cost_cells(PAID + ESTIMATED + DYE) == {
        "paid": 3,
        "estimated": 1,
        "known": "paid 75 %, estimated 25 %, some not known",
        "no_price": ["dye"],
    }


@pytest.mark.parametrize(
    ("unit", "words"),
    [(Kind.VOLUME, "3.33 EUR/L"), (Kind.MASS, "3.33 EUR/kg"), (Kind.COUNT, "0.00 EUR/each")],
)
def test_prices_are_of_a_kilogram_a_litre_or_a_piece(unit: Kind, words: str) -> None:
    price = paid(Fraction(1, 300))
    assert price_in_words(price, unit, "EUR") == words
    assert price_cell(price) == 0.003333333


def test_what_has_no_price_is_named_once() -> None:
    assert list(no_price_lines({"dye", "alum"})) == [
        "Not counted, since no price is recorded and no pack is sold: alum, dye."
    ]
    assert list(no_price_lines(())) == []
