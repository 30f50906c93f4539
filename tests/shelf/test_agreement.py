from prepstore.amounts import in_billionths
from prepstore.shelf.agreement import rows_that_disagree
from prepstore.shelf.shelf import Shelf, shelf_of
from tests.shelf.small_shelf import shelf


def _with_balance(found: Shelf, lot: str, billionths: int) -> Shelf:
    held = {label: in_billionths(one.amount) for label, one in found.lots.items()}
    return shelf_of(found.inventory, found.materials, {**held, lot: billionths})


def test_a_shelf_whose_rows_say_what_lots_hold_agrees() -> None:
    assert list(rows_that_disagree(shelf())) == []


def test_a_row_that_says_another_amount_is_named_with_both() -> None:
    (told,) = rows_that_disagree(_with_balance(shelf(), "a1", 999_999_999_999))
    assert "Lot A1: its row says 1 L, its movements come to 999.999999999 mL" in told
    assert "prepstore stock count A1" in told
