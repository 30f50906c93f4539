import csv
import json

from tests.cli.conftest import Run


def test_lots_of_an_item_are_listed_with_their_place(run_sample: Run) -> None:
    shown = run_sample("stock", "list", "--item", "Acetone").stdout
    assert "L0236" in shown
    assert "flammables cabinet B" in shown
    assert shown.endswith("2 lots\n")


def test_lots_at_a_place_are_listed(run_sample: Run) -> None:
    lines = run_sample("stock", "list", "--place", "flammables cabinet B").stdout.splitlines()
    assert all("flammables cabinet B" in line for line in lines[1:-1])
    assert len(lines) > 3


def test_an_unknown_item_is_answered_with_the_nearest(run_sample: Run) -> None:
    result = run_sample("stock", "list", "--item", "acetoen")
    assert result.exit_code == 1
    assert "Did you mean acetone?" in result.stderr


def test_lots_are_listed_for_other_programs_as_well(run_sample: Run) -> None:
    listed = json.loads(run_sample("stock", "list", "--item", "acetone", "--json").stdout)
    assert [lot["lot"] for lot in listed] == ["L0236", "L0237"]
    text = run_sample("stock", "list", "--item", "acetone", "--csv").stdout
    assert list(csv.DictReader(text.splitlines())) == listed
    assert run_sample("stock", "list", "--json", "--csv").exit_code == 2
