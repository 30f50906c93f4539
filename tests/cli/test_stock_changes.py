"""Each command that changes the shelf, on a store of its own that holds the sample."""

import json
import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.cli.conftest import Run

SIGN = ("--by", "Kim", "--on", "2027-03-08")
ETHER = "diethyl ether"


@pytest.fixture
def stock(run: Run, sample_store: Path) -> Run:
    """Run `prepstore stock` on a store that may be changed."""
    shutil.copy(sample_store, "prepstore.db")
    return lambda *words: run("stock", *words)


def _amount(stock: Run, lot: str) -> str:
    rows = json.loads(stock("list", "--json").stdout)
    return str(next(row["amount"] for row in rows if row["lot"] == lot))


def _history(stock: Run, *words: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads(stock("history", *words, "--json").stdout)
    return rows


def test_ten_receipts_of_a_tenth_of_a_litre_and_one_use_of_one_leave_nothing(stock: Run) -> None:
    for _ in range(10):
        assert stock("receive", "acetone", "0.1 L", "--lot", "X1", *SIGN).exit_code == 0
    result = stock("use", "X1", "1 L", *SIGN)
    assert "X1 acetone: used 1 L, 0 mL left" in result.stdout
    assert _amount(stock, "X1") == "0 mL"
    too_much = stock("use", "X1", "1 mL", *SIGN)
    assert too_much.exit_code == 1
    assert "holds 0 mL, less than 1 mL" in too_much.stderr
    assert "prepstore stock count X1" in too_much.stderr


def test_an_item_is_used_from_what_expires_first(stock: Run) -> None:
    result = stock("use", "acetone", "2 L", "--for", "cleaning", *SIGN)
    assert "L0236 acetone: used 1.4 L, 0 mL left" in result.stdout
    assert "L0237 acetone: used 600 mL, 1.9 L left" in result.stdout
    assert [row["reason"] for row in _history(stock, "L0237")][-1] == "cleaning"


def test_who_did_it_and_of_which_day_is_kept(stock: Run) -> None:
    stock("use", "L0236", "1 mL", *SIGN)
    row = _history(stock, "L0236")[-1]
    assert (row["by"], row["day"], row["change"], row["written"]) == (
        "Kim",
        "2027-03-08",
        -1,
        "1 mL",
    )
    assert row["at_utc"].endswith("+00:00")


@pytest.mark.parametrize(
    "words",
    [
        ("receive", "acetone", "1 L"),
        ("use", "L0236", "1 mL"),
        ("use", "--session", "W10-Mon-4"),
        ("discard", "L0236", "--reason", "old"),
        ("count", "L0236", "1 L"),
        ("make", "saline", "--volume", "1 L"),
        ("undo", "2"),
    ],
)
def test_a_trial_records_nothing(words: tuple[str, ...], stock: Run) -> None:
    stock("use", "acetone", "1 mL", *SIGN)
    before = _history(stock)
    words = tuple(word.replace("saline", "hydrochloric acid 2 mol/L") for word in words)
    result = stock(*words, "--dry-run")
    assert result.exit_code == 0, result.stderr
    assert result.stdout.endswith("Nothing was recorded.\n")
    assert _history(stock) == before


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("use", "acetoen", "1 mL"), "Did you mean acetone?"),
        (("use", "L0236", "5 bananas"), "cannot be turned into mL: 'bananas' is neither a unit"),
        (("use", "L0236", "5"), "'5' has no unit. Write it like 25 mL"),
        (("use", "--session", "W10-Mon-9"), "Did you mean W10-Mon-"),
        (("use", "--session", "W10-Mon-4", "--used", "gloves"), "Write it like 'acetone=250 mL'"),
        (
            ("receive", "acetone", "1 L", "--lot", "L0103"),
            "is hydrochloric acid, concentrated, not",
        ),
        (("receive", "L0236", "1 L", "--lot", "X"), "L0236 is a lot already"),
        (("receive", "acetone"), "'acetone' is no pack's code."),
        (("open", "L0236"), "was opened on 2027-02-22 already"),
        (("move", "L0236", "flammables cabinet B"), "stands at flammables cabinet B already"),
        (("discard", "L0236", "--reason", "old", "--stream", "solvent"), "Expected one of: air"),
        (("make", "brine", "--volume", "1 L"), "'brine' is not a known solution"),
        (("undo", "99"), "There is no entry 99"),
    ],
)
def test_what_cannot_be_is_a_sentence_and_changes_nothing(
    words: tuple[str, ...], says: str, stock: Run
) -> None:
    before = _history(stock)
    result = stock(*words)
    assert result.exit_code == 1
    assert says in result.stderr
    assert result.stderr.endswith("Nothing was changed.\n")
    assert _history(stock) == before


@pytest.mark.parametrize(
    "words",
    [
        ("use",),
        ("use", "L0236"),
        ("use", "L0236", "1 mL", "--back", "acetone=1 mL"),
        ("use", "--session", "S", "--for", "fun"),
        ("count",),
        ("count", "L0236", "--sheet", "a.xlsx"),
        ("count", "--sheet", "a.csv"),
        ("discard", "L0236"),
        ("state", "L0236", "lost"),
        ("make", "saline"),
        ("receive", "acetone", "1 L", "--packs", "2"),
        ("use", "L0236", "1 mL", "--on", "2027-02-30"),
        ("use", "L0236", "1 mL", "--by", "  "),
        ("move", "L0236", ""),
        ("receive", "acetone", "1 L", "--lot", ""),
    ],
)
def test_a_command_that_is_not_whole_is_wrong_usage(words: tuple[str, ...], stock: Run) -> None:
    assert stock(*words).exit_code == 2


def test_a_lot_is_received_into_by_its_label(stock: Run) -> None:
    assert (
        "L0236 acetone: received 1 L, 2.4 L left" in stock("receive", "L0236", "1 L", *SIGN).stdout
    )


def test_a_delivery_arrives_in_part_and_the_rest_stays_on_order(stock: Run, run: Run) -> None:
    words = ("--packs", "1", "--lot", "L0400", "--expiry", "2029-01-31", *SIGN)
    result = stock("receive", "OW-1373", *words)
    assert "L0400 potassium iodide: received 100 g of PO 27-045, 1 x OW-1373" in result.stdout
    rows = json.loads(run("order", "list", "--today", "2027-03-04", "--json").stdout)
    assert [row["packs"] for row in rows if row["pack"] == "OW-1373"] == [1]
    stock("receive", "OW-1373", "--lot", "L0401", *SIGN)
    rows = json.loads(run("order", "list", "--today", "2027-03-04", "--json").stdout)
    assert [row for row in rows if row["pack"] == "OW-1373"] == []
    assert stock("undo", "3").exit_code == 0
    rows = json.loads(run("order", "list", "--today", "2027-03-04", "--json").stdout)
    assert [row["packs"] for row in rows if row["pack"] == "OW-1373"] == [1]
    assert _amount(stock, "L0401") == "0 g"


def test_opening_one_of_several_splits_it_off(stock: Run) -> None:
    stock("open", "L0241", *SIGN)
    rows = {row["lot"]: row for row in json.loads(stock("list", "--json").stdout)}
    assert rows["L0241"]["amount"] == "5000 mL"
    assert (rows["L0241-1"]["amount"], rows["L0241-1"]["opened"]) == ("2500 mL", "2027-03-08")
    stock("undo", "2")
    assert (_amount(stock, "L0241"), _amount(stock, "L0241-1")) == ("7500 mL", "0 mL")


def test_moved_state_changed_and_discarded_lots_say_so(stock: Run) -> None:
    stock("move", "L0236", "bench 3", *SIGN)
    stock("state", "L0236", "quarantine", "--reason", "cloudy", *SIGN)
    stream = ("--stream", "Non-halogenated solvent")
    stock("discard", "L0236", "1 L", "--reason", "spoilt", *stream, *SIGN)
    moved, changed, gone = _history(stock, "L0236")[1:]
    assert (moved["was"], moved["now"]) == ("flammables cabinet B", "bench 3")
    assert (changed["now"], changed["reason"]) == ("quarantine", "cloudy")
    assert (gone["change"], gone["stream"]) == (-1000, "non-halogenated solvent")


def test_a_count_is_kept_as_typed(stock: Run) -> None:
    stock("count", "L0236", "1.35 L", "--reason", "spilt", *SIGN)
    assert _amount(stock, "L0236") == "1.35 L"
    assert _history(stock, "L0236")[-1]["change"] == -50


def _plan(run: Run, day: str) -> dict[str, Any]:
    words = ("--from", day, "--to", day, "--today", day, "--json", "-")
    plan: dict[str, Any] = json.loads(run("plan", *words).stdout)
    return plan


def test_a_session_is_booked_out_of_the_lots_its_plan_chose_and_is_done(
    stock: Run, run: Run
) -> None:
    before = _plan(run, "2027-03-08")
    planned = {
        row["item"]: of["amount"]
        for row in before["needs"]
        for of in row["by_session"]
        if of["session"] == "W10-Mon-4"
    }
    assert stock("use", "--session", "W10-Mon-4", "--by", "Kim").exit_code == 0
    rows = _history(stock, "--session", "W10-Mon-4")
    used = {row["item"]: -row["change"] for row in rows}
    assert used == {name: planned[name] for name in used}
    assert set(planned) - set(used) == {
        "calorimeter cup with lid",
        "stopclock",
        "thermometer -10 to 110 °C",
    }
    assert {row["day"] for row in rows} == {"2027-03-08"}
    after = next(
        one for one in _plan(run, "2027-03-08")["sessions"] if one["session"] == "W10-Mon-4"
    )
    assert (after["state"], after["groups"], after["sets"]) == ("done", 0, 0)


def test_a_session_is_corrected_and_undone(stock: Run) -> None:
    acid = "hydrochloric acid 2 mol/L"
    stock("use", "--session", "W10-Mon-4", "--back", f"{acid}=350 mL", "--by", "Kim")
    assert _amount(stock, "S27-021") == "1400 mL"
    again = stock("use", "--session", "W10-Mon-4")
    assert again.exit_code == 1
    assert "W10-Mon-4 is booked out already" in again.stderr
    stock("use", "--session", "W10-Mon-4", "--used", f"{acid}=1.2 L")
    assert _amount(stock, "S27-021") == "1500 mL"
    (row,) = json.loads(stock("usage", "--item", acid, "--json").stdout)
    assert (row["planned"], row["used"]) == (1650, 1200)
    assert stock("undo", "2").exit_code == 1
    stock("undo", "3")
    stock("undo", "2")
    assert _amount(stock, "S27-021") == "2700 mL"
    assert json.loads(stock("usage", "--json").stdout) == []


def test_a_single_use_for_a_session_counts_as_its_use(stock: Run) -> None:
    stock("use", "acetone", "50 mL", "--session", "W10-Mon-4", *SIGN)
    (row,) = json.loads(stock("usage", "--json").stdout)
    assert (row["practical"], row["planned"], row["used"]) == ("PHY-04", 0, 50)


def test_a_batch_is_made_from_its_parts_and_keeps_from_the_real_day(stock: Run, run: Run) -> None:
    words = ("make", "phosphate buffer pH 7.0", "--week", "2027-W10", "--lot", "S27-060")
    result = stock(*words, "--on", "2027-03-09", "--by", "Kim")
    assert "S27-060 phosphate buffer pH 7.0: made 1 L, 1 L left" in result.stdout
    row = next(one for one in json.loads(stock("list", "--json").stdout) if one["lot"] == "S27-060")
    assert row["expiry"] == "2027-03-23"  # it keeps for 14 days
    assert [one["what"] for one in _history(stock)][-4:] == ["used", "used", "used", "made"]
    words = ("--week", "2027-W10", "--today", "2027-03-09", "--json", "-")
    made = {one["solution"] for one in json.loads(run("plan", *words).stdout)["making_up"]}
    assert "phosphate buffer pH 7.0" not in made
    assert stock("undo", "2").exit_code == 0
    assert _amount(stock, "S27-060") == "0 mL"


def _fill_in(found: dict[str, str | int], to: str) -> None:
    book = openpyxl.load_workbook("count.xlsx")
    for row in book["Count"].iter_rows(min_row=5):
        if str(row[0].value) in found:
            row[7].value = found[str(row[0].value)]
    book.save(to)


def test_a_counting_sheet_is_written_filled_in_and_read_back(stock: Run) -> None:
    written = stock("count", "--sheet", "count.xlsx", "--on", "2027-03-05")
    assert "Wrote count.xlsx with 14" in written.stdout
    _fill_in({"L0236": "1.25 L", "L0237": "2.5 L", "L0262": 175}, "filled.xlsx")
    stock("use", "L0237", "10 mL", *SIGN)
    shown = stock("count", "--sheet", "filled.xlsx", "--dry-run")
    assert "1.4 L        1.25 L   150 mL less" in shown.stdout
    assert "L0237 acetone has moved since the sheet was written: count it again." in shown.stdout
    assert _amount(stock, "L0236") == "1.4 L"
    stock("count", "--sheet", "filled.xlsx", *SIGN)
    assert (_amount(stock, "L0236"), _amount(stock, "L0262")) == ("1.25 L", "175 each")
    assert _amount(stock, "L0237") == "2490 mL"
    assert {row["entry"] for row in _history(stock, "L0262")} == {1, 3}


def test_every_bad_cell_of_a_sheet_is_told_and_nothing_is_recorded(stock: Run) -> None:
    stock("count", "--sheet", "count.xlsx", "--place", "flammables cabinet B")
    _fill_in({"L0236": "1,25 L", "L0237": "2.5"}, "filled.xlsx")
    before = _history(stock)
    result = stock("count", "--sheet", "filled.xlsx")
    assert result.exit_code == 1
    assert result.stderr.count("column Counted") == 2
    assert _history(stock) == before


def test_undoing_an_undo_does_it_again(stock: Run) -> None:
    stock("use", "L0236", "100 mL", *SIGN)
    stock("undo", "2", *SIGN)
    assert _amount(stock, "L0236") == "1400 mL"
    twice = stock("undo", "2", *SIGN)
    assert "undone by entry 3 already. To have it back: prepstore stock undo 3" in twice.stderr
    stock("undo", "3", *SIGN)
    assert _amount(stock, "L0236") == "1300 mL"
    assert [row["undone_by"] for row in _history(stock, "L0236")] == [None, 3, 4, None]


def test_a_store_that_is_not_there_is_not_made(run: Run) -> None:
    result = run("--db", "none.db", "stock", "use", "L1", "1 mL")
    assert result.exit_code == 1
    assert "There is no store at none.db" in result.stderr
    assert not Path("none.db").exists()
