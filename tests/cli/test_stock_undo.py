from pathlib import Path

from tests.cli.conftest import SIGN, Run, amount_of, history_of


def test_undoing_an_undo_does_it_again(stock: Run) -> None:
    stock("use", "L0236", "100 mL", *SIGN)
    stock("undo", "2", *SIGN)
    assert amount_of(stock, "L0236") == "1.4 L"
    twice = stock("undo", "2", *SIGN)
    assert "undone by entry 3 already. To get it back: prepstore stock undo 3" in twice.stderr
    stock("undo", "3", *SIGN)
    assert amount_of(stock, "L0236") == "1300 mL"
    assert [row["undone_by"] for row in history_of(stock, "L0236")] == [None, 3, 4, None]


def test_a_count_that_found_what_was_there_gives_its_words_back(stock: Run) -> None:
    stock("count", "L0236", "1400 mL", *SIGN)
    assert amount_of(stock, "L0236") == "1400 mL"
    stock("undo", "2", *SIGN)
    assert amount_of(stock, "L0236") == "1.4 L"
    stock("undo", "3", *SIGN)
    assert amount_of(stock, "L0236") == "1400 mL"


def test_a_count_of_a_sum_gives_the_sum_back_in_figures(stock: Run) -> None:
    stock("use", "L0236", "400 mL", *SIGN)
    stock("count", "L0236", "1 L", *SIGN)
    stock("undo", "3", *SIGN)
    assert amount_of(stock, "L0236") == "1000 mL"


def test_what_stands_again_says_what_undoes_it(stock: Run) -> None:
    stock("use", "L0236", "100 mL", *SIGN)
    stock("undo", "2", *SIGN)
    stock("undo", "3", *SIGN)
    refused = stock("undo", "2", *SIGN)
    assert refused.stderr.splitlines()[0] == (
        "Entry 2 was undone, and entry 4 brought it back. To undo it again: prepstore stock undo 4"
    )
    assert stock("undo", "4", *SIGN).exit_code == 0
    assert amount_of(stock, "L0236") == "1.4 L"
    assert "was undone by entry 5 already" in stock("undo", "2", *SIGN).stderr


def test_an_entry_beyond_all_numbers_is_wrong_usage(stock: Run) -> None:
    for words in (("undo", "9" * 20), ("history", "--newest", "9" * 20)):
        assert stock(*words).exit_code == 2


def test_what_is_in_a_container_that_went_on_stands_in_the_way(stock: Run) -> None:
    stock("discard", "L0255", "100 mL", "--stream", "aqueous organic washings", "--reason", "old")
    stock("discard", "L0255", "50 mL", "--stream", "aqueous organic washings", "--reason", "old")
    refused = stock("undo", "2", *SIGN)
    assert refused.exit_code == 1
    assert "has been used since it was opened. Undo entry 3 first" in refused.stderr
    assert stock("undo", "3", *SIGN).exit_code == 0
    assert "undone and not there again" in stock("undo", "2", *SIGN).stdout


def test_how_containers_began_cannot_be_undone(run: Run, tmp_path: Path) -> None:
    streams = "stream,measure,container,part_full\nacid,volume,5 L,1 L\n"
    (tmp_path / "set").mkdir()
    (tmp_path / "set" / "waste_streams.csv").write_text(streams, encoding="utf-8")
    run("load", "set")
    refused = run("stock", "undo", "1")
    assert "Entry 1 is how waste containers began, which cannot be undone." in refused.stderr
