import pytest

from prepstore.problems import ProblemsError
from prepstore.tables.readable import NOTHING_LEFT_OUT, LeftOut, as_far_as_right
from prepstore.written import WrittenSet
from tests.tables.written_rows import written

TABLES = {
    "items": "item,kind,unit,hazards,opened_life\nsalt,reagent,g,,\nsugar,reagent,g,,\n"
    "water,solvent,mL,,\n",
    "solutions": "solution\nbrine\n",
    "solution_parts": "solution,item,amount\nbrine,salt,20 % w/v\nbrine,water,to volume\n",
    "practicals": "practical,title\nP,One\nQ,Two\n",
    "practical_lines": "practical,item,amount,per\nP,salt,5 g,group\nP,water,1 L,group\n"
    "Q,brine,5 mL,group\nQ,sugar,1 g,group\n",
    "timetable": "session,practical,date,students\nMon,P,2027-02-01,4\nTue,Q,2027-02-02,4\n",
    "stock": "lot,item,amount,expiry\nL1,salt,1 kg,\nL2,water,1 L,\n",
}


def _read(**tables: str) -> tuple[WrittenSet, LeftOut, list[str]]:
    rows = written(**{**TABLES, **tables})
    result, left_out = as_far_as_right(rows)
    return rows, left_out, [session.session for session in result.timetable.sessions]


def test_a_store_that_is_right_is_read_whole() -> None:
    _, left_out, sessions = _read()
    assert left_out is NOTHING_LEFT_OUT
    assert sessions == ["Mon", "Tue"]


def test_a_wrong_lot_is_left_out_alone() -> None:
    _, left_out, sessions = _read(stock=TABLES["stock"].replace("1 kg,", "1 kg,3027-01-01"))
    assert left_out.names == {"stock": ["L1"]}
    assert [problem.code for problem in left_out.problems] == ["date-unreadable"]
    assert sessions == ["Mon", "Tue"]


def test_a_wrong_line_leaves_out_its_practical_and_the_sessions_of_that() -> None:
    lines = TABLES["practical_lines"].replace("P,salt,5 g", "P,salt,5 mol")
    _, left_out, sessions = _read(practical_lines=lines)
    assert left_out.names == {"practicals": ["P"], "timetable": ["Mon"]}
    assert sessions == ["Tue"]


def test_a_wrong_part_leaves_out_its_solution_and_what_uses_it() -> None:
    parts = TABLES["solution_parts"].replace("20 % w/v", "2 furlongs")
    _, left_out, sessions = _read(solution_parts=parts)
    assert left_out.names == {"solutions": ["brine"], "practicals": ["Q"], "timetable": ["Tue"]}
    assert sessions == ["Mon"]


def test_a_cell_on_which_no_amount_rests_is_read_as_blank() -> None:
    items = TABLES["items"].replace("salt,reagent,g,,", "salt,reagent,g,flammable,")
    _, left_out, sessions = _read(items=items)
    assert left_out.names == {}
    assert len(left_out.problems) == 1
    assert sessions == ["Mon", "Tue"]


def test_a_cell_on_which_the_last_day_of_use_rests_is_not() -> None:
    items = TABLES["items"].replace("salt,reagent,g,,", "salt,reagent,g,,soon")
    _, left_out, sessions = _read(items=items)
    assert left_out.names["items"] == ["salt"]
    assert left_out.names["stock"] == ["L1"]
    assert sessions == []


def test_a_wrong_replacement_leaves_out_what_it_is_meant_for() -> None:
    replacements = "item,replaced_by,factor\nsugar,salt,none\n"
    _, left_out, sessions = _read(replacements=replacements)
    assert left_out.names == {
        "practicals": ["Q"], "replacements": ["sugar"], "timetable": ["Tue"]
    }  # fmt: skip
    assert sessions == ["Mon"]


def test_replacements_in_a_circle_leave_out_what_is_replaced() -> None:
    replacements = "item,replaced_by\nsugar,salt\nsalt,sugar\n"
    _, left_out, sessions = _read(replacements=replacements)
    assert sessions == []
    assert left_out.names["practicals"] == ["P", "Q"]


def test_a_wrong_setting_is_the_default_and_told() -> None:
    _, left_out, sessions = _read(settings="setting,value\nprep_lead,soon\n")
    assert left_out.names == {"settings": ["prep_lead"]}
    assert sessions == ["Mon", "Tue"]


def test_what_cannot_be_left_out_is_told_as_mistakes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("prepstore.tables.readable._without", lambda written, _problems: written)
    with pytest.raises(ProblemsError, match="3027"):
        _read(stock="lot,item,amount,expiry\nL1,salt,1 kg,3027-01-01\n")
