from datetime import date

from prepstore.movements import NameChange, NameWhat, RecordedName
from prepstore.report.name_list import name_change_lines, name_lines, name_rows
from tests.builders import facts_from

INVENTORY = facts_from(
    {
        "items": "item,kind,unit\nsalt,reagent,g",
        "solutions": "solution\nbrine",
        "solution_parts": "solution,item,amount\nbrine,Salt,5 % w/v",
        "practicals": "practical,title\nP,Salts",
    }
)
RENAMED = NameChange(what=NameWhat.RENAMED, table="items", was="salt", now="halite")
RETIRED = NameChange(what=NameWhat.RETIRED, table="practicals", was="P", now="2027-02-01")
BACK = NameChange(what=NameWhat.REINSTATED, table="practicals", was="P", now="2027-02-01")


def _recorded(entry: int, change: NameChange, reason: str | None = None) -> RecordedName:
    day = date(2027, 1, 25)
    at = "2027-01-25T09:00:00.000000+00:00"
    return RecordedName(entry=entry, change=change, on_day=day, at_utc=at, by="M", reason=reason)


def test_a_new_name_says_in_how_many_cells_it_is_written() -> None:
    assert list(name_change_lines([RENAMED, RETIRED, BACK], INVENTORY)) == [
        "salt is called halite from now on",
        "renamed in: items 1, solution_parts 1",
        "P is retired from 2027-02-01 on; its history stays",
        "P is in use again",
    ]


def test_changes_of_names_stand_in_columns_with_who_and_why() -> None:
    shown = list(name_lines([_recorded(3, RENAMED, "its mineral"), _recorded(7, BACK)]))
    assert shown == [
        "entry  day         what                               by  because",
        "3      2027-01-25  salt is called halite from now on  M   its mineral",
        "7      2027-01-25  P is in use again                  M",
        "2 changes of names",
    ]


def test_a_row_has_all_that_is_recorded() -> None:
    assert name_rows([_recorded(3, RENAMED, "its mineral")]) == [
        {
            "entry": 3,
            "day": "2027-01-25",
            "at_utc": "2027-01-25T09:00:00.000000+00:00",
            "by": "M",
            "what": "renamed",
            "table": "items",
            "was": "salt",
            "now": "halite",
            "reason": "its mineral",
            "database_user": None,
        }
    ]
