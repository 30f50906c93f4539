from collections.abc import Callable
from pathlib import Path

from typer.testing import Result

Run = Callable[..., Result]
TODAY = ("--today", "2027-03-03")


def test_a_session_s_page_is_told_on_the_screen(run_sample: Run) -> None:
    told = run_sample("cautions", "--session", "w10-mon-1", *TODAY)
    assert told.exit_code == 0, told.output
    assert told.stdout.startswith("W10-Mon-1 · ORG-02 ")
    text = " ".join(told.stdout.split())
    assert "On the benches" in text
    assert "of carbon dioxide" in text
    assert "Waste containers to stand by" in text


def test_it_is_written_as_a_pdf_of_one_page(run_sample: Run, tmp_path: Path) -> None:
    file = tmp_path / "c.pdf"
    told = run_sample("cautions", "--session", "W10-Thu-4", *TODAY, "--out", str(file))
    assert told.exit_code == 0, told.output
    assert file.read_bytes().startswith(b"%PDF")
    assert run_sample("cautions", "--session", "W10-Thu-4", "--out", "c.txt").exit_code == 2


def test_a_session_that_is_over_is_told_too(run_sample: Run) -> None:
    assert run_sample("cautions", "--session", "W09-Tue-1", *TODAY).exit_code == 0


def test_a_session_that_is_not_known_is_refused_with_the_nearest(run_sample: Run) -> None:
    told = run_sample("cautions", "--session", "W10-Mon-9", *TODAY)
    assert told.exit_code == 1
    assert "'W10-Mon-9' is not a known session. Did you mean W10-Mon-" in told.stderr
