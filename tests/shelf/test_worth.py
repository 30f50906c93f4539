from decimal import Decimal
from fractions import Fraction

import pytest

from prepstore.amounts import Kind
from prepstore.shelf.prices import Cost, Known, estimated, not_known, paid
from prepstore.shelf.worth import Group, Grouping, Worth, grouped, together
from tests.builders import figures


def _lot(label: str, item: str, amount: str, price: Cost, **where: str) -> Worth:
    return Worth(
        label=label,
        item=item,
        storage=where.get("storage", ""),
        place=where.get("place", ""),
        amount=Decimal(amount),
        unit=Kind.VOLUME,
        price=price,
    )


LOTS = [
    _lot("A1", "acetone", "1000", paid(Fraction("0.006")), storage="flammables", place="shelf 2"),
    _lot("A2", "Acetone", "500", estimated(Fraction("0.008")), storage="flammables"),
    _lot("E1", "ether", "100", not_known("ether"), storage="Flammables", place="shelf 1"),
    _lot("B1", "brine", "300", paid(Fraction(1, 900)), place="Shelf 1"),
    _lot("X1", "alum", "0", not_known("alum"), place="shelf 9"),
]


@pytest.mark.parametrize(
    ("by", "groups"),
    [
        (Grouping.ITEM, [("acetone", 2, 10), ("brine", 1, "0.33"), ("ether", 1, 0)]),
        (Grouping.STORAGE, [("flammables", 3, 10), ("", 1, "0.33")]),
        (Grouping.PLACE, [("shelf 1", 2, "0.33"), ("shelf 2", 1, 6), ("", 1, 4)]),
    ],
)
def test_lots_that_hold_something_are_put_together_by_name(
    by: Grouping, groups: list[tuple[str, int, str]]
) -> None:
    found = [(group.name, len(group.lots), group.value.total) for group in grouped(LOTS, by)]
    assert found == [(name, lots, Fraction(value)) for name, lots, value in groups]


def test_every_way_of_grouping_comes_to_the_same_total() -> None:
    total = together(LOTS).value
    assert total.total == Fraction("10.33")
    for by in Grouping:
        assert sum(group.value.total for group in grouped(LOTS, by)) == total.total


def test_a_group_says_how_its_value_is_known_and_of_how_many_lots_it_is_not() -> None:
    by_item = {group.name: group for group in grouped(LOTS, Grouping.ITEM)}
    assert by_item["acetone"].value.known is Known.ESTIMATED
    assert figures(by_item["acetone"].value.paid, by_item["acetone"].value.estimated) == (6, 4)
    assert [group.unpriced for group in by_item.values()] == [0, 0, 1]


def test_lots_of_one_item_have_an_amount_together_and_of_several_none() -> None:
    amounts = [group.amount for group in grouped(LOTS, Grouping.ITEM)]
    assert amounts == [
        (Decimal(1500), Kind.VOLUME),
        (Decimal(300), Kind.VOLUME),
        (Decimal(100), Kind.VOLUME),
    ]
    assert together(LOTS).amount is None
    assert together([]) == Group("", (), Cost())


def test_a_lot_is_worth_whole_cents() -> None:
    assert LOTS[3].value == paid(Fraction("0.33"))
