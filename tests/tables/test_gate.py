import pytest

from prepstore.tables.gate import Touched, refusals
from prepstore.written import WrittenSet
from tests.tables.written_rows import written

ITEMS = "item,kind,unit\nsalt,reagent,g\nglove,consumable,each\n"
BEFORE = written(
    items=ITEMS,
    suppliers="supplier,lead_days\nHarbour,2\n",
    packs="pack,item,supplier,size,price\nP1,salt,Harbour,1 kg,9\n",
    stock="lot,item,amount,containers,opened\nL1,salt,1 kg,2,\n",
    on_order="pack,packs,due,reference\nP1,2,2027-02-05,PO 1\n",
)
LOT = Touched({("l1",)}, set())
ORDER = Touched(set(), {("po 1", "p1", "2027-02-05")})


def _after(**tables: str) -> WrittenSet:
    return {**BEFORE, **written(**tables)}


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("L1,salt,1 kg,2,2027-02-01", "Lot L1, opened: '2027-02-01' is a date for a lot of 2"),
        ("L1,salt,1 kg,1,3027-02-01", "Lot L1, opened: '3027-02-01' is not in the years"),
        ("L1,salt,1 kg,99999999,", "Lot L1, containers: '99999999' is not a whole number"),
        ("L1,salt,1 kg,0,", "Lot L1, containers: '0' is too small."),
        ("L1,salt,9999999 kg,,", "Lot L1, amount: '9999999 kg' is more than any store"),
        ("L1,glove,2.5 each,,", "Lot L1, amount: '2.5 each' is not a whole number"),
        ("L1,#N/A,1 kg,,", "Lot L1, item: '#N/A' is an error of the spreadsheet"),
    ],
)
def test_what_a_load_would_refuse_of_a_lot_is_refused(row: str, says: str) -> None:
    after = _after(stock=f"lot,item,amount,containers,opened\n{row}\n")
    refused = refusals(BEFORE, after, LOT)
    assert refused
    assert refused[0].startswith(says)
    assert refusals(BEFORE, after, Touched(set(), set())) == []


def test_what_is_right_is_not_refused() -> None:
    after = _after(stock="lot,item,amount,containers,opened\nL1,salt,0 g,,2027-02-01\n")
    assert refusals(BEFORE, after, LOT) == []


@pytest.mark.parametrize(
    ("row", "touched"),
    [("P1,1000000,2027-02-05,PO 1", ORDER), ("P1,2,3027-02-05,PO 1", None)],
)
def test_what_a_load_would_refuse_of_an_order_is_refused(row: str, touched: Touched | None) -> None:
    new = Touched(set(), {("po 1", "p1", row.split(",")[2])})
    after = _after(on_order=f"pack,packs,due,reference\n{row}\n")
    (said,) = refusals(BEFORE, after, touched or new)
    assert said.startswith("Order PO 1 P1 ")


def test_what_was_wrong_before_stands_in_nobodys_way() -> None:
    wrong = _after(stock="lot,item,amount,expiry\nL1,salt,1 kg,3027-01-31\n")
    used = _after(stock="lot,item,amount,expiry\nL1,salt,0.9 kg,3027-01-31\n")
    assert refusals(wrong, used, LOT) == []
    worse = _after(stock="lot,item,amount,expiry,containers\nL1,salt,1 kg,3027-01-31,0\n")
    assert [one.split(":")[0] for one in refusals(wrong, worse, LOT)] == ["Lot L1, containers"]


def test_another_row_that_is_wrong_is_not_told_of_this_one() -> None:
    other = "lot,item,amount,expiry\nL9,salt,1 kg,3027-01-31\nL1,salt,1 kg,\n"
    assert refusals(_after(stock=other), _after(stock=other), LOT) == []


def test_a_lot_of_a_solution_rests_on_the_parts_that_it_is_made_from() -> None:
    tables = {
        "items": "item,kind,unit,formula\nsalt,reagent,g,NaCl\nwater,solvent,mL,\n",
        "solutions": "solution,shelf_life\nweak,30\nstrong,\n",
        "solution_parts": "solution,item,amount\nstrong,salt,1 mol/L\nstrong,water,to volume\n"
        "weak,strong,100 mL/L\nweak,water,to volume\n",
    }
    before = {**BEFORE, **written(**tables)}
    good = {**before, **written(stock="lot,item,amount,expiry\nL1,weak,1 L,2027-02-28\n")}
    assert refusals(before, good, LOT) == []
    bad = {**before, **written(stock="lot,item,amount,expiry\nL1,weak,1 L,\n")}
    (said,) = refusals(before, bad, LOT)
    assert said.startswith("Lot L1, expiry: expiry is blank")


def test_a_name_may_bring_about_a_mistake_anywhere() -> None:
    everything = Touched(set(), set(), everything=True)
    after = _after(items="item,kind,unit\n#N/A,reagent,g\nglove,consumable,each\n")
    refused = refusals(BEFORE, after, everything)
    assert any(one.startswith("Table items, #N/A, item:") for one in refused)
    assert any("is not a known item" in one for one in refused)
    assert refusals(after, after, everything) == []
