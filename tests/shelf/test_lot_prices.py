from fractions import Fraction
from pathlib import Path

import pytest

from prepstore.ledger.place import Place
from prepstore.shelf.prices import MADE_ON_SITE, Cost, Known, estimated, not_known, paid
from tests.shelf.money_store import MoneyStore


@pytest.fixture
def store(tmp_path: Path, place: Place) -> MoneyStore:
    return MoneyStore(tmp_path, place)


def _paid(text: str) -> Cost:
    return paid(Fraction(text))


def test_a_lot_costs_what_was_paid_for_it(store: MoneyStore) -> None:
    store.receive("acetone", "2.5 L", "A1", "14.90")
    assert store.price("A1") == _paid("0.00596")


def test_a_lot_that_came_in_several_times_costs_the_average(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    store.use("A1", "500 mL")
    store.receive("acetone", "2 L", "A1", "26")
    assert store.price("A1") == _paid("0.012")


def test_what_came_without_a_price_is_estimated_at_what_the_rest_cost(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    store.receive("acetone", "3 L", "A1")
    price = store.price("A1")
    assert (price.paid, price.estimated) == (Fraction("0.0025"), Fraction("0.0075"))
    assert price.known is Known.ESTIMATED


def test_what_came_as_a_gift_was_paid_with_nothing(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", "0")
    assert store.price("A1") == _paid("0")


@pytest.mark.parametrize(
    ("item", "amount", "price"),
    [
        ("acetone", "1 L", estimated(Fraction("0.006"))),
        ("dye", "1 g", not_known("dye")),
        ("water", "1 L", MADE_ON_SITE),
        ("brine", "1 L", estimated(Fraction("0.001")) + MADE_ON_SITE),
    ],
)
def test_a_lot_without_a_price_is_estimated_or_named(
    item: str, amount: str, price: Cost, store: MoneyStore
) -> None:
    store.receive(item, amount, "L1")
    assert store.price("L1") == price


def test_a_lot_that_was_there_when_the_tables_were_loaded_is_estimated(
    tmp_path: Path, place: Place
) -> None:
    store = MoneyStore(tmp_path, place, stock="lot,item,amount\nA1,acetone,1 L")
    assert store.price("A1") == estimated(Fraction("0.006"))
    store.receive("acetone", "1 L", "A1", "10")
    assert store.price("A1").paid == Fraction("0.005")


def test_an_undone_receipt_takes_its_payment_back_and_one_undone_again_gives_it_back(
    store: MoneyStore,
) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    second = store.receive("acetone", "1 L", "A1", "20")
    undo = store.undo(second)
    assert store.price("A1") == _paid("0.01")
    store.undo(undo)
    assert store.price("A1") == _paid("0.015")


def test_a_container_that_is_split_off_costs_what_the_lot_it_came_from_did(
    store: MoneyStore,
) -> None:
    store.receive("acetone", "3 L", "A1", "30", containers=3)
    store.open("A1")
    store.receive("acetone", "1 L", "A1", "20")
    assert store.price("A1-1") == store.price("A1") == _paid("0.0125")


def test_a_lot_under_a_new_label_keeps_its_price_whatever_the_old_label_is_given_to(
    store: MoneyStore,
) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    store.relabel("A1", "A2")
    store.receive("salt", "1 kg", "A1", "4")
    assert store.price("A2") == _paid("0.01")
    assert store.price("A1") == _paid("0.004")
    store.receive("acetone", "1 L", "A2", "30")
    assert store.price("A2") == _paid("0.02")


def test_an_empty_lot_under_a_new_label_keeps_its_price(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    store.use("A1", "1 L")
    store.relabel("A1", "A2")
    assert store.price("A2") == _paid("0.01")


def test_a_solution_costs_what_went_into_it(store: MoneyStore) -> None:
    store.receive("salt", "1 kg", "S1", "7")
    store.make("brine", "2 L", "B1")
    # 400 g of salt at 7 for the kilogram; the water is made on site
    assert store.price("B1") == _paid("0.0014")


def test_a_solution_of_a_solution_costs_what_went_into_both(store: MoneyStore) -> None:
    store.receive("salt", "1 kg", "S1", "7")
    store.receive("dye", "10 g", "D1", "50")
    store.receive("water", "10 L", "W1")
    store.make("brine", "2 L", "B1")
    store.make("dyed brine", "1 L", "B2")
    # half a litre of brine at 1.40 a litre, and 1 g of dye at 5 a gram
    assert store.price("B2").total == Fraction("0.0057")
    assert store.price("B2").known is Known.PAID


def test_a_solution_is_estimated_in_the_part_that_is_and_names_what_has_no_price(
    store: MoneyStore,
) -> None:
    store.receive("salt", "1 kg", "S1")
    store.receive("dye", "10 g", "D1", "50")
    store.make("brine", "2 L", "B1")
    store.make("dyed brine", "1 L", "B2")
    price = store.price("B2")
    assert (price.paid, price.estimated) == (Fraction("0.005"), Fraction("0.0005"))
    assert price.known is Known.ESTIMATED
    store.receive("dye", "10 g", "D2")
    store.use("D1", "9 g")
    store.make("dyed brine", "1 L", "B3")
    assert store.price("B3") == not_known("dye")


def test_prices_of_a_day_leave_out_what_came_later(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", "10", on="02-01")
    store.receive("acetone", "1 L", "A1", "20", on="02-05")
    assert store.price("A1", last="02-04") == _paid("0.01")


def test_each_movement_is_priced_by_the_lot_that_it_was_of(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    store.use("A1", "1 L")
    store.relabel("A1", "A2")
    store.receive("salt", "1 kg", "A1", "4")
    store.use("A1", "1 g")
    found = store.priced()
    prices = [
        found.prices.by_movement[one.number].total
        for one in found.history
        if one.movement.what == "used"
    ]
    assert prices == [Fraction("0.01"), Fraction("0.004")]
