import pytest

from prepstore.problems import Place, Problem, ProblemsError
from prepstore.tables.history_intake import history_intake
from tests.tables.small_history import SET, TABLES
from tests.tables.written_rows import written


def test_a_set_and_its_history_are_taken_as_they_are() -> None:
    moved = history_intake(written(**SET), [])
    assert [row.text["lot"] for row in moved.intake.rows["stock"]] == ["S1", "S2", "G1"]
    assert [row.text["lot"] for row in moved.former_lots] == ["S9"]
    assert [one.entry for one in moved.history.entries] == list(range(1, 11))
    assert [one.change for one in moved.history.movements][:3] == [500 * 10**9, 0, -40 * 10**9]
    assert len(moved.history.session_uses) == 3
    assert [one.packs for one in moved.history.order_changes] == [2, -1, -1, 1]
    assert [one.now for one in moved.history.name_changes][:2] == ["rock salt", "sea salt"]


def test_rows_come_in_the_order_of_their_numbers() -> None:
    heading, *rows = SET["movements"].split("\n")
    moved = history_intake(written(**{**SET, "movements": "\n".join([heading, *rows[::-1]])}), [])
    assert [one.movement for one in moved.history.movements] == list(range(1, 12))


def test_what_is_wrong_with_a_file_is_told_first() -> None:
    problem = Problem("csv-unreadable", Place("items.csv"), "breaks off.", "")
    with pytest.raises(ProblemsError) as told:
        history_intake(written(**SET), [problem])
    assert told.value.problems == (problem,)


def test_an_empty_history_goes_with_tables_in_which_nothing_has_happened() -> None:
    nothing = {
        name: text.split("\n", maxsplit=1)[0] for name, text in SET.items() if name not in TABLES
    }
    tables = {"items": TABLES["items"]}
    assert history_intake(written(**tables, **nothing), []).history.entries == ()
