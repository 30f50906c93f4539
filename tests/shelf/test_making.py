from dataclasses import replace
from decimal import Decimal

import pytest

from prepstore.lot_labels import LabelChange, LabelWhat, ReservedLabels
from prepstore.movements import What
from prepstore.planning.calendar import Period
from prepstore.problems import RefusedError
from prepstore.shelf.asked import quantity
from prepstore.shelf.making import Made, NewBottle, batch_of, made, solution_named, volume_of
from prepstore.tables.units import read_amount
from tests.builders import day
from tests.shelf.small_shelf import moved
from tests.shelf.weeks import week

SHELF = week()
BRINE = solution_named(SHELF, "Brine")
TODAY = day("2027-01-29")
PLAN = SHELF.plan(Period.of_week("2027-W05"), TODAY)


def _volume(text: str) -> Made:
    material = SHELF.material("brine")
    return volume_of(SHELF, BRINE, quantity(material, read_amount(text)))


def test_a_batch_of_the_plan_is_made_from_its_parts() -> None:
    batch = batch_of(PLAN, BRINE, None)
    booking = made(SHELF, batch, {}, NewBottle(TODAY, "B2"))
    # 2 sessions of 200 mL and one of 100 mL, 250 mL on the shelf: 300 mL in steps of 100 mL
    assert moved(booking) == {"S1": "-60 g", "B2": "300 mL"}
    assert [movement.what for movement in booking.movements] == [What.USED, What.MADE]
    assert booking.reason == "brine, lot B2"


def test_what_was_made_keeps_from_the_real_day_and_stands_where_it_is_stored() -> None:
    (cells,) = made(SHELF, batch_of(PLAN, BRINE, None), {}, NewBottle(day("02-03"))).new_lots
    assert cells["expiry"] == "2027-03-05"
    assert cells["received"] == "2027-02-03"
    assert cells["place"] == "shelf B"
    assert cells["lot"] == "2027-02-03-1"


def test_a_batch_has_the_label_that_is_printed_for_the_day_of_its_plan() -> None:
    label = LabelChange(
        what=LabelWhat.RESERVED, label="2027-01-29-7", solution="brine", make_on=TODAY
    )
    reserved = ReservedLabels({"2027-01-29-7": label})
    shelf = replace(SHELF, stores=replace(SHELF.stores, reserved=reserved))
    batch = batch_of(PLAN, BRINE, None)
    assert batch.make_on == TODAY
    for made_on in (TODAY, day("02-03")):
        assert "2027-01-29-7" in moved(made(shelf, batch, {}, NewBottle(made_on)))
    # Without a plan it is the day on which it is made.
    assert "2027-01-29-7" in moved(made(shelf, _volume("1 L"), {}, NewBottle(TODAY)))
    assert "2027-02-03-1" in moved(made(shelf, _volume("1 L"), {}, NewBottle(day("02-03"))))


def test_any_volume_can_be_made_without_a_plan() -> None:
    booking = made(SHELF, _volume("0.5 L"), {}, NewBottle(TODAY, "B2", "fume cupboard"))
    assert moved(booking) == {"S1": "-100 g", "B2": "500 mL"}
    assert booking.new_lots[0]["place"] == "fume cupboard"


def test_what_really_went_in_is_taken() -> None:
    booking = made(SHELF, _volume("0.5 L"), {"salt": Decimal("100.25")}, NewBottle(TODAY, "B2"))
    assert moved(booking)["S1"] == "-100.25 g"


@pytest.mark.parametrize(
    ("batch", "really", "label", "says"),
    [
        ("8 L", {}, None, "salt: 100 g are not on the shelf. Receive or count it first"),
        ("1 L", {"acetone": Decimal(1)}, None, "acetone is not a part of brine"),
        ("1 L", {}, "S1", "There is a lot S1 already"),
    ],
)
def test_what_cannot_be_made_is_refused(
    batch: str, really: dict[str, Decimal], label: str | None, says: str
) -> None:
    with pytest.raises(RefusedError, match=says):
        made(SHELF, _volume(batch), really, NewBottle(TODAY, label))


def test_a_part_that_is_a_solution_is_to_be_made_first() -> None:
    shelf = week(
        solutions="solution\nbrine\nweak brine",
        solution_parts="""
            solution,item,amount
            brine,salt,20 % w/v
            brine,water,to volume
            weak brine,brine,500 mL/L
            weak brine,water,to volume
        """,
    )
    weak = solution_named(shelf, "weak brine")
    litre = quantity(shelf.material("weak brine"), read_amount("1 L"))
    with pytest.raises(RefusedError, match="brine: 250 mL are not on the shelf"):
        made(shelf, volume_of(shelf, weak, litre), {}, NewBottle(TODAY))


def test_a_plan_without_the_batch_and_a_solution_that_is_none_are_refused() -> None:
    empty = SHELF.plan(Period.of_week("2027-W40"), TODAY)
    with pytest.raises(RefusedError, match="has no batch of brine to make"):
        batch_of(empty, BRINE, None)
    with pytest.raises(RefusedError, match="No batch of brine is to be made on 2027-02-05"):
        batch_of(PLAN, BRINE, day("02-05"))
    with pytest.raises(RefusedError, match=r"not a known solution. Did you mean brine\?"):
        solution_named(SHELF, "brin")


def test_a_solution_without_parts_cannot_be_made() -> None:
    shelf = week(solutions="solution\nbrine\nstock dye")
    dye = solution_named(shelf, "stock dye")
    litre = quantity(shelf.material("stock dye"), read_amount("1 L"))
    with pytest.raises(RefusedError, match="has no parts in solution_parts"):
        volume_of(shelf, dye, litre)
