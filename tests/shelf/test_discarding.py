import pytest

from prepstore.movements import What
from prepstore.problems import RefusedError
from prepstore.shelf.discarding import discarded, poured_from_lot, stream_named
from tests.builders import day
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


def test_what_is_discarded_into_a_stream_is_poured_into_its_container() -> None:
    facts = shelf(waste_streams="stream,measure\nsolvent,volume\nsolid,mass")
    held = facts.lot("A3")
    for stream, ml in (("solvent", 500), ("solid", 395)):
        movement = discarded(held, asked(held, "0.5 L"), stream)
        poured = poured_from_lot(facts.stores, held, movement, day("02-03"))
        assert [(str(one.what), one.container, int(one.number), one.lot) for one in poured] == [
            ("opened", "W27-001", 0, None),
            ("filled", "W27-001", ml, "A3"),
        ]
        assert (poured[1].item, poured[1].item_billionths) == ("acetone", 500 * 10**9)


def test_what_is_discarded_elsewhere_is_in_no_container() -> None:
    facts = shelf()
    held = facts.lot("A3")
    for stream in ("drain", None):
        movement = discarded(held, None, stream)
        assert poured_from_lot(facts.stores, held, movement, day("02-03")) == ()
