"""What is named at a load, and what like it is not."""

import pytest

from prepstore.tables.crosscheck import checked
from prepstore.tables.probably_wrong import probably_wrong
from tests.tables.written_rows import written

ITEMS = """item,kind,unit,cas,formula,strength,density
salt,reagent,g,,NaCl,,
acid,reagent,mL,,HCl,37 % w/w,1.18
ethanol,solvent,mL,,C2H6O,,0.79
purified water,solvent,mL,,,,1
water,solvent,mL,7732-18-5,,,1
paper,consumable,each,,,,
"""
STREAMS = """stream,measure,container,list_code
organic,volume,10 L,14 06 03*
aqueous acid,volume,10 L,06 01 06*
non-aqueous residues,volume,10 L,
washings,volume,10 L,07 05 01*
solids,mass,10 kg,
"""
PRACTICALS = "practical,title\nP,x\nQ,y\n"


def doubts(**tables: str) -> list[tuple[str, int, str]]:
    """Return code, row and sentence of what is probably wrong with a set without mistakes."""
    result = checked(written(**{"items": ITEMS, **tables}))
    assert result.problems == ()
    found = probably_wrong(result.known, result.catalogue, result.materials)
    return [(one.code, one.place.row, one.sentence) for one in found]


def codes(**tables: str) -> list[str]:
    return [code for code, _, _ in doubts(**tables)]


def line_to(item: str, amount: str, to: str) -> list[str]:
    lines = f"practical,item,amount,per,to\nP,{item},{amount},group,{to}\n"
    return codes(practicals=PRACTICALS, waste_streams=STREAMS, practical_lines=lines)


@pytest.mark.parametrize(
    ("formula", "found"),
    [
        ("CoCl2·6H20", ["water-with-a-zero"]),
        ("CoCl2.6 H20", ["water-with-a-zero"]),
        ("CoCl2·H20", ["water-with-a-zero"]),
        ("CoCl2·6H2O", []),
        ("C10H20O", []),
        ("C20H202", []),
        ("C10H20", []),
    ],
)
def test_a_hydrate_with_a_zero_for_its_oxygen_is_named(formula: str, found: list[str]) -> None:
    assert codes(items=f"item,kind,unit,formula\nX,reagent,g,{formula}\n") == found


@pytest.mark.parametrize(
    ("density", "words"),
    [
        ("789", "In g/mL it is 0.789."),
        ("1180", "In g/mL it is 1.18."),
        ("0.4999", "Check it against the label."),
        ("14.1", "Check it against the label."),
        ("14100", "Check it against the label."),
    ],
)
def test_a_density_of_no_liquid_is_named(density: str, words: str) -> None:
    ((code, row, sentence),) = doubts(items=f"item,kind,unit,density\nX,solvent,mL,{density}\n")
    assert (code, row) == ("density-unlikely", 2)
    assert sentence.endswith(words)


@pytest.mark.parametrize("density", ["0.5", "0.63", "13.53", "14", ""])
def test_a_density_that_liquids_have_is_not(density: str) -> None:
    """Pentane 0.63 and mercury 13.53 g/mL at 25 °C (CRC Handbook, from memory)."""
    assert codes(items=f"item,kind,unit,density\nX,solvent,mL,{density}\n") == []


def test_a_solutions_density_is_looked_at_too() -> None:
    parts = "solution,item,amount\nbrine,salt,5 % w/v\nbrine,water,to volume\n"
    solutions = "solution,density\nbrine,1034\n"
    assert codes(solutions=solutions, solution_parts=parts) == ["density-unlikely"]


@pytest.mark.parametrize(
    ("opened", "found"),
    [("2027-03-02", ["opened-after-expiry"]), ("2027-03-01", []), ("", [])],
)
def test_what_was_opened_after_its_last_day_is_named(opened: str, found: list[str]) -> None:
    assert codes(stock=f"lot,item,amount,expiry,opened\nL,salt,1 g,2027-03-01,{opened}\n") == found


@pytest.mark.parametrize(
    ("item", "amount", "to", "found"),
    [
        ("paper", "1 each", "drain", ["counted-to-drain"]),
        ("paper", "1 each", "solids", []),
        ("salt", "1 g", "drain", []),
        ("ethanol", "1 mL", "aqueous acid", ["solvent-to-aqueous"]),
        ("ethanol", "1 mL", "washings", ["solvent-to-aqueous"]),
        ("ethanol", "1 mL", "organic", []),
        ("ethanol", "1 mL", "non-aqueous residues", []),
        ("ethanol", "1 mL", "organic 50 %; aqueous acid 50 %", []),
        ("ethanol", "1 mL", "organic 49 %; aqueous acid 51 %", ["solvent-to-aqueous"]),
        ("acid", "1 mL", "aqueous acid", []),
        ("water", "1 mL", "aqueous acid", []),
        ("purified water", "1 mL", "aqueous acid", []),
    ],
)
def test_what_goes_where_it_should_hardly_go_is_named(
    item: str, amount: str, to: str, found: list[str]
) -> None:
    assert line_to(item, amount, to) == found


@pytest.mark.parametrize(
    ("amount", "found"),
    [("13 mol/L", ["stronger-than-its-part"]), ("11 mol/L", []), ("1000 mL/L", [])],
)
def test_a_solution_stronger_than_its_part_is_named(amount: str, found: list[str]) -> None:
    """Acid of 37 % w/w and 1.18 g/mL is of 11.97 mol/L: 370 · 1.18 / 36.46."""
    parts = f"solution,item,amount\nstrong,acid,{amount}\n"
    assert codes(solutions="solution\nstrong\n", solution_parts=parts) == found


def test_how_much_of_the_part_it_would_take_is_said() -> None:
    parts = "solution,item,amount\nstrong,acid,13 mol/L\n"
    ((_, row, sentence),) = doubts(solutions="solution\nstrong\n", solution_parts=parts)
    assert row == 2
    assert "takes 1086 mL of acid for 1 L" in sentence


def lines(*amounts: str, per: str = "group") -> str:
    rows = [f"{'PQ'[number % 2]},{number},salt,{one},{per}" for number, one in enumerate(amounts)]
    return "\n".join(["practical,stage,item,amount,per", *rows]) + "\n"


@pytest.mark.parametrize(
    ("amounts", "rows"),
    [
        (("2 g", "200 g", "1 g"), [3]),
        (("2 g", "199 g", "1 g"), []),
        (("200 mg", "20000 mg"), [3]),
        (("2 g",), []),
        (("0 g", "2 g"), []),
    ],
)
def test_a_line_that_takes_a_hundred_times_more_is_named(
    amounts: tuple[str, ...], rows: list[int]
) -> None:
    found = doubts(practicals=PRACTICALS, practical_lines=lines(*amounts))
    assert [(code, row) for code, row, _ in found] == [("amount-unlikely", row) for row in rows]


def test_what_a_student_takes_is_not_held_against_what_a_session_takes() -> None:
    text = lines("2 g") + "Q,9,salt,500 g,session\n"
    assert codes(practicals=PRACTICALS, practical_lines=text) == []


@pytest.mark.parametrize(("retention", "found"), [("", ["retention-missing"]), ("0.4 mL", [])])
def test_an_agent_that_has_no_retention_is_named(retention: str, found: list[str]) -> None:
    lines = """practical,item,amount,per,holds_back
P,paper,1 each,group,ethanol
P,ethanol,5 mL,group,
"""
    items = f"item,kind,unit,retention\npaper,consumable,each,{retention}\nethanol,solvent,mL,\n"
    assert codes(items=items, practicals=PRACTICALS, practical_lines=lines) == found
