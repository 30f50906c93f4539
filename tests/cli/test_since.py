import shutil
from pathlib import Path

import openpyxl
import pytest
from typer.testing import CliRunner, Result

from prepstore.cli.main import app
from tests.cli.conftest import WEEK, Run

REMEDY = "Give a file that prepstore plan --json wrote."


@pytest.fixture(scope="module")
def earlier(sample_store: Path, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("earlier") / "plan.json"
    words = ("--db", str(sample_store), "plan", *WEEK, "--json", str(path))
    assert CliRunner().invoke(app, words).exit_code == 0
    return path.read_bytes()


@pytest.fixture
def kept(run: Run, earlier: bytes) -> bytes:  # noqa: ARG001 - it gives a folder of one's own
    """Return the bytes of an earlier plan, kept as before.json."""
    Path("before.json").write_bytes(earlier)
    return earlier


def _said(result: Result) -> str:
    """Return what standard error says, on one line and without the frame of wrong usage."""
    return " ".join(result.stderr.replace("│", " ").split())


@pytest.mark.parametrize(
    "spelled", ["before", "./before", "../{folder}/before", "{whole}/before", "link"]
)
@pytest.mark.parametrize(("option", "ending"), [("--json", ".json"), ("--out", ".xlsx")])
def test_the_earlier_plan_is_not_written_over(
    option: str, ending: str, spelled: str, run_sample: Run, kept: bytes
) -> None:
    since = Path("before.json").rename(f"before{ending}")
    Path(f"link{ending}").symlink_to(since)
    here = Path.cwd()
    file = spelled.format(folder=here.name, whole=here) + ending
    there = sorted(here.iterdir())
    result = run_sample("plan", *WEEK, "--since", str(since), option, file)
    assert result.exit_code == 2
    assert "is the earlier plan of --since, which would be written over." in _said(result)
    assert result.stdout == ""
    assert since.read_bytes() == kept
    assert sorted(here.iterdir()) == there


def test_the_workbook_of_the_week_is_not_written_over_the_earlier_plan(
    run_sample: Run, kept: bytes
) -> None:
    shutil.move("before.json", "plan-2027-W10.xlsx")
    result = run_sample("plan", *WEEK, "--since", "plan-2027-W10.xlsx")
    assert result.exit_code == 2
    assert "would be written over" in _said(result)
    assert Path("plan-2027-W10.xlsx").read_bytes() == kept


def test_another_file_of_the_same_name_is_written(run_sample: Run, kept: bytes) -> None:
    Path("late").mkdir()
    options = ("--since", "before.json", "--json", "late/before.json")
    assert run_sample("plan", *WEEK, *options).exit_code == 0
    assert Path("late/before.json").read_bytes() == kept


def test_an_earlier_plan_of_a_later_day_is_refused(run_sample: Run, kept: bytes) -> None:
    shutil.move("before.json", "later.json")
    earlier = ("--week", "2027-W10", "--today", "2027-03-02")
    result = run_sample("plan", *earlier, "--since", "later.json", "--out", "late.xlsx")
    assert result.exit_code == 2
    assert "later.json was planned on 2027-03-03, after 2027-03-02, the day of this plan." in (
        _said(result)
    )
    assert not Path("late.xlsx").exists()
    assert Path("later.json").read_bytes() == kept


def test_what_differs_goes_to_standard_error_where_json_goes_to_standard_output(
    run_sample: Run, kept: bytes
) -> None:
    result = run_sample("plan", *WEEK, "--since", "before.json", "--json", "-")
    assert result.exit_code == 0
    assert result.stdout.encode() == kept
    assert result.stderr.startswith("Changes since before.json\nNothing differs.\n")


def test_what_differs_stands_in_the_workbook_beside_json_on_standard_output(
    run_sample: Run, kept: bytes
) -> None:
    options = ("--since", "before.json", "--json", "-", "--out", "late.xlsx")
    result = run_sample("plan", *WEEK, *options)
    assert result.stdout.encode() == kept
    assert "Workbook: late.xlsx" in result.stderr
    assert openpyxl.load_workbook("late.xlsx").sheetnames[0] == "Changes"


@pytest.mark.parametrize("blank", ["", "  "])
def test_since_no_name_is_wrong_usage(blank: str, run_sample: Run) -> None:
    result = run_sample("plan", *WEEK, "--since", blank)
    assert result.exit_code == 2
    assert f"No file is named. {REMEDY}" in _said(result)
    assert not list(Path().glob("*.xlsx"))


def test_since_a_folder_is_a_sentence(run_sample: Run) -> None:
    Path("plans").mkdir()
    result = run_sample("plan", *WEEK, "--since", "plans")
    assert result.exit_code == 1
    assert result.stderr == f"plans is a folder, not a file. {REMEDY}\n"
    assert not list(Path().glob("*.xlsx"))
