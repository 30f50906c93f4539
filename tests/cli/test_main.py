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


NOBODY_LISTENS = "127.0.0.1:1"


@pytest.mark.parametrize("named", ["by option", "by environment"])
def test_a_password_in_the_address_of_a_server_is_warned_about_and_never_told(
    named: str, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = f"postgresql://kim:S3cr%21t@{NOBODY_LISTENS}/prep"
    if named == "by environment":
        monkeypatch.setenv("PREPSTORE_DB", address)
    said = run(*(["--db", address] if named == "by option" else []), "stock", "list")
    assert said.exit_code == 1
    warning, sentence = said.stderr.splitlines()
    assert "has a password in it" in warning
    assert sentence.startswith(
        f"The server of postgresql://kim@{NOBODY_LISTENS}/prep cannot be reached ("
    )
    assert "S3cr" not in said.output


def test_an_address_that_cannot_be_read_is_wrong_usage_and_not_repeated(run: Run) -> None:
    said = run("--db", "postgresql://kim:S3/cr!t@db/prep", "stock", "list")
    assert said.exit_code == 2
    assert "cannot be read" in said.stderr
    assert "cr!t" not in said.output


def test_a_server_is_no_file_for_a_backup(run: Run, tmp_path: Path) -> None:
    for command in ("backup", "restore"):
        said = run(command, "postgresql://kim:S3cr!t@db/prep")
        assert said.exit_code == 2
        assert "no file" in said.stderr
        assert "S3cr" not in said.output
    assert list(tmp_path.iterdir()) == []


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
