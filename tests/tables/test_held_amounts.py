import pytest

from prepstore.tables.held_amounts import with_amounts_held
from tests.tables.written_rows import written

ITEMS = """item,kind,unit,density,formula,strength,measures
salt,reagent,g,,NaCl,,scoop = 10 g
acid,reagent,mL,1.2,HCl,37 % w/w,
glove,consumable,each,,,,
"""


def _said(amount: str, held: object, item: str = "salt", **tables: str) -> str:
    """Return what the row of a lot says that holds an amount and was typed in some words."""
    rows = written(items=ITEMS, stock=f"lot,item,amount\nL1,{item},{amount}\n", **tables)
    balances = {"l1": int(float(str(held)) * 1_000_000_000)}
    return with_amounts_held(rows, balances)["stock"][0].text["amount"]


@pytest.mark.parametrize(
    ("typed", "held", "item"),
    [
        ("1.5 kg", 1500, "salt"),
        ("3 x 0.5 kg", 1500, "salt"),
        ("100 scoop", 1000, "salt"),
        ("120 g", 100, "acid"),
        ("20 each", 20, "glove"),
    ],
)
def test_words_that_were_typed_stay_while_they_come_to_what_is_held(
    typed: str, held: int, item: str
) -> None:
    assert _said(typed, held, item) == typed


@pytest.mark.parametrize(
    ("typed", "held", "item", "said"),
    [
        ("1.5 kg", "1499.5", "salt", "1499.5 g"),
        ("100 scoop", 2000, "salt", "2000 g"),  # a scoop was 20 g when it was typed
        ("120 g", "99.999999999", "acid", "99.999999999 mL"),
        ("3 bucket", 5, "salt", "5 g"),
        ("20 each", 0, "glove", "0 each"),
    ],
)
def test_else_a_lot_says_what_it_holds_in_digits(
    typed: str, held: object, item: str, said: str
) -> None:
    assert _said(typed, held, item) == said


def test_a_solution_is_kept_in_ml_and_its_mol_are_told_by_its_parts() -> None:
    made = {
        "solutions": "solution\nbrine\n",
        "solution_parts": "solution,item,amount\nbrine,salt,2 mol/L\n",
    }
    assert _said("20 mmol", 10, "brine", **made) == "20 mmol"
    assert _said("20 mmol", 11, "brine", **made) == "11 mL"


def test_what_is_not_known_stays_as_it_stands() -> None:
    assert _said("1 kg", 5, "no such item") == "1 kg"
    rows = written(items=ITEMS, stock="lot,item,amount\nL1,salt,1 kg\n")
    assert with_amounts_held(rows, {})["stock"] == rows["stock"]


def test_solutions_in_a_circle_leave_only_words_that_need_no_conversion() -> None:
    circle = {
        "solutions": "solution\nbrine\n",
        "solution_parts": "solution,item,amount\nbrine,brine,2 mL/L\n",
    }
    assert _said("10 mmol", 10, "brine", **circle) == "10 mL"
    assert _said("0.01 L", 10, "brine", **circle) == "0.01 L"
