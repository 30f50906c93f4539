import json
from pathlib import Path

import pytest

from prepstore.planning.changes import changes_between, figures_of
from prepstore.planning.plan import Plan
from prepstore.report.earlier_plan import read_earlier_plan
from prepstore.report.errors import ReportError
from prepstore.report.plan_json import plan_json


def test_a_plan_read_back_differs_in_nothing_from_itself(sample_plan: Plan, tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(plan_json(sample_plan), encoding="utf-8")
    assert changes_between(read_earlier_plan(file), figures_of(sample_plan)).is_empty


@pytest.mark.parametrize(
    "text",
    [
        "",
        "not json",
        "[]",
        '{"contract": 2}',
        '{"contract": 1}',
        '{"contract": 1, "period": {"from": "x", "to": "y"}, "making_up": []}',
        "[" * 100_000,
    ],
)
def test_what_is_no_plan_is_a_sentence(text: str, tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(text)
    with pytest.raises(ReportError, match="Give a file that prepstore plan --json wrote"):
        read_earlier_plan(file)


def test_a_plan_with_a_word_for_a_number_is_a_sentence(sample_plan: Plan, tmp_path: Path) -> None:
    rows = json.loads(plan_json(sample_plan))
    rows["making_up"][0]["volume_mL"] = "plenty"
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(rows))
    with pytest.raises(ReportError, match="lacks what a plan holds"):
        read_earlier_plan(file)


def test_a_file_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(ReportError, match="cannot be read"):
        read_earlier_plan(tmp_path / "none.json")
