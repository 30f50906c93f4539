import gc
from collections.abc import Iterator
from pathlib import Path

import pytest

from prepstore import __version__
from prepstore.cli import main
from tests.cli.conftest import SAMPLE, Run


def test_the_version_is_shown(run: Run) -> None:
    assert run("--version").stdout == f"prepstore {__version__}\n"


def test_help_names_every_command(run: Run) -> None:
    shown = run("--help").stdout
    for command in ("demo", "load", "export", "plan", "trace", "waste", "stock", "order"):
        assert command in shown


def test_a_command_that_is_not_known_is_wrong_usage(run: Run) -> None:
    assert run("plann").exit_code == 2


def test_the_store_is_named_by_the_environment(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_DB", str(tmp_path / "elsewhere.db"))
    assert run("load", str(SAMPLE)).exit_code == 0
    assert (tmp_path / "elsewhere.db").exists()


@pytest.fixture
def _collecting() -> Iterator[None]:
    """Let memory be freed again afterwards, which the command line leaves to the process's end."""
    yield
    gc.enable()


@pytest.mark.usefixtures("_collecting")
def test_a_fault_of_our_own_is_a_sentence_and_no_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken() -> None:
        raise ZeroDivisionError("a bug")

    monkeypatch.setattr(main, "app", broken)
    with pytest.raises(SystemExit) as stopped:
        main.run()
    assert stopped.value.code == 1
    said = capsys.readouterr().err
    assert "a fault in prepstore (ZeroDivisionError: a bug)" in said
    assert "Traceback" not in said
