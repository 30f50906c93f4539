"""Sessions changed by one line each, followed by what that changes."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import SAMPLE, WEEK, Run

BY = ("--by", "Kim", "--on", "2027-03-03")


@pytest.fixture
def run_own(run_own: Run, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run a command on a store of its own, on Wednesday 3 March."""
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-03")
    return run_own


def _session(run: Run, name: str) -> dict[str, object]:
    rows = json.loads(run("session", "list", "--json").stdout)
    return next(row for row in rows if row["session"] == name)


def test_a_list_is_of_a_week_or_of_all_in_order_of_time(run_sample: Run) -> None:
    week = json.loads(run_sample("session", "list", "--week", "2027-W10", "--json").stdout)
    assert [row["session"] for row in week[:3]] == ["W10-Mon-4", "W10-Mon-1", "W10-Mon-2"]
    assert len(week) == 19
    assert len(json.loads(run_sample("session", "list", "--json").stdout)) == 28


@pytest.mark.parametrize(
    ("words", "cells", "said"),
    [
        (("students", "W10-Tue-4", "36"), {"students": 36}, "6 students more, 6 sets more"),
        (
            ("move", "W10-Mon-3", "2027-03-09", "--start", "9:15", "--room", "West Lab"),
            {"date": "2027-03-09", "start": "09:15", "end": "12:15", "room": "West Lab"},
            "moved: prepare it by Mon 8 Mar",
        ),
        (("swap", "W10-Wed-2", "ana-04"), {"practical": "ANA-04"}, "another practical"),
        (("cancel", "W10-Fri-1"), {"students": 0}, "cancelled"),
    ],
)
def test_each_change_is_recorded_shown_and_undone(
    run_own: Run, words: tuple[str, ...], cells: dict[str, object], said: str
) -> None:
    before = _session(run_own, words[1])
    result = run_own("session", *words, *BY, "--reason", "told at noon")
    assert result.exit_code == 0, result.output
    assert "What this changes in week 2027-W10" in result.stdout
    assert said in " ".join(result.stdout.split())
    assert "To undo it: prepstore stock undo 2" in result.stdout
    assert {**before, **cells} == _session(run_own, words[1])
    history = json.loads(run_own("session", "history", "--json").stdout)
    assert {(row["by"], row["reason"]) for row in history} == {("Kim", "told at noon")}
    assert run_own("stock", "undo", "2", *BY).exit_code == 0
    assert _session(run_own, words[1]) == before


def test_a_session_is_added_and_gone_again_by_an_undo(run_own: Run) -> None:
    new = ("W10-Fri-9", "org-03", "2027-03-12", "--students", "10", "--start", "14:00")
    result = run_own("session", "add", *new, "--demonstrator-sets", "1", *BY)
    assert result.exit_code == 0, result.output
    assert "added: prepare all of it by Thu 11 Mar" in " ".join(result.stdout.split())
    added = _session(run_own, "W10-Fri-9")
    assert (added["practical"], added["demonstrator_sets"]) == ("ORG-03", 1)
    plan = json.loads(run_own("plan", *WEEK, "--json", "-").stdout)
    assert "W10-Fri-9" in [row["session"] for row in plan["sessions"]]
    run_own("stock", "undo", "2", *BY)
    assert "W10-Fri-9" not in run_own("session", "list").stdout
    # The tables of the store are as they were loaded.
    run_own("export", "out")
    for table in ("timetable.csv", "stock.csv"):
        assert Path("out", table).read_bytes() == (SAMPLE / table).read_bytes()


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("students", "W10-Xyz", "3"), "is not a known session"),
        (("swap", "W10-Wed-2", "ANA-99"), "'ANA-99' is not a known practical"),
        (("swap", "W10-Wed-2", "ANA-02"), "is like that already"),
        (("add", "W10-mon-1", "ANA-02", "2027-03-12", "--students", "3"), "already, on 2027-03-08"),
        (("add", "N", "ANA-92", "2027-03-12", "--students", "3"), "not a known practical"),
        (("move", "W10-Mon-1", "2027-03-09", "--end", "08:00"), "is not after the start"),
    ],
)
def test_what_cannot_be_is_a_sentence_and_changes_nothing(
    run_own: Run, words: tuple[str, ...], sentence: str
) -> None:
    before = run_own("session", "list", "--csv").stdout
    result = run_own("session", *words, *BY)
    assert result.exit_code == 1
    assert sentence in result.stderr
    assert run_own("session", "list", "--csv").stdout == before


@pytest.mark.parametrize(
    "words",
    [
        ("students", "W10-Mon-1", "-1"),
        ("students", "W10-Mon-1", "many"),
        ("move", "W10-Mon-1", "9 March"),
        ("move", "W10-Mon-1", "2027-03-09", "--start", "25:00"),
    ],
)
def test_what_is_no_number_day_or_time_is_wrong_usage(run_own: Run, words: tuple[str, ...]) -> None:
    assert run_own("session", *words).exit_code == 2


def test_what_is_booked_out_is_not_moved(run_own: Run) -> None:
    run_own("stock", "use", "--session", "W09-Tue-1", "--as-far-as-there-is", *BY)
    result = run_own("session", "move", "W09-Tue-1", "2027-03-04")
    assert result.exit_code == 1
    assert "is booked out" in result.stderr


def test_a_trial_records_nothing(run_own: Run) -> None:
    result = run_own("session", "cancel", "W10-Fri-1", "--dry-run")
    assert "cancelled" in result.stdout
    assert _session(run_own, "W10-Fri-1")["students"] == 28


def test_a_day_more_than_a_year_off_is_doubted(run_own: Run) -> None:
    result = run_own("session", "move", "W10-Fri-1", "2030-03-12", *BY)
    doubt = "Session W10-Fri-1 would be on 2030-03-12, more than a year from today, 2027-03-03."
    assert doubt in result.stderr
    for near in ("2028-03-02", "2027-02-26", "2026-03-04"):
        told = run_own("session", "move", "W10-Fri-2", near, *BY).stderr
        assert "more than a year" not in told
    told = run_own("session", "move", "W10-Fri-2", "2026-03-02", *BY).stderr
    assert "Session W10-Fri-2 would be on 2026-03-02, more than a year from today" in told


def test_a_practical_that_was_renamed_is_called_as_it_is_now(run_own: Run) -> None:
    run_own("session", "swap", "W10-Fri-1", "ANA-02", *BY)
    run_own("stock", "rename", "ANA-02", "ANA-12", *BY)
    assert "It has been called ANA-12 since 2027-03-03." in run_own(
        "session", "swap", "W10-Fri-2", "ANA-02", *BY
    ).stderr  # fmt: skip
    before = _session(run_own, "W10-Fri-1")["practical"]
    assert before == "ANA-12"
    result = run_own("stock", "undo", "2", *BY)
    assert result.exit_code == 0, result.output
    assert _session(run_own, "W10-Fri-1")["practical"] == "ORG-04"


def test_a_swap_is_undone_to_the_name_that_the_practical_has_now(run_own: Run) -> None:
    run_own("session", "swap", "W10-Fri-1", "ANA-02", *BY)
    run_own("stock", "rename", "ORG-04", "ORG-14", *BY)
    result = run_own("stock", "undo", "2", *BY)
    assert result.exit_code == 0, result.output
    assert _session(run_own, "W10-Fri-1")["practical"] == "ORG-14"


def test_a_new_session_that_a_load_has_added_to_is_not_half_undone(
    run_own: Run, tmp_path: Path
) -> None:
    run_own("session", "add", "N", "ANA-02", "2027-03-12", "--students", "3", *BY)
    folder = tmp_path / "room"
    folder.mkdir()
    rows = "session,practical,date,students,room\nN,ANA-02,2027-03-12,3,East Lab\n"
    (folder / "timetable.csv").write_text(rows, encoding="utf-8")
    assert run_own("load", str(folder)).exit_code == 0
    result = run_own("stock", "undo", "2", *BY)
    assert result.exit_code == 1
    assert "The room of session N was set to 'East Lab' since, by a load" in result.stderr
    assert _session(run_own, "N")["room"] == "East Lab"


def test_a_session_that_is_new_or_gone_is_one_line_of_the_history(run_own: Run) -> None:
    run_own("session", "add", "N", "ANA-02", "2027-03-12", "--students", "3", *BY)
    run_own("session", "students", "W10-Fri-1", "20", *BY)
    run_own("stock", "undo", "2", *BY)
    lines = run_own("session", "history").stdout.splitlines()
    assert [" ".join(line.split()) for line in lines[1:]] == [
        "2 2027-03-03 N new: ANA-02, 2027-03-12, 3 Kim",
        "3 2027-03-03 W10-Fri-1 students: 28 to 20 Kim",
        "4 2027-03-03 N taken out: 3, 2027-03-12, ANA-02 Kim undoes entry 2",
        "3 changes of the timetable",
    ]


@pytest.mark.parametrize("students", ["1e3", "12.5", "-1", "10000", "a dozen", "١٢", ""])
def test_what_is_no_number_of_students_is_a_sentence(students: str, run_own: Run) -> None:
    for words in (
        ("students", "W10-Tue-4", students),
        ("add", "X-1", "ANA-01", "2027-03-12", "--students", students),
    ):
        if students.startswith("-") and words[0] == "students":
            continue  # taken as an option
        result = run_own("session", *words)
        assert result.exit_code == 2
        told = " ".join(result.stderr.replace("│", " ").split())
        assert "is not a number of students. Write a whole number from 0 to 9999." in told


def test_a_change_that_is_said_to_be_of_a_day_far_ahead_is_doubted(run_own: Run) -> None:
    result = run_own("session", "students", "W10-Tue-4", "26", "--on", "2030-03-04", "--dry-run")
    assert "2030-03-04 is more than a year ahead of today" in result.stdout + result.stderr
    again = run_own("session", "students", "W10-Tue-4", "26", "--on", "2027-03-04", "--dry-run")
    assert "more than a year ahead" not in again.stdout + again.stderr
