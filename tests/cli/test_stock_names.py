import csv
import json
from pathlib import Path

import pytest

from tests.cli.conftest import SAMPLE, WEEK, Run

WHO = ("--by", "Marit Dunmore", "--on", "2027-03-03")


def test_a_rename_says_where_the_name_stood_and_can_be_undone(run_own: Run) -> None:
    before = run_own("stock", "list", "--json").stdout
    said = run_own("stock", "rename", "Acetone", "propanone", *WHO).stdout
    assert said.splitlines() == [
        "acetone is called propanone from now on",
        "renamed in: items 1, solution_parts 1, practical_lines 6, stock 2, packs 5",
        "Recorded as entry 2. To undo it: prepstore stock undo 2",
    ]
    assert run_own("stock", "list", "--json").stdout == before.replace(
        '"item": "acetone"', '"item": "propanone"'
    )
    assert run_own("stock", "undo", "2", *WHO).exit_code == 0
    assert run_own("stock", "list", "--json").stdout == before


def test_a_store_is_exported_with_its_new_names_and_loads_again(
    run_own: Run, tmp_path: Path
) -> None:
    run_own("stock", "rename", "acetone", "propanone", *WHO)
    run_own("stock", "rename", "acetone-water 1:1", "acetone", *WHO)  # the name is free
    assert run_own("export", "tables").exit_code == 0
    assert "changes nothing" in run_own("load", "tables").stdout
    items = (tmp_path / "tables" / "items.csv").read_text("utf-8").splitlines()
    assert [line.split(",")[0] for line in items] == [
        line.split(",")[0].replace("acetone", "propanone")
        for line in (SAMPLE / "items.csv").read_text("utf-8").splitlines()
    ]


def test_a_plan_is_the_same_but_for_the_name(run_own: Run) -> None:
    plan = ("plan", *WEEK, "--json", "-")
    before = json.loads(run_own(*plan).stdout)
    run_own("stock", "rename", "acetone", "propanone", *WHO)
    after = json.loads(run_own(*plan).stdout)
    renamed = json.loads(json.dumps(before).replace('"acetone"', '"propanone"'))
    for figures in ("needs", "stock", "orders", "making_up"):
        assert after[figures] == renamed[figures], figures


def test_a_set_that_still_has_the_old_name_is_told_the_new_one(run_own: Run) -> None:
    run_own("stock", "rename", "acetone", "propanone", *WHO)
    told = run_own("load", str(SAMPLE))
    assert told.exit_code == 1
    wanted = "'acetone' was renamed to 'propanone' on 2027-03-03. Write the new name."
    sentences = told.stderr.splitlines()
    assert len(sentences) == 1 + 1 + 6 + 2 + 5 + 1
    assert all(sentence.endswith(wanted) for sentence in sentences[:-1])


def test_what_sessions_used_goes_by_the_new_name(run_own: Run) -> None:
    booked = run_own("stock", "use", "acetone", "250 mL", "--session", "W10-Wed-1", *WHO)
    assert booked.exit_code == 0
    run_own("stock", "rename", "acetone", "propanone", *WHO)
    run_own("stock", "rename", "ORG-01", "ORG-11", *WHO)
    (row,) = json.loads(run_own("stock", "usage", "--item", "propanone", "--json").stdout)
    assert (row["practical"], row["item"], row["used"]) == ("ORG-11", "propanone", 250)
    for words in (("usage", "--item", "acetone"), ("list", "--item", "acetone")):
        told = run_own("stock", *words).stderr
        assert "'acetone' has been called propanone since 2027-03-03." in told


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("rename", "acetoen", "x"), "Did you mean acetone?"),
        (("rename", "acetone", "ethyl acetate"), "There is ethyl acetate already"),
        (("retire", "acetone"), "Practical ORG-01 uses acetone"),
        (("retire", "PHY-04", "--on", "2027-03-05"), "Session W10-Mon-4 runs PHY-04"),
        (("retire", "acetone", "--reinstate"), "acetone is not retired"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    words: tuple[str, ...], says: str, run_sample: Run
) -> None:
    result = run_sample("stock", *words)
    assert result.exit_code == 1
    assert says in result.stderr
    assert result.stderr.endswith("Nothing was changed.\n")


def test_a_kind_that_is_none_is_wrong_usage(run_sample: Run) -> None:
    assert run_sample("stock", "rename", "acetone", "x", "--kind", "lot").exit_code == 2


def test_a_trial_changes_nothing(run_sample: Run) -> None:
    shown = run_sample("stock", "rename", "acetone", "propanone", "--dry-run").stdout
    assert shown.endswith("Nothing was recorded.\n")
    assert "acetone" in run_sample("stock", "list", "--item", "acetone").stdout


def test_a_practical_is_retired_reinstated_and_told_of(run_own: Run) -> None:
    said = run_own("stock", "retire", "ana-05", "--by", "Marit Dunmore", "--on", "2027-04-01")
    assert said.stdout.startswith("ANA-05 is retired from 2027-04-01 on")
    run_own("stock", "retire", "ANA-05", "--reinstate", "--reason", "paper is sold again", *WHO)
    shown = run_own("stock", "names").stdout.splitlines()
    assert [line.split()[0] for line in shown[1:3]] == ["2", "3"]
    assert shown[2].endswith("paper is sold again")
    listed = json.loads(run_own("stock", "names", "--json").stdout)
    assert [one["what"] for one in listed] == ["retired", "reinstated"]
    text = run_own("stock", "names", "--csv").stdout
    assert [row["was"] for row in csv.DictReader(text.splitlines())] == ["ANA-05", "ANA-05"]


def test_what_was_reinstated_and_is_used_again_cannot_be_undone(run_own: Run) -> None:
    assert run_own("stock", "retire", "ANA-05", "--on", "2027-04-01").exit_code == 0
    assert run_own("stock", "retire", "ANA-05", "--reinstate").exit_code == 0
    timetable = "session,practical,date,students\nLate,ANA-05,2027-04-08,8\n"
    Path("more").mkdir()
    Path("more/timetable.csv").write_text(timetable, encoding="utf-8")
    assert run_own("load", "more").exit_code == 0
    refused = run_own("stock", "undo", "3")
    assert "Session Late runs ANA-05 on 2027-04-08" in refused.stderr
    assert run_own("plan", "--week", "2027-W14", "--today", "2027-04-01").exit_code == 0


def test_what_a_session_used_under_another_name_is_undone_under_the_new_one(
    run: Run, stock: Run
) -> None:
    assert stock("use", "--session", "W10-Mon-4", "--as-far-as-there-is").exit_code == 0
    assert stock("rename", "acetone", "propanone").exit_code == 0
    assert stock("rename", "hydrochloric acid 2 mol/L", "acid 2 mol/L").exit_code == 0
    assert stock("undo", "2").exit_code == 0
    checked = run("check")
    assert (checked.exit_code, checked.stderr) == (0, "")
