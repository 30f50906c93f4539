"""The settings that have a grammar of their own."""

import pytest

from prepstore.settings import Settings
from tests.builders import facts_from, number, problems_of


def _settings(name: str, value: str) -> Settings:
    return facts_from({"settings": f'setting,value\n{name},"{value}"'}).catalogue.settings


def test_flasks_are_volumes_in_order_whatever_the_unit_each_once() -> None:
    flasks = _settings("flasks", "1 L; 100 mL; 0.25 L; 250 mL").flasks
    assert flasks == (number(100), number(250), number(1000))


def test_without_a_row_they_are_those_of_the_contract() -> None:
    assert Settings().flasks == tuple(map(number, (50, 100, 250, 500, 1000)))
    assert Settings().drop == number("0.05")


@pytest.mark.parametrize(
    ("name", "value", "code"),
    [
        ("flasks", "100 g", "volume-unreadable"),
        ("flasks", "100", "amount-unreadable"),
        ("flasks", "0 mL; 1 L", "number-zero"),
        ("flasks", ";", "volume-unreadable"),
        ("drop", "0 mL", "number-zero"),
        ("drop", "50 mg", "volume-unreadable"),
    ],
)
def test_what_is_no_volume_is_refused(name: str, value: str, code: str) -> None:
    assert problems_of(settings=f"setting,value\n{name},{value}") == [code]
