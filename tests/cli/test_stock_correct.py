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
