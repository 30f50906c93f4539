from decimal import Decimal

import pytest

from prepstore.problems import RefusedError
from prepstore.shelf.asked import in_digits, of_number, quantity
from prepstore.tables.units import read_amount
from tests.builders import material


@pytest.mark.parametrize(
    ("text", "number"), [("250 mL", "250"), ("0.25 L", "250"), ("3 x 15 mL", "45")]
)
def test_an_amount_is_turned_into_the_unit_and_keeps_its_words(text: str, number: str) -> None:
    asked = quantity(material("acetone", unit="mL"), read_amount(text))
    assert asked.number == Decimal(number)
    assert asked.billionths == int(number) * 10**9
    assert asked.written == text


def test_an_amount_of_substance_is_settled_to_a_billionth() -> None:
    asked = quantity(material("salt", formula="NaCl"), read_amount("1 mmol"))
    assert asked.number == asked.number.quantize(Decimal("1e-9"))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("2 mL", "cannot be converted to g: it has no density"),
        ("0 g", "is too small. Give an amount above 0"),
        ("999999 kg + 2000 kg", "more than any store holds"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(RefusedError, match=says):
        quantity(material("it"), read_amount(text))


def test_nothing_is_an_amount_where_it_may_be() -> None:
    assert quantity(material("it"), read_amount("0 g"), may_be_nothing=True).number == 0


def test_a_worked_out_figure_was_not_typed() -> None:
    assert of_number(Decimal(1) / 3).written == ""
    assert of_number(Decimal(1) / 3).billionths == 333_333_333


def test_a_row_says_an_amount_in_digits() -> None:
    assert in_digits(Decimal("1150.50"), material("acetone", unit="mL")) == "1150.5 mL"


@pytest.mark.parametrize("text", ["0.5 each", "2 each + 0.25 each", "1.5 box"])
def test_a_part_of_a_counted_thing_is_refused(text: str) -> None:
    glove = material("glove", unit="each", kind="consumable", measures="box = 25 each")
    with pytest.raises(RefusedError, match="is not a whole number, and glove is counted"):
        quantity(glove, read_amount(text))
    assert quantity(glove, read_amount("0.2 box")).number == 5
