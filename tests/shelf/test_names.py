import pytest

from prepstore.movements import NameChange, NameWhat
from prepstore.problems import RefusedError
from prepstore.shelf.names import (
    bearer_of,
    change_undone,
    named_in,
    reinstated,
    renamed,
    retired,
)
from prepstore.shelf.shelf import Department
from tests.builders import day
from tests.shelf.weeks import week

TABLES = {
    "suppliers": "supplier,lead_days,retired\nHarbour,0,\nQuay,0,2026-12-31",
    "packs": "pack,item,supplier,size,price\nH1,acetone,Harbour,1 L,7.40",
    "on_order": "pack,packs,due\nH1,2,2027-02-05",
    "practicals": """
        practical,title,retired
        P,A practical,
        Old,An old one,2026-07-31
        glove,Odd name,
    """,
}
SHELF = week(**TABLES)


def _retired(
    shelf: Department, name: str, on: str = "02-03", kind: str | None = None
) -> NameChange:
    return retired(shelf, bearer_of(shelf.catalogue, name, kind), day(on))


def _reasons(name: str, on: str = "02-03", kind: str | None = None) -> tuple[str, ...]:
    with pytest.raises(RefusedError) as refused:
        _retired(SHELF, name, on, kind)
    return refused.value.sentences


def test_a_thing_gets_another_name() -> None:
    bearer = bearer_of(SHELF.catalogue, "ACETONE", None)
    assert renamed(SHELF.catalogue, bearer, " propanone ") == NameChange(
        what=NameWhat.RENAMED, table="items", was="acetone", now="propanone"
    )
    assert renamed(SHELF.catalogue, bearer, "Acetone").now == "Acetone"


@pytest.mark.parametrize(
    ("new", "says"),
    [
        ("brine", "There is brine already"),
        ("acetone", "called acetone already"),
        (" ", "blank"),
        ("two\nlines", "not text"),
    ],
)
def test_a_name_that_cannot_be_given_is_refused(new: str, says: str) -> None:
    bearer = bearer_of(SHELF.catalogue, "acetone", None)
    with pytest.raises(RefusedError, match=says):
        renamed(SHELF.catalogue, bearer, new)


def test_a_supplier_may_bear_the_name_of_an_item() -> None:
    bearer = bearer_of(SHELF.catalogue, "Harbour", None)
    assert renamed(SHELF.catalogue, bearer, "acetone").now == "acetone"


def test_a_name_of_two_kinds_is_told_apart_by_its_kind() -> None:
    with pytest.raises(RefusedError, match="the name of item and practical"):
        bearer_of(SHELF.catalogue, "glove", None)
    assert bearer_of(SHELF.catalogue, "glove", "practical").table == "practicals"
    with pytest.raises(RefusedError, match=r"not a known supplier. Did you mean Harbour\?"):
        bearer_of(SHELF.catalogue, "harbor", "supplier")


def test_nothing_is_retired_that_is_still_needed() -> None:
    assert _reasons("acetone") == (
        "Practical P uses acetone: change or replace it.",
        "Lot A2 still holds some of it: use it up or discard it.",
        "Lot A1 still holds some of it: use it up or discard it.",
        "2 x H1 are on order: receive or cancel them.",
    )
    assert "brine is made from salt: retire or change it first." in _reasons("salt")
    assert _reasons("Harbour") == ("2 x H1 are on order: receive or cancel them.",)
    assert _reasons("P", "02-02") == (
        "Session Tue runs P on 2027-02-02.",
        "Session Empty runs P on 2027-02-02.",
    )
    assert "was retired on 2026-12-31 already" in _reasons("Quay")[0]


def test_what_nothing_needs_is_retired_from_the_day_on() -> None:
    assert _retired(SHELF, "P", "02-03") == NameChange(
        what=NameWhat.RETIRED, table="practicals", was="P", now="2027-02-03"
    )


def test_what_is_replaced_in_every_script_is_needed_by_none() -> None:
    tables = {
        **TABLES,
        "on_order": "",
        "replacements": "item,replaced_by,factor,to\nacetone,water,1,drain",
    }
    stock = "lot,item,amount\nA1,acetone,0 mL"
    shelf = week(**tables, stock=stock)
    assert _retired(shelf, "acetone").was == "acetone"


def test_a_change_of_a_name_can_be_taken_back() -> None:
    there = NameChange(what=NameWhat.RENAMED, table="items", was="propanone", now="acetone")
    assert change_undone(SHELF, there) == NameChange(
        what=NameWhat.RENAMED, table="items", was="acetone", now="propanone"
    )
    quay = reinstated(bearer_of(SHELF.catalogue, "Quay", None))
    assert (quay.what, quay.now) == (NameWhat.REINSTATED, "2026-12-31")
    gone = NameChange(what=NameWhat.RETIRED, table="suppliers", was="Quay", now="2026-12-31")
    assert change_undone(SHELF, gone) == quay
    in_use = week(**{**TABLES, "suppliers": "supplier,lead_days\nHarbour,0\nQuay,0"})
    assert change_undone(in_use, quay) == gone
    with pytest.raises(RefusedError, match="is not retired"):
        reinstated(bearer_of(SHELF.catalogue, "Harbour", None))


def test_what_was_reinstated_and_is_needed_again_stays_in_use() -> None:
    back = NameChange(what=NameWhat.REINSTATED, table="practicals", was="P", now="2027-02-01")
    with pytest.raises(RefusedError, match="Session Mon runs P on 2027-02-01"):
        change_undone(SHELF, back)


def _last_used_by(last_day: str) -> Department:
    practicals = f"practical,title,retired\nP,A practical,{last_day}"
    return week(practicals=practicals, stock="lot,item,amount\nA1,acetone,0 mL")


def test_what_is_retired_later_still_needs_its_items_until_then() -> None:
    with pytest.raises(RefusedError, match="Practical P uses acetone"):
        _retired(_last_used_by("2027-02-04"), "acetone", "02-03")
    assert _retired(_last_used_by("2027-02-03"), "acetone", "02-03").was == "acetone"


def test_the_cells_that_name_a_thing_are_counted_by_table() -> None:
    named = NameChange(what=NameWhat.RENAMED, table="items", was="ACETONE", now="propanone")
    assert named_in(SHELF, named) == {
        "items": 1, "practical_lines": 1, "stock": 2, "packs": 1,
    }  # fmt: skip
    practical = NameChange(what=NameWhat.RENAMED, table="practicals", was="P", now="Q")
    assert named_in(SHELF, practical) == {
        "practicals": 1, "practical_lines": 5, "timetable": 4,
    }  # fmt: skip
