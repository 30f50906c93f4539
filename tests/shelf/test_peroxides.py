import pytest

from prepstore.cell_types import LotState
from prepstore.movements import Change, What
from prepstore.problems import RefusedError
from prepstore.settings import Settings
from prepstore.shelf.peroxides import PeroxideTest, due_of, not_watched, result_recorded, to_test
from prepstore.tables.units import read_concentration
from tests.builders import day
from tests.shelf.small_shelf import DAY, shelf

SHELF = shelf()
LIMIT = Settings().peroxide_limit


def _test(result: str, on: str = "02-03", remark: str = "") -> PeroxideTest:
    return PeroxideTest(day(on), read_concentration(result) if result else None, remark)


def test_lots_to_test_stand_the_first_due_first_and_unknown_ones_before() -> None:
    found = to_test(SHELF)
    assert [(one.held.label, str(one.due)) for one in found] == [
        ("E3", "None"),
        ("E1", "2027-02-03"),
    ]
    assert [one.is_overdue(day("02-03")) for one in found] == [True, False]
    assert found[1].is_overdue(day("02-04"))


@pytest.mark.parametrize(("on", "labels"), [("02-02", ["E3"]), ("02-03", ["E3", "E1"])])
def test_what_is_due_by_a_day_includes_what_falls_on_it(on: str, labels: list[str]) -> None:
    assert [one.held.label for one in to_test(SHELF) if one.is_due_by(day(on))] == labels


ETHERS = """
    lot,item,amount,opened,received
    OPEN,ether,1 L,2027-01-04,2026-12-01
    SEALED,ether,1 L,,2026-12-01
    UNKNOWN,ether,1 L,,
    EMPTY,ether,0 mL,2027-01-04,
"""


def _ethers(times: str) -> dict[str, tuple[str, bool, bool]]:
    """Return of each lot the day, whether it is to be seen to on 3 February, and without a time."""
    items = f"item,kind,unit,peroxide_test,peroxide_test_sealed\nether,solvent,mL,{times}"
    of_it = shelf(items=items, stock=ETHERS, solutions="", solution_parts="")
    return {
        one.held.label: (str(one.due), one.is_overdue(DAY), one.has_no_time)
        for one in to_test(of_it)
    }


def test_a_sealed_container_without_a_time_of_its_own_is_no_fault_and_stands_last() -> None:
    found = _ethers("90,")
    assert list(found) == ["UNKNOWN", "OPEN", "SEALED"]
    assert found["SEALED"] == ("None", False, True)
    assert found["UNKNOWN"] == ("None", True, False)
    assert found["OPEN"] == ("2027-04-04", False, False)


def test_an_open_container_without_a_time_is_to_be_seen_to_and_stands_first() -> None:
    found = _ethers(",540")
    assert list(found) == ["OPEN", "UNKNOWN", "SEALED"]
    assert found["OPEN"] == ("None", True, True)
    assert found["SEALED"] == ("2028-05-24", False, False)


@pytest.mark.parametrize(
    ("result", "above"),
    [("", False), ("20 mg/L", False), ("21 mg/L", True), ("25 ppm", True), ("0.002 % w/v", False)],
)
def test_a_result_is_held_to_the_limit(result: str, *, above: bool) -> None:
    assert _test(result).is_above(read_concentration("20 mg/L")) is above


def test_a_result_on_another_basis_is_refused() -> None:
    with pytest.raises(RefusedError, match="Write it in mg/L"):
        _test("1 mmol/L").is_above(LIMIT)


def test_a_test_writes_its_day_and_its_result() -> None:
    booking = result_recorded(SHELF.lot("E1"), _test("5 mg/L", remark="strip"), LIMIT)
    (movement,) = booking.movements
    assert movement.what is What.TESTED
    assert movement.change == Change(column="tested", was="", now="2027-02-03")
    assert booking.reason == "peroxides: 5 mg/L; strip"
    assert result_recorded(SHELF.lot("E1"), _test(""), LIMIT).reason == "peroxides: negative"


def test_the_next_test_is_known_of_what_has_a_time() -> None:
    assert due_of(SHELF, SHELF.lot("E1")) == day("02-03")
    assert due_of(SHELF, SHELF.lot("A1")) is None
    assert due_of(SHELF, SHELF.lot("B1")) is None


def test_a_test_above_the_limit_puts_the_lot_into_quarantine() -> None:
    booking = result_recorded(SHELF.lot("E1"), _test("50 mg/L"), LIMIT)
    assert booking.reason == "peroxides: 50 mg/L, above the limit of 20 mg/L"
    assert [one.what for one in booking.movements] == [What.TESTED, What.STATE_CHANGED]
    change = booking.movements[1].change
    assert change is not None
    assert change.now == LotState.QUARANTINE


def test_a_lot_in_quarantine_stays_there() -> None:
    held = shelf(stock="lot,item,amount,state\nE1,ether,1 L,quarantine").lot("E1")
    booking = result_recorded(held, _test("50 mg/L"), LIMIT)
    assert [one.what for one in booking.movements] == [What.TESTED]


def test_a_test_before_the_last_one_is_refused() -> None:
    held = shelf(stock="lot,item,amount,tested\nE1,ether,1 L,2027-02-04").lot("E1")
    with pytest.raises(RefusedError, match="was tested on 2027-02-04, after 2027-02-03"):
        result_recorded(held, _test(""), LIMIT)
    assert result_recorded(held, _test("", on="02-04"), LIMIT).movements


def _named(items: str, stock: str = "lot,item,amount") -> list[str]:
    of_it = shelf(items=items, stock=stock, solutions="", solution_parts="")
    return [item.item for item, _ in not_watched(of_it, DAY)]


def test_an_item_of_the_published_list_without_a_test_is_named() -> None:
    items = """
        item,kind,unit,peroxide_test
        "Tetrahydrofuran, dry",solvent,mL,
        cumene,solvent,mL,90
        propan-1-ol,solvent,mL,
    """
    assert _named(items) == ["Tetrahydrofuran, dry"]


def test_a_retired_item_is_named_while_a_lot_holds_something() -> None:
    items = "item,kind,unit,retired\nstyrene,reagent,mL,2026-07-31"
    assert _named(items) == []
    assert _named(items, "lot,item,amount\nS1,styrene,50 mL") == ["styrene"]
    assert _named(items, "lot,item,amount\nS1,styrene,0 mL") == []
