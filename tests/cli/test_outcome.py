import pytest
import typer

from prepstore.cli.outcome import answers, end_with, put_off
from prepstore.ledger.errors import StoreError
from prepstore.problems import Place, Problem, ProblemsError
from prepstore.report.errors import ReportError


def _ends(error: Exception, capsys: pytest.CaptureFixture[str]) -> str:
    @answers
    def command() -> None:
        raise error

    with pytest.raises(typer.Exit) as ended:
        command()
    assert ended.value.exit_code == 1
    said = capsys.readouterr()
    assert said.out == ""
    return said.err


def test_problems_are_a_sentence_each_and_a_count(capsys: pytest.CaptureFixture[str]) -> None:
    problems = [
        Problem("x", Place("items.csv", "items", row, "unit"), "'kg' is wrong.", "Use g.")
        for row in (2, 3)
    ]
    assert _ends(ProblemsError(problems), capsys).splitlines() == [
        "table items, row 2, column unit: 'kg' is wrong. Use g.",
        "table items, row 3, column unit: 'kg' is wrong. Use g.",
        "2 mistakes; nothing was changed.",
    ]


@pytest.mark.parametrize("error", [StoreError("No store."), ReportError("No store.")])
def test_what_cannot_be_used_is_a_sentence(
    error: Exception, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _ends(error, capsys) == "No store.\n"


def test_a_file_that_cannot_be_written_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    error = PermissionError(13, "Permission denied", "plan.json")
    assert _ends(error, capsys) == "plan.json cannot be used: Permission denied.\n"


def test_a_fault_of_our_own_is_not_taken_for_one_of_theirs() -> None:
    @answers
    def command() -> None:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        command()


def test_what_is_put_off_is_told_in_the_end_each_with_its_sentence(
    capsys: pytest.CaptureFixture[str],
) -> None:
    failed: list[Exception] = []
    for error in (ReportError("No workbook."), PermissionError(13, "Permission denied", "a.json")):
        with put_off(failed):
            raise error
    with pytest.raises(ExceptionGroup) as group:
        end_with(failed)
    assert _ends(group.value, capsys) == (
        "No workbook.\na.json cannot be used: Permission denied.\n"
    )
    end_with([])


def test_who_has_seen_enough_is_not_put_off() -> None:
    with pytest.raises(BrokenPipeError), put_off([]):
        raise BrokenPipeError
