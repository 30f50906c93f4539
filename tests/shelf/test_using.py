import pytest

from prepstore.movements import What
from prepstore.problems import RefusedError
from prepstore.shelf.using import quoted, used_of_item, used_of_lot
from tests.shelf.small_shelf import DAY, asked, moved, shelf

SHELF = shelf()
ACETONE = SHELF.material("acetone")


def test_a_lot_gives_what_is_taken_whatever_its_date_and_state() -> None:
    for label in ("A1", "A3", "A4"):
        held = SHELF.lot(label)
        movement = used_of_lot(held, asked(held, "0.25 L"))
        assert moved(movement) == {label: "-250 mL"}
        assert (movement.what, movement.written) == (What.USED, "0.25 L")


def test_all_of_a_lot_can_be_used_and_no_more() -> None:
    held = SHELF.lot("A2")
    assert moved(used_of_lot(held, asked(held, "500 mL"))) == {"A2": "-500 mL"}
    with pytest.raises(RefusedError) as refused:
        used_of_lot(held, asked(held, "500.000000001 mL"))
    assert "holds 500 mL, less than 500.000000001 mL" in str(refused.value)
    assert 'prepstore stock count A2 "AMOUNT"' in str(refused.value)


def test_an_item_is_used_from_what_expires_first() -> None:
    held = SHELF.lot("A1")
    movements = used_of_item(SHELF, ACETONE, asked(held, "0.7 L"), DAY)
    assert moved(movements) == {"A2": "-500 mL", "A1": "-200 mL"}
    assert [movement.written for movement in movements] == ["", ""]
    (alone,) = used_of_item(SHELF, ACETONE, asked(held, "0.4 L"), DAY)
    assert (alone.lot, alone.written) == ("A2", "0.4 L")


def test_too_little_says_what_there_is_and_what_is_kept_back() -> None:
    with pytest.raises(RefusedError) as refused:
        used_of_item(SHELF, ACETONE, asked(SHELF.lot("A1"), "1.6 L"), DAY)
    said = str(refused.value)
    assert "Only 1.5 L of acetone may be used on 2027-02-03, less than 1.6 L." in said
    assert "A3 2 L (out of date on 2027-02-03)" in said
    assert "A4 3 L (quarantine)" in said
    assert "count the shelf" in said


@pytest.mark.parametrize(("word", "typed"), [("A1", "A1"), ("B 2", '"B 2"'), ("a;b", '"a;b"')])
def test_a_word_is_quoted_where_a_command_line_needs_it(word: str, typed: str) -> None:
    assert quoted(word) == typed
