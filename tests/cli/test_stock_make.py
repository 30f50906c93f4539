import json

import openpyxl

from tests.cli.conftest import SIGN, Run, amount_of, history_of


def test_a_count_is_kept_as_typed(stock: Run) -> None:
    stock("count", "L0236", "1.35 L", "--reason", "spilt", *SIGN)
    assert amount_of(stock, "L0236") == "1.35 L"
    assert history_of(stock, "L0236")[-1]["change"] == -50


def test_a_batch_is_made_from_its_parts_and_keeps_from_the_real_day(stock: Run, run: Run) -> None:
    words = ("make", "phosphate buffer pH 7.0", "--week", "2027-W10", "--lot", "S27-060")
    result = stock(*words, "--on", "2027-03-09", "--by", "Kim")
    assert "S27-060 phosphate buffer pH 7.0: made 1 L, 1 L left" in result.stdout
    row = next(one for one in json.loads(stock("list", "--json").stdout) if one["lot"] == "S27-060")
    assert row["expiry"] == "2027-03-23"  # it keeps for 14 days
    assert [one["what"] for one in history_of(stock)][-4:] == ["used", "used", "used", "made"]
    words = ("--week", "2027-W10", "--today", "2027-03-09", "--json", "-")
    made = {one["solution"] for one in json.loads(run("plan", *words).stdout)["making_up"]}
    assert "phosphate buffer pH 7.0" not in made
    assert stock("undo", "2").exit_code == 0
    assert amount_of(stock, "S27-060") is None


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
    assert amount_of(stock, "L0236") == "1.4 L"
    stock("count", "--sheet", "filled.xlsx", *SIGN)
    assert (amount_of(stock, "L0236"), amount_of(stock, "L0262")) == ("1.25 L", "175 each")
    assert amount_of(stock, "L0237") == "2490 mL"
    assert {row["entry"] for row in history_of(stock, "L0262")} == {1, 3}


def test_every_bad_cell_of_a_sheet_is_told_and_nothing_is_recorded(stock: Run) -> None:
    stock("count", "--sheet", "count.xlsx", "--place", "flammables cabinet B")
    _fill_in({"L0236": "1,25 L", "L0237": "2.5"}, "filled.xlsx")
    before = history_of(stock)
    result = stock("count", "--sheet", "filled.xlsx")
    assert result.exit_code == 1
    assert result.stderr.count("column Counted") == 2
    assert history_of(stock) == before
