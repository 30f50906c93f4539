from pathlib import Path

import pytest

from tests.cli.conftest import SIGN, Run, amount_of, history_of


def _exported(run: Run) -> str:
    run("export", "out")
    return Path("out/stock.csv").read_text("utf-8")


def test_what_stands_on_a_lot_is_set_right_and_the_undo_brings_every_cell_back(
    stock: Run, run: Run
) -> None:
    before = _exported(run)
    words = ("--expiry", "2029-12-31", "--opened", "none", "--place", "shelf 9")
    said = stock("correct", "L0236", *words, "--batch-number", "AC-77", *SIGN)
    assert said.exit_code == 0, said.stderr
    assert "L0236 acetone: corrected expiry from 2028-12-31 to 2029-12-31" in said.stdout
    assert "corrected opened from 2027-02-22 to blank" in said.stdout
    assert _exported(run) != before
    assert stock("undo", "2", *SIGN).exit_code == 0
    assert _exported(run) == before


def test_a_lot_goes_on_under_another_label_and_its_history_with_it(stock: Run, run: Run) -> None:
    before = _exported(run)
    stock("use", "L0236", "100 mL", *SIGN)
    said = stock("correct", "L0236", "--label", "L0O236", "--reason", "smudged", *SIGN)
    assert "L0O236 acetone: corrected 1.3 L, label from L0236 to L0O236, 1.3 L left" in said.stdout
    assert (amount_of(stock, "L0236"), amount_of(stock, "L0O236")) == (None, "1300 mL")
    assert [row["lot"] for row in history_of(stock, "L0O236")] == ["L0236"] * 3 + ["L0O236"]
    assert run("check").exit_code == 0
    again = stock("receive", "ethanol 96 %", "1 L", "--lot", "L0236", *SIGN)
    assert again.exit_code == 0, again.stderr
    assert [row["item"] for row in history_of(stock, "L0236")][-1] == "ethanol 96 %"
    for entry in ("4", "3", "2"):
        assert stock("undo", entry, *SIGN).exit_code == 0
    assert _exported(run) == before


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--label", "L0237"), "There is a lot L0237 already"),
        (("--expiry", "2028-12-31"), "says that already"),
        (("--containers", "3"), "Lot L0236, opened: '2027-02-22' is a date for a lot of 3"),
        (("--label", "#N/A"), "is an error of the spreadsheet"),
    ],
)
def test_what_cannot_be_right_is_refused(words: tuple[str, ...], says: str, stock: Run) -> None:
    refused = stock("correct", "L0236", *words, *SIGN)
    assert refused.exit_code == 1
    assert says in refused.stderr


@pytest.mark.parametrize("words", [(), ("--expiry", "3027-01-31"), ("--containers", "0")])
def test_what_says_nothing_or_no_date_is_wrong_usage(words: tuple[str, ...], stock: Run) -> None:
    assert stock("correct", "L0236", *words).exit_code == 2


def test_a_set_that_has_the_old_label_is_refused_with_the_new_one(stock: Run, run: Run) -> None:
    run("export", "old")
    stock("correct", "L0236", "--label", "L0999", *SIGN)
    stock("correct", "L0999", "--label", "L0998", *SIGN)
    told = run("load", "old")
    assert told.exit_code == 1
    assert "column lot: (acetone) 'L0236' was renamed to 'L0998' on 2027-03-08." in told.stderr
    assert stock("undo", "3", *SIGN).exit_code == 0
    assert stock("undo", "2", *SIGN).exit_code == 0
    assert run("load", "old").exit_code == 0


def test_the_history_of_a_label_ends_where_the_lot_went_on_under_another(stock: Run) -> None:
    stock("receive", "ethyl acetate", "2.5 L", "--lot", "L0403", *SIGN)
    stock("correct", "L0403", "--label", "L0404", *SIGN)
    stock("undo", "3", *SIGN)
    stock("receive", "acetone", "1 L", "--lot", "L0404", *SIGN)
    lines = stock("history", "L0404").stdout.splitlines()
    assert "L0403" not in [line.split()[2] for line in lines[1:-1]]
    assert "received 1 L" in lines[-2]
    assert "  1 L " in lines[-2]
    stock("correct", "L0403", "--label", "L0405", *SIGN)
    stock("receive", "acetone", "4 L", "--lot", "L0403", *SIGN)
    lots = [row["lot"] for row in history_of(stock, "L0405")]
    assert lots == ["L0403", "L0403", "L0403", "L0403", "L0405"]


def test_the_history_of_an_item_goes_by_what_was_in_the_lot(stock: Run) -> None:
    stock("receive", "acetone", "1 L", "--lot", "L0405", *SIGN)
    stock("undo", "2", *SIGN)
    stock("receive", "methanol", "1 L", "--lot", "L0405", *SIGN)
    of_acetone = [row for row in history_of(stock, "--item", "acetone") if row["lot"] == "L0405"]
    assert [row["what"] for row in of_acetone] == ["received", "undone"]
    of_methanol = [row for row in history_of(stock, "--item", "methanol") if row["lot"] == "L0405"]
    assert [row["what"] for row in of_methanol] == ["received"]


@pytest.mark.parametrize(
    "words",
    [
        ("correct", "L0236", "--label", "none"),
        ("correct", "L0236", "--label", "ethyl acetate"),
        ("receive", "acetone", "1 L", "--lot", "Ethyl acetate"),
        ("open", "L0241", "--as", "acetone"),
    ],
)
def test_a_label_is_no_name_of_something_else(words: tuple[str, ...], stock: Run) -> None:
    told = stock(*words, *SIGN)
    assert told.exit_code == 1
    assert "is the name of" in told.stderr or "is not a label" in told.stderr
    assert stock("correct", "L0236", "--label", "acetone", *SIGN).exit_code == 0
