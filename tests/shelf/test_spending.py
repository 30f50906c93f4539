from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from prepstore.ledger.movements import use_of_entries
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading
from prepstore.shelf.prices import Known
from prepstore.shelf.spending import Spending, Words, spending
from tests.builders import figures
from tests.shelf.money_store import MoneyStore


@pytest.fixture
def store(tmp_path: Path, place: Place) -> MoneyStore:
    return MoneyStore(tmp_path, place)


def _spending(store: MoneyStore) -> Spending:
    found = store.priced()
    with reading(store.path) as connection:
        ran = use_of_entries(connection)
    words = Words(found.item_of, lambda one: one.movement.supplier or "", ran)
    return spending(found.history, found.prices, found.estimates, words)


def test_what_was_paid_is_added_up_by_month_and_supplier_to_the_last_digit(
    store: MoneyStore,
) -> None:
    store.receive("acetone", "1 L", "A1", "7.125", "Harbour", on="02-28")
    store.receive("acetone", "1 L", "A1", "7.125", "Harbour", on="02-02")
    store.receive("salt", "1 kg", "S1", "5", "Quay", on="02-02")
    store.receive("salt", "1 kg", "S2", "4", on="02-02")
    store.receive("salt", "1 kg", "S3", "6", "Harbour", on="03-01")
    spent = [(one.month, one.supplier, one.cost.paid) for one in _spending(store).suppliers]
    assert spent == [
        ("2027-02", "Harbour", Fraction("14.25")),
        ("2027-02", "Quay", Fraction(5)),
        ("2027-02", "", Fraction(4)),
        ("2027-03", "Harbour", Fraction(6)),
    ]
    months = [(one.month, one.cost.paid) for one in _spending(store).months]
    assert months == [("2027-02", Fraction("23.25")), ("2027-03", Fraction(6))]


def test_what_came_without_a_price_is_estimated_in_whole_cents_or_named(store: MoneyStore) -> None:
    store.receive("glove", "1 each", "G1")
    store.receive("dye", "1 g", "D1")
    store.receive("salt", "1 kg", "S1", "5")
    (spent,) = _spending(store).suppliers
    assert (spent.cost.paid, spent.cost.estimated) == (Fraction(5), Fraction("0.33"))
    assert spent.cost.lacking == {"dye"}
    assert spent.cost.known is Known.NOT_KNOWN


def test_what_nobody_sells_is_no_spending_unless_it_was_paid_for(store: MoneyStore) -> None:
    store.receive("water", "1 L", "W1")
    store.receive("brine", "1 L", "B1")
    assert _spending(store).suppliers == []
    store.receive("water", "5 L", "W2", "3")
    assert [one.cost.paid for one in _spending(store).suppliers] == [3]


def test_an_undone_receipt_is_not_spent(store: MoneyStore) -> None:
    store.undo(store.receive("salt", "1 kg", "S1", "5"))
    assert _spending(store).suppliers == []


def test_a_session_costs_what_it_took_less_what_came_back_and_further_uses_count(
    store: MoneyStore,
) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    store.receive("salt", "1 kg", "S1", "5")
    store.use("A1", "300 mL", session="Mon")
    store.bring_back("A1", "100 mL", session="Mon")
    store.use("S1", "100 g", on="02-04", session="Mon")
    store.undo(store.use("A1", "50 mL", session="Mon"))
    store.use("A1", "50 mL", session="Tue")
    store.use("S1", "1 g", session="Wed")
    store.use("A1", "400 mL")
    sessions = [
        (one.day, one.session, one.practical, one.cost.paid) for one in _spending(store).sessions
    ]
    assert sessions == [
        (date(2027, 2, 1), "Mon", "P", Fraction("2.5")),
        (date(2027, 2, 2), "Tue", "P", Fraction("0.5")),
        (date(2027, 2, 3), "Wed", "Q", Fraction("0.01")),  # half a cent
    ]
    practicals = [
        (one.practical, one.sessions, one.cost.paid) for one in _spending(store).practicals
    ]
    assert practicals == [("P", 2, Fraction(3)), ("Q", 1, Fraction("0.01"))]


def test_sessions_of_one_day_or_of_one_name_are_told_apart(
    store: MoneyStore, tmp_path: Path
) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    store.use("A1", "100 mL", session="Mon")
    store.use("A1", "50 mL", session="Mon late")
    again = "session,practical,date,students\nMon,P,2027-03-01,1"
    store.load(tmp_path / "next year", {"timetable": again})
    store.use("A1", "200 mL", session="Mon", on="03-01")
    sessions = [(one.day, one.session, one.cost.paid) for one in _spending(store).sessions]
    assert sessions == [
        (date(2027, 2, 1), "Mon", Fraction(1)),
        (date(2027, 2, 1), "Mon late", Fraction("0.5")),
        (date(2027, 3, 1), "Mon", Fraction(2)),
    ]


def test_items_tell_what_was_used_by_month_and_what_of_it_went_into_solutions(
    store: MoneyStore,
) -> None:
    store.receive("salt", "1 kg", "S1", "5", on="01-30")
    store.use("S1", "50 g", on="01-31")
    store.make("brine", "1 L", "B1", on="02-01")
    store.use("S1", "100 g", on="02-02")
    store.use("B1", "500 mL", on="02-02")
    store.discard("B1", "100 mL", on="02-02")
    items = [
        figures(one.month, one.item, one.used, one.cost.paid, one.into_solutions)
        for one in _spending(store).items
    ]
    assert items == [
        ("2027-01", "salt", 50, Fraction("0.25"), 0),
        ("2027-02", "brine", 500, Fraction("0.5"), 0),
        ("2027-02", "salt", 300, Fraction("1.5"), 200),
    ]
    assert [one.cost_into_solutions.paid for one in _spending(store).items] == [0, 0, 1]


def test_lots_of_different_prices_are_each_counted_at_their_own(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", "10")
    store.receive("acetone", "1 L", "A2")
    store.use("A1", "100 mL")
    store.use("A2", "100 mL")
    (use,) = _spending(store).items
    assert figures(use.cost.paid, use.cost.estimated, use.used) == (1, Fraction("0.6"), 200)
