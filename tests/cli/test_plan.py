import csv
import json
import os
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

import openpyxl
import pytest

from prepstore.ledger.errors import StoreError
from tests.cli.conftest import SAMPLE, WEEK, Run
from tests.ledger.faults import ORDINARY_USER, device, refused


def test_a_plan_writes_the_workbook_of_its_week_and_says_where(run_sample: Run) -> None:
    result = run_sample("plan", *WEEK)
    assert result.exit_code == 0, result.output
    assert Path("plan-2027-W10.xlsx").exists()
    assert "Workbook: plan-2027-W10.xlsx" in result.stdout


def test_the_summary_fits_80_columns_and_answers_in_order(run_sample: Run) -> None:
    shown = run_sample("plan", *WEEK, "--json", "plan.json").stdout
    assert max(len(line) for line in shown.splitlines()) <= 80
    headings = ["\nLate\n", "\nOrder by\n", "\nMake up\n", "\nWaste to allow for\n"]
    places = [shown.index(heading) for heading in headings]
    assert places == sorted(places)


def test_json_on_standard_output_is_alone_there(run_sample: Run) -> None:
    result = run_sample("plan", *WEEK, "--json", "-")
    assert json.loads(result.stdout)["contract"] == 2
    assert not list(Path().glob("*.xlsx"))


def test_json_in_a_file_writes_no_workbook_unless_asked(run_sample: Run) -> None:
    run_sample("plan", *WEEK, "--json", "plan.json")
    assert not list(Path().glob("*.xlsx"))
    run_sample("plan", *WEEK, "--json", "plan.json", "--out", "week.xlsx")
    assert Path("week.xlsx").exists()
    assert json.loads(Path("plan.json").read_text("utf-8"))["period"]["week"] == "2027-W10"


def test_a_period_names_the_workbook_by_its_days(run_sample: Run) -> None:
    days = ("--from", "2027-03-08", "--to", "2027-03-09", "--today", "2027-03-03")
    assert run_sample("plan", *days).exit_code == 0
    assert Path("plan-2027-03-08-to-2027-03-09.xlsx").exists()


@pytest.mark.parametrize(
    "options",
    [
        [],
        ["--week", "2027-W54"],
        ["--week", "next"],
        ["--week", "2027-W10", "--from", "2027-03-08"],
        ["--from", "2027-03-08"],
        ["--from", "2027-03-09", "--to", "2027-03-08"],
        ["--week", "2027-W10", "--today", "3 March"],
        ["--week", "2027-W10", "--today", "2027-02-30"],
    ],
)
def test_wrong_usage_is_exit_code_2(run_sample: Run, options: list[str]) -> None:
    result = run_sample("plan", *options)
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_a_plan_without_a_store_says_how_to_make_one(run: Run) -> None:
    result = run("plan", "--week", "2027-W10")
    assert result.exit_code == 1
    assert "prepstore load" in result.stderr


def test_a_workbook_that_cannot_be_written_is_a_sentence(run_sample: Run) -> None:
    result = run_sample("plan", *WEEK, "--out", "no/such/folder/week.xlsx")
    assert result.exit_code == 1
    assert "Traceback" not in result.output
    assert "week.xlsx" in result.stderr


def test_a_trace_can_be_redone_with_a_calculator(run_sample: Run) -> None:
    shown = run_sample("trace", "ETHYL acetate", *WEEK).stdout
    # 3 x 20 mL x 1.25 for the replaced solvent = 75 mL; 24 students in pairs are 12 groups.
    assert "3 x 20 mL per group = 75 mL (x 1.25) x 12 sets x (1 + 30 % spare) = 1170 mL" in shown


def test_a_trace_of_an_unknown_item_proposes_the_nearest(run_sample: Run) -> None:
    result = run_sample("trace", "ethyl acetat", *WEEK)
    assert result.exit_code == 1
    assert "Did you mean ethyl acetate?" in result.stderr


def test_every_item_and_solution_has_a_trace(run_sample: Run) -> None:
    plan = json.loads(run_sample("plan", *WEEK, "--json", "-").stdout)
    names = [row["item"] for row in [*plan["stock"], *plan["apparatus"]]]
    for name in names[::9]:
        assert run_sample("trace", name, *WEEK).exit_code == 0, name


def test_waste_shows_streams_containers_and_days(run_sample: Run) -> None:
    shown = run_sample("waste", *WEEK).stdout
    assert "halogenated solvent" in shown
    assert "full on Fri 12 Mar" in " ".join(shown.split())
    assert max(len(line) for line in shown.splitlines()) <= 80


def test_waste_by_day_is_one_table(run_sample: Run) -> None:
    lines = run_sample("waste", *WEEK, "--by-day").stdout.splitlines()
    days = "Mon 8 Mar Tue 9 Mar Wed 10 Mar Thu 11 Mar Fri 12 Mar"
    assert " ".join(lines[0].split()) == f"{days} all"
    assert any(line.startswith("halogenated solvent") for line in lines)


def test_six_more_students_are_one_short_page(run_own: Run, tmp_path: Path) -> None:
    run_own("plan", *WEEK, "--json", "before.json")
    heading, *rows = (SAMPLE / "timetable.csv").read_text("utf-8").splitlines()
    [session] = [row for row in rows if row.startswith("W10-Tue-4,")]
    (tmp_path / "late").mkdir()
    more = session.replace(",30,", ",36,")
    (tmp_path / "late" / "timetable.csv").write_text(f"{heading}\n{more}\n", encoding="utf-8")
    assert run_own("load", "late").exit_code == 0
    result = run_own("plan", *WEEK, "--since", "before.json", "--out", "late.xlsx")
    assert result.exit_code == 0, result.output
    assert "W10-Tue-4 (INO-03): 6 students more, 6 sets more" in result.stdout
    assert "W10-Mon" not in result.stdout
    book = openpyxl.load_workbook("late.xlsx")
    assert book.sheetnames[:2] == ["Changes", "Week"]


def test_since_a_plan_of_another_period_is_wrong_usage(run_sample: Run) -> None:
    run_sample("plan", *WEEK, "--json", "before.json")
    other = ("--week", "2027-W11", "--today", "2027-03-03")
    result = run_sample("plan", *other, "--since", "before.json")
    assert result.exit_code == 2
    assert "2027-03-08 to 2027-03-14" in " ".join(result.output.split())


def test_waste_is_listed_for_other_programs_as_well(run_sample: Run) -> None:
    listed = json.loads(run_sample("waste", *WEEK, "--json").stdout)
    text = run_sample("waste", *WEEK, "--csv").stdout
    assert [row["stream"] for row in csv.DictReader(text.splitlines())] == [
        row["stream"] for row in listed
    ]


def test_a_plan_whose_workbook_cannot_be_written_is_shown_all_the_same(run_sample: Run) -> None:
    workbook = "no/such/folder/week.xlsx"
    result = run_sample("plan", *WEEK, "--out", workbook, "--json", "plan.json")
    assert result.exit_code == 1
    assert result.stdout.startswith("Week 2027-W10")
    assert "Workbook:" not in result.stdout
    assert result.stderr == f"{workbook} cannot be written: there is no folder no/such/folder.\n"
    assert json.loads(Path("plan.json").read_text("utf-8"))["period"]["week"] == "2027-W10"


def test_a_plan_whose_json_cannot_be_written_has_its_workbook(run_sample: Run) -> None:
    Path("loop").symlink_to("loop")
    result = run_sample("plan", *WEEK, "--out", "week.xlsx", "--json", "loop")
    assert result.exit_code == 1
    assert "Workbook: week.xlsx" in result.stdout
    assert result.stderr == "loop cannot be used: it is a link that leads back to itself.\n"
    assert Path("week.xlsx").exists()


def test_who_may_only_read_the_folder_sees_the_plan(run_sample: Run, sample_store: Path) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copy(sample_store, folder / "prepstore.db")
        folder.chmod(0o555)

        def plan() -> None:
            os.chdir(folder)
            result = run_sample("--db", "prepstore.db", "plan", *WEEK)
            raise StoreError(f"{result.exit_code} {result.stdout.splitlines()[0]} {result.stderr}")

        said = refused(plan, user=ORDINARY_USER)
        assert sorted(folder.iterdir()) == [folder / "prepstore.db"]
        folder.chmod(0o755)
    assert said.startswith("1 Week 2027-W10")
    assert "plan-2027-W10.xlsx cannot be written." in said


@pytest.mark.skipif(not hasattr(os, "mknod"), reason="Windows has no such devices")
def test_json_to_a_device_leaves_it_a_device(run_sample: Run, tmp_path: Path) -> None:
    null = device(tmp_path)
    assert run_sample("plan", *WEEK, "--json", str(null)).exit_code == 0
    assert null.is_char_device()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--json", ""), "No file is named. Give --json a file, or - for standard output."),
        (("--json", "  "), "No file is named."),
        (("--out", "x.xlsx", "--json", "./x.xlsx"), "for the workbook and for the JSON. Give two"),
    ],
)
def test_the_json_has_a_name_of_its_own(
    words: tuple[str, ...], says: str, run_sample: Run, tmp_path: Path
) -> None:
    result = run_sample("plan", *WEEK, *words)
    assert result.exit_code == 2
    assert says in " ".join(result.stderr.replace("│", " ").split())
    assert not (tmp_path / "x.xlsx").exists()
