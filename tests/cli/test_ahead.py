import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.benchmarks.ordering import department
from tests.cli.conftest import Run

TERM = ("--from", "2027-W10", "--weeks", "1", "--today", "2027-03-03")


def test_a_term_says_what_to_order_and_what_runs_short(run_sample: Run) -> None:
    result = run_sample("ahead", *TERM)
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("2027-W09 to 2027-W10, planned on Wed 3 Mar 2027\n")
    assert "\nOrders\n" in result.stdout
    assert "\nRuns short\n" in result.stdout
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert not list(Path().glob("*.xlsx"))


def test_json_on_standard_output_is_alone_there(run_sample: Run) -> None:
    found = json.loads(run_sample("ahead", *TERM, "--json", "-").stdout)
    assert found["weeks"] == ["2027-W09", "2027-W10"]
    assert 0 <= found["cost"]["total"] - found["cost"]["bound"] < 1


def test_the_workbook_and_the_json_are_written_where_asked(run_sample: Run) -> None:
    result = run_sample("ahead", *TERM, "--out", "term.xlsx", "--json", "term.json")
    assert "Workbook: term.xlsx" in result.stdout
    assert Path("term.xlsx").exists()
    assert json.loads(Path("term.json").read_text("utf-8"))["contract"] == 2


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--from", "2027-10"), "is not a week"),
        (("--from", "2027-W10", "--weeks", "0"), "greater than or equal to 1"),
        (("--from", "2027-W10", "--out", "term.csv"), ".xlsx"),
        (("--from", "2027-W05", "--weeks", "2", "--today", "2027-03-03"), "are over"),
    ],
)
def test_a_wrong_option_is_a_sentence(run_sample: Run, options: tuple[str, ...], says: str) -> None:
    result = run_sample("ahead", *options)
    assert result.exit_code == 2
    assert says in result.stderr


def test_the_same_tables_give_the_same_orders_in_every_process(sample_store: Path) -> None:
    program = "from prepstore.cli.main import run; run()"
    said = {
        subprocess.run(
            [
                sys.executable,
                "-c",
                program,
                "--db",
                str(sample_store),
                "ahead",
                *TERM,
                "--json",
                "-",
            ],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(said) == 1


def test_a_lot_that_nobody_uses_for_long_is_named_after_its_last_use(run_sample: Run) -> None:
    words = ("--from", "2029-W15", "--weeks", "1", "--today", "2029-04-09")
    text = " ".join(run_sample("ahead", *words).stdout.split())
    assert "are used by no session of the term, nor in the last 730 days" in text


@pytest.mark.slow
def test_a_long_search_can_be_interrupted(tmp_path: Path) -> None:
    tables = tmp_path / "tables"
    tables.mkdir()
    settings = "setting,value\nordering,jointly\nholding_cost,12 %\n"
    for name, text in {**department(), "settings": settings}.items():
        (tables / f"{name}.csv").write_text(text, "utf-8")
    prepstore = [str(Path(sys.executable).with_name("prepstore")), "--db", str(tmp_path / "p.db")]
    subprocess.run([*prepstore, "load", str(tables)], check=True, capture_output=True)
    term = ["ahead", "--from", "2027-W02", "--weeks", "12", "--today", "2027-01-04"]
    with subprocess.Popen([*prepstore, *term], stdout=subprocess.PIPE) as process:
        with pytest.raises(subprocess.TimeoutExpired):
            process.wait(timeout=12)  # by then it looks for the orders, for half a minute
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=10) == 130
