"""What stands on paper of what is in the waste: the worked example, and each thing not known."""

from prepstore.report.workbook.page import SheetRow
from prepstore.report.workbook.waste_contents import contents
from tests.planning.a_wash import ITEMS, a_wash


def _rows(*lines: str, **tables: str) -> dict[str, tuple[object, ...]]:
    """Return the rows by what they are of, without their first two cells."""
    blocks = contents(a_wash(*lines, **tables))
    rows: list[SheetRow] = [row for block in blocks for row in block]
    return {str(row.values[1]): row.values[2:] for row in rows if len(row.values) > 1}


def test_a_stream_says_its_mass_its_water_and_its_substances() -> None:
    rows = _rows()
    assert rows["aqueous"] == ("110 g", "100 %", "0 %", "", "water 100 %; salt 10 g")
    assert rows["solvent"] == ("76.86 g", "0 %", "0 %", "", "ethyl acetate 100 %")


def test_what_is_held_back_stands_behind() -> None:
    assert _rows()["solid"] == (
        "10 g", "0 %", "0 %", "",
        "drying agent 100 %; held back in it, not counted: ethyl acetate 4.6 mL",
    )  # fmt: skip


def test_halogenated_and_what_is_not_known_are_told() -> None:
    rows = _rows("chloroform, 10 mL, solvent,", "brine, 5 mL, solvent,", solution_parts="")
    assert rows["solvent"][2:] == (
        "100 %", "10 mL", "chloroform 100 %; what else is in brine is not known",
    )  # fmt: skip


def test_of_many_substances_those_of_which_there_is_most_are_named() -> None:
    names = [f"liquid {letter}" for letter in "abcdefghij"]
    items = ITEMS + "".join(f"\n    {name}, solvent, mL, 1, , , ," for name in names)
    lines = [f"{name}, {place} mL, solvent," for place, name in enumerate(names, start=1)]
    words = str(_rows(*lines, items=items)["solvent"][-1])
    assert words.startswith("liquid j 18 %; liquid i 16 %; ")
    assert words.endswith("liquid c 5.5 %; and 2 more")


def test_what_is_left_over_in_the_period_stands_with_its_day_and_end() -> None:
    assert _rows()["brine"] == ("Mon 1 Feb", "40 mL", "28 mL", "", "aqueous")
    no_end = _rows(solutions="solution,shelf_life\nbrine,0")
    assert no_end["brine"][-1] == "no stream given: fill in the column to"
    later = _rows(solutions="solution,shelf_life,to\nbrine,30,aqueous")
    assert "brine" not in later


def test_of_nothing_nothing_is_said() -> None:
    assert _rows("water, 1 mL, kept,") == {}
