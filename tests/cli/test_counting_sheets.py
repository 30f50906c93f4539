import json
from pathlib import Path

import openpyxl
import pytest

from tests.at_a_terminal import at_a_terminal
from tests.cli.conftest import Run

WHO = ("--by", "Marit Dunmore", "--on", "2027-03-04")
SHEET = "count.xlsx"
PLACE = "flammables cabinet B"


@pytest.fixture
def run_own(run_own: Run) -> Run:
    """Run a command on a store of its own that holds the sample, with a counting sheet beside it.

    It is of one place, written on 3 March.
    """
    said = run_own("stock", "count", "--sheet", SHEET, "--place", PLACE, "--on", "2027-03-03")
    assert said.stdout.splitlines() == [
        "Wrote count.xlsx with 6 lots, by place.",
        "Next: fill it in, then prepstore stock count --sheet count.xlsx",
    ]
    return run_own


def _fill_in(counted: dict[str, str], note: str = "") -> None:
    book = openpyxl.load_workbook(SHEET)
    for row in book["Count"].iter_rows(min_row=5):
        if row[0].value in counted:
            row[7].value, row[8].value = counted[str(row[0].value)], note
    book.save(SHEET)


def _amount(run: Run, lot: str) -> str:
    listed = json.loads(run("stock", "list", "--json", "--empty").stdout)
    return next(str(one["amount"]) for one in listed if one["lot"] == lot)


def _entries(run: Run) -> list[int]:
    return sorted({one["entry"] for one in json.loads(run("stock", "history", "--json").stdout)})


def test_a_sheet_filled_in_is_shown_and_recorded_as_one_entry(run_own: Run) -> None:
    _fill_in({"L0236": "1.1 L", "L0237": "2500 mL"}, note="bottle chipped")
    said = run_own("stock", "count", "--sheet", SHEET, "--reason", "spring count", *WHO)
    assert said.stdout.splitlines() == [
        "place                 lot    item     should hold  counted  difference",
        "flammables cabinet B  L0236  acetone  1.4 L        1.1 L    300 mL less",
        "1 of 2 counts differ, 1 agree.",
        "Recorded as entry 2. To undo it: prepstore stock undo 2",
    ]
    assert _amount(run_own, "L0236") == "1.1 L"
    assert _entries(run_own) == [1, 2]
    (last,) = json.loads(run_own("stock", "history", "L0237", "--json").stdout)[1:]
    assert (last["what"], last["change"], last["day"]) == ("counted", 0, "2027-03-04")
    assert (last["reason"], last["note"]) == ("spring count", "bottle chipped")


def test_a_trial_shows_and_records_nothing(run_own: Run) -> None:
    _fill_in({"L0236": "1.1 L"})
    said = run_own("stock", "count", "--sheet", SHEET, "--dry-run", *WHO)
    assert "300 mL less" in said.stdout
    assert said.stdout.endswith("Nothing was recorded.\n")
    assert _entries(run_own) == [1]


def test_a_sheet_with_nothing_counted_records_nothing(run_own: Run) -> None:
    said = run_own("stock", "count", "--sheet", SHEET, *WHO)
    assert said.stdout.startswith("No row of the sheet has anything under Counted.")
    assert said.exit_code == 0
    assert _entries(run_own) == [1]


def test_a_lot_that_has_moved_is_to_be_counted_again_and_the_others_are_recorded(
    run_own: Run,
) -> None:
    assert run_own("stock", "use", "L0236", "100 mL", *WHO).exit_code == 0
    _fill_in({"L0236": "1.1 L", "L0237": "2.4 L"})
    said = run_own("stock", "count", "--sheet", SHEET, *WHO).stdout
    assert "L0236 acetone has moved since the sheet was written: count it again." in said
    assert (_amount(run_own, "L0236"), _amount(run_own, "L0237")) == ("1300 mL", "2.4 L")
    again = run_own("stock", "count", "--sheet", SHEET, *WHO).stdout
    assert "L0237 acetone has moved since the sheet was written" in again
    assert "Nothing was recorded." in again


def test_every_bad_cell_is_told_in_one_go_and_nothing_is_recorded(run_own: Run) -> None:
    _fill_in({"L0236": "1.1", "L0237": "2 each"})
    told = run_own("stock", "count", "--sheet", SHEET, *WHO)
    assert told.exit_code == 1
    first, second, last = told.stderr.splitlines()
    assert first.startswith("count.xlsx, sheet Count: row 6, column Counted: '1.1' has no unit.")
    assert second.startswith("count.xlsx, sheet Count: row 7, column Counted: '2 each' cannot be")
    assert last == "2 mistakes; nothing was changed."
    assert _entries(run_own) == [1]


def test_a_sheet_may_be_of_one_item(run_own: Run) -> None:
    said = run_own("stock", "count", "--sheet", "acetone.xlsx", "--item", "Acetone").stdout
    assert "with 2 lots" in said


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--place", "flammables cabnet B"), "Did you mean flammables cabinet B?"),
        (("--item", "acetoen"), "Did you mean acetone?"),
    ],
)
def test_a_place_or_item_that_is_not_known_names_the_nearest(
    words: tuple[str, ...], says: str, run_own: Run
) -> None:
    refused = run_own("stock", "count", "--sheet", "other.xlsx", *words)
    assert refused.exit_code == 1
    assert says in refused.stderr
    assert not Path("other.xlsx").exists()


@pytest.mark.parametrize(
    "words",
    [
        ("--sheet", "count.csv"),
        ("--sheet", SHEET, "--place", PLACE),
        ("L0236", "--sheet", SHEET),
        ("L0236",),
    ],
)
def test_what_does_not_go_together_is_wrong_usage(words: tuple[str, ...], run_own: Run) -> None:
    assert run_own("stock", "count", *words).exit_code == 2


def test_a_truncated_sheet_is_a_sentence(run_own: Run) -> None:
    whole = Path(SHEET).read_bytes()
    Path(SHEET).write_bytes(whole[: len(whole) // 2])
    told = run_own("stock", "count", "--sheet", SHEET)
    assert told.exit_code == 1
    assert told.stderr.startswith("count.xlsx: is not a whole .xlsx workbook")


@pytest.mark.parametrize(("answer", "entries"), [("y", [1, 2]), ("n", [1])])
def test_on_a_terminal_it_asks_first(answer: str, entries: list[int], run_own: Run) -> None:
    _fill_in({"L0236": "1.1 L"})
    with at_a_terminal("stock", "count", "--sheet", SHEET, *WHO) as asking:
        asking.until("Record 1 count? [y/N]: ")
        asking.answer(answer)
        assert asking.end()[0] == 0
    assert _entries(run_own) == entries


def test_what_is_agreed_beforehand_is_not_asked(run_own: Run) -> None:
    _fill_in({"L0236": "1.1 L"})
    assert run_own("stock", "count", "--sheet", SHEET, "--yes", *WHO).exit_code == 0
    assert _entries(run_own) == [1, 2]
