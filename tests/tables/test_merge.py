from dataclasses import replace

import pytest

from prepstore.tables.merge import Changes, clears, merge, repeated_names
from prepstore.written import STORE, WrittenRow, WrittenSet
from tests.tables.written_rows import written


def _stored(**tables: str) -> dict[str, list[WrittenRow]]:
    return {
        name: [replace(row, source=STORE, columns=frozenset()) for row in rows]
        for name, rows in written(**tables).items()
    }


def _texts(merged: WrittenSet, table: str) -> list[dict[str, str]]:
    return [dict(row.text) for row in merged[table]]


def _counted(changes: Changes, table: str) -> tuple[int, int, int, int]:
    return (
        changes.added[table],
        changes.changed[table],
        changes.moved[table],
        changes.removed[table],
    )


STOCK = "lot,item,amount,place\nL1,salt,500 g,A\nL2,salt,1 kg,B\n"


@pytest.mark.parametrize(
    ("new", "counted"),
    [
        (STOCK, (0, 0, 0, 0)),
        ("lot,item,amount,place\nL3,salt,1 g,C\n", (1, 0, 0, 0)),
        ("lot,item,amount,place\nL1,salt,400 g,A\n", (0, 1, 0, 0)),
        ("lot,item,amount,place\nL1,salt,500 g,C\n", (0, 0, 1, 0)),
        ("lot,item,amount,place\nL1,salt,400 g,C\n", (0, 1, 1, 0)),
        ("lot,item,amount,place\nL1,salt,500 g,\n", (0, 0, 1, 0)),
        ("lot,item,amount\nL1,salt,500 g\n", (0, 0, 0, 0)),
        ("place,amount,item,lot\nA,500 g,salt,L1\n", (0, 0, 0, 0)),
    ],
)
def test_a_load_counts_what_it_changes(new: str, counted: tuple[int, int, int, int]) -> None:
    _, changes = merge(_stored(stock=STOCK), written(stock=new))
    assert _counted(changes, "stock") == counted


def test_a_row_keeps_the_columns_that_a_set_does_not_have() -> None:
    merged, _ = merge(_stored(stock=STOCK), written(stock="lot,item,amount\nl1,salt,400 g\n"))
    assert _texts(merged, "stock")[0] == {
        "lot": "l1",
        "item": "salt",
        "amount": "400 g",
        "place": "A",
    }


def test_a_blank_cell_of_a_column_that_the_set_has_clears_it() -> None:
    merged, _ = merge(
        _stored(stock=STOCK), written(stock="lot,item,amount,place\nL1,salt,400 g,\n")
    )
    assert "place" not in merged["stock"][0].text


def test_rows_that_a_set_does_not_name_stay_in_their_order() -> None:
    new = written(stock="lot,item,amount\nL3,salt,1 g\nL2,salt,2 kg\n")
    merged, _ = merge(_stored(stock=STOCK), new)
    assert [text["lot"] for text in _texts(merged, "stock")] == ["L1", "L2", "L3"]


def test_loading_a_set_twice_is_loading_it_once() -> None:
    new = written(stock=STOCK, settings="setting,value\nprep_lead,1\n")
    once, _ = merge({}, new)
    twice, changes = merge(once, new)
    assert {name: _texts(twice, name) for name in twice} == {
        name: _texts(once, name) for name in once
    }
    counters = (changes.added, changes.changed, changes.moved, changes.removed)
    assert [counter.total() for counter in counters] == [0, 0, 0, 0]


LINES = "practical,item,amount,per\nP,salt,1 g,group\nP,sugar,2 g,group\nQ,salt,3 g,group\n"


@pytest.mark.parametrize(
    ("new", "items", "counted"),
    [
        (LINES, ["salt", "sugar", "salt"], (0, 0, 0, 0)),
        ("practical,item,amount,per\np,salt,1 g,group\n", ["salt", "salt"], (0, 1, 0, 1)),
        ("practical,item,amount,per\nP,salt,1 g,group\n", ["salt", "salt"], (0, 0, 0, 1)),
        (
            "practical,item,amount,per\nR,tea,1 g,group\n",
            ["salt", "sugar", "salt", "tea"],
            (1, 0, 0, 0),
        ),
        ("practical,item,amount,per\n", ["salt", "sugar", "salt"], (0, 0, 0, 0)),
    ],
)
def test_a_set_replaces_all_lines_of_each_practical_that_it_names(
    new: str, items: list[str], counted: tuple[int, int, int, int]
) -> None:
    merged, changes = merge(_stored(practical_lines=LINES), written(practical_lines=new))
    assert sorted(text["item"] for text in _texts(merged, "practical_lines")) == sorted(items)
    assert _counted(changes, "practical_lines") == counted


ORDERS = "pack,packs,due,reference\nP,2,2027-02-01,PO 1\nP,3,2027-02-08,PO 1\nP,4,2027-02-01,\n"


@pytest.mark.parametrize(
    ("new", "left", "removed"),
    [
        ("P,0,2027-02-01,PO 1", ["3", "4"], 1),
        ("p,00,2027-02-01,po 1", ["3", "4"], 1),
        ("P,0,2027-02-01,", ["2", "3"], 1),
        ("P,0,2027-02-02,PO 1", ["2", "3", "4"], 0),
        ("P,9,2027-02-08,PO 1", ["2", "9", "4"], 0),
    ],
)
def test_an_order_goes_by_reference_pack_and_day_and_0_clears_it(
    new: str, left: list[str], removed: int
) -> None:
    merged, changes = merge(
        _stored(on_order=ORDERS), written(on_order=f"pack,packs,due,reference\n{new}\n")
    )
    assert [text["packs"] for text in _texts(merged, "on_order")] == left
    assert changes.removed["on_order"] == removed


@pytest.mark.parametrize("packs", ["", "10", "0.0", "-0", "O"])
def test_only_0_clears_an_order(packs: str) -> None:
    (row,) = written(on_order=f"pack,packs,due\nP,{packs},2027-02-01\n")["on_order"]
    assert not clears(row)


def test_a_name_that_stands_twice_is_told_and_both_rows_are_kept() -> None:
    new = written(stock="lot,item,amount\nL1,salt,1 g\nl1,sugar,x\n")
    (problem,) = repeated_names({}, new)
    assert (problem.code, problem.place.row, problem.place.column) == ("name-twice", 3, "lot")
    merged, _ = merge({}, new)
    assert len(merged["stock"]) == 2


def test_rows_without_a_name_are_not_one_another() -> None:
    new = written(stock="lot,item,amount\n,salt,1 g\n,sugar,2 g\n")
    assert repeated_names({}, new) == []
    merged, _ = merge({}, new)
    assert len(merged["stock"]) == 2


def test_a_name_in_other_capitals_than_in_the_store_is_told() -> None:
    stored = _stored(items="item,kind,unit\nSalt,reagent,g\n")
    (problem,) = repeated_names(stored, written(items="item,kind,unit\nSALT,reagent,g\n"))
    assert problem.code == "name-case"
    assert "'Salt'" in problem.what


def test_what_is_written_otherwise_and_means_the_same_is_no_change() -> None:
    packs = "pack,item,supplier,size,price\nP1,salt,S,1 kg,{}\n"
    merged, changes = merge(
        _stored(packs=packs.format("14.20")), written(packs=packs.format("14.2"))
    )
    assert _counted(changes, "packs") == (0, 0, 0, 0)
    assert _texts(merged, "packs")[0]["price"] == "14.20"
    _, changes = merge(_stored(packs=packs.format("14.20")), written(packs=packs.format("14.3")))
    assert _counted(changes, "packs") == (0, 1, 0, 0)


def test_lines_that_are_replaced_by_the_same_are_no_change() -> None:
    lines = "practical,item,amount,per,shared_by\nP,salt,1 g,group,{}\nP,soda,2 g,group,{}\n"
    for other, changed in (("04", 0), ("5", 1)):
        _, changes = merge(
            _stored(practical_lines=lines.format("4", "4")),
            written(practical_lines=lines.format("4", other)),
        )
        assert _counted(changes, "practical_lines") == (0, changed, 0, 0)


def test_a_time_with_seconds_is_the_same_time() -> None:
    rows = "session,practical,date,students,start\nS,P,2027-03-08,12,{}\n"
    _, changes = merge(
        _stored(timetable=rows.format("9:00")), written(timetable=rows.format("09:00:00"))
    )
    assert _counted(changes, "timetable") == (0, 0, 0, 0)
