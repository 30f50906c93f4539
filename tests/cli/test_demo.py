from pathlib import Path

from tests.cli.conftest import Run


def test_the_demo_ends_with_a_workbook_and_what_to_try(run: Run) -> None:
    result = run("demo")
    assert result.exit_code == 0, result.output
    assert Path("prepstore-demo/plan-2027-W10.xlsx").exists()
    assert ' trace "ethyl acetate" --week 2027-W10' in result.stdout


def test_the_demo_can_be_made_again(run: Run) -> None:
    assert run("demo", "trial").exit_code == 0
    Path("trial/prepstore.db-wal").write_bytes(b"of a demo that was cut off")
    assert run("demo", "trial").exit_code == 0


def test_the_demo_leaves_a_folder_with_other_files_alone(run: Run, tmp_path: Path) -> None:
    (tmp_path / "prepstore.db").write_bytes(b"a store of somebody's")
    assert run("demo", ".").exit_code == 2
    assert (tmp_path / "prepstore.db").read_bytes() == b"a store of somebody's"
    assert [file.name for file in tmp_path.iterdir()] == ["prepstore.db"]
