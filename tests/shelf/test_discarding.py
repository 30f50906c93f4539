import pytest

from prepstore.movements import What
from prepstore.problems import RefusedError
from prepstore.shelf.discarding import discarded, stream_named
from tests.shelf.small_shelf import asked, moved, shelf

SHELF = shelf()


def test_all_of_a_lot_is_discarded_where_no_amount_is_given() -> None:
    movement = discarded(SHELF.lot("A3"), None, "solvents")
    assert moved(movement) == {"A3": "-2000 mL"}
    assert (movement.what, movement.stream) == (What.DISCARDED, "solvents")


def test_part_of_a_lot_is_discarded() -> None:
    held = SHELF.lot("A3")
    assert moved(discarded(held, asked(held, "0.5 L"), None)) == {"A3": "-500 mL"}


def test_more_than_there_is_or_nothing_cannot_be_discarded() -> None:
    held = SHELF.lot("A3")
    with pytest.raises(RefusedError, match="holds 2 L, less than 3 L"):
        discarded(held, asked(held, "3 L"), None)
    with pytest.raises(RefusedError, match="is empty"):
        discarded(SHELF.lot("X1"), None, None)


def test_a_stream_goes_by_its_name_and_air_and_drain_are_known() -> None:
    facts = shelf(waste_streams="stream,measure\nHalogenated solvent,volume").goods
    assert stream_named(facts, "halogenated SOLVENT") == "Halogenated solvent"
    assert stream_named(facts, "drain") == "drain"
    with pytest.raises(RefusedError, match=r"Did you mean Halogenated solvent\?"):
        stream_named(facts, "halogenated solvents")
