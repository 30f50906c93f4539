"""What stands on paper of what is in the waste: the worked example, and each thing not known."""

from prepstore.planning.plan import Plan
from prepstore.report.workbook.page import Look, SheetRow
from prepstore.report.workbook.waste_contents import contents, reactions
from tests.planning.a_wash import ITEMS, a_wash
from tests.planning.a_waste_room import TABLES, a_waste_room, planned_with


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


def told(**tables: str) -> dict[str, list[str]]:
    """Return what is told of streams, by its head."""
    return _told_of(a_waste_room(**tables))


def _told_of(plan: Plan) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    head = ""
    for block in reactions(plan):
        for row in block:
            if row.look is Look.BAND:
                head = str(row.values[0])
            else:
                found.setdefault(head, []).append(str(row.values[1]))
    return found


def test_gas_and_acidity_of_a_stream_share_a_line() -> None:
    (line,) = told()["Gas, acids and bases, without what is in the open container"]
    assert line.startswith("acid waste: up to 9.6 L of carbon dioxide: ")
    assert "; acids 0.79 mol, bases 0.4 mol" in line


def test_an_open_container_has_a_line_of_its_own() -> None:
    lines = _told_of(planned_with("acid waste", "acid"))
    (line,) = lines["Gas, acids and bases with what is in the open container"]
    assert line.startswith("acid waste: now acids 0.24 mol, bases 0 mol: 0.24 mol too much acid; ")
    assert "Gas, acids and bases with what is in the open container" not in told()


def test_streams_of_which_the_same_was_not_checked_share_a_line() -> None:
    lines = TABLES["practical_lines"] + "\n        Q, group, powder, 1 g, 0 %, acid waste,"
    lines = lines.replace("table salt", "powder")
    streams = "acid waste, solids: powder"
    assert (
        streams
        in told(practical_lines=lines)["Not checked in EPA-600/2-80-076, which does not mean safe"]
    )


def test_of_nothing_nothing_is_said() -> None:
    assert _rows("water, 1 mL, kept,") == {}
