"""A secure line to a real server: who is believed, and what is said where nobody is.

The rules are those of PostgreSQL's manual, "SSL Support", "Client Verification of Server
Certificates".
"""

from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.ledger.place import ServerPlace
from tests.bad_input.small_set import folder_of
from tests.journeys.department import department
from tests.ledger.rows_of import store_with_lots
from tests.secure_relay import Authority, authority, secure_line, shown_for
from tests.servers import Server

pytestmark = pytest.mark.server


@dataclass(frozen=True)
class _Office:
    """A store behind a secure line, who signs the department's certificates, and somebody else."""

    store: ServerPlace
    port: int
    ours: Authority
    theirs: Authority
    folder: Path


@pytest.fixture
def office(server: Server, tmp_path: Path) -> _Office:
    store = store_with_lots(server.fresh(), L1="500")
    ours, theirs = authority(tmp_path, "ours"), authority(tmp_path, "theirs")
    return _Office(store, server.port, ours, theirs, tmp_path)


def _address(office: _Office, port: int, signer: Authority, mode: str = "verify-full") -> str:
    options = f"sslmode={mode}&sslrootcert={signer.certificate}"
    return f"postgresql://postgres@localhost:{port}/{office.store.name}?{options}"


def _run(address: str, *words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, ["--db", address, *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.stdout, result.stderr


def _refused(address: str) -> str:
    """Return the one sentence with which a command is refused; nothing is recorded."""
    code, stdout, stderr = _run(address, "stock", "use", "L1", "1 g", "--by", "Kim")
    assert (code, stdout) == (1, "")
    assert len(stderr.splitlines()) == 1
    assert stderr.endswith(".\n")
    return stderr


def _held(office: _Office) -> str:
    code, listed, _ = _run(office.store.address, "stock", "list", "--csv")
    assert code == 0
    return listed


def test_over_a_line_with_the_right_certificate_one_reads_and_records(office: _Office) -> None:
    shown = shown_for(office.ours, office.folder, "localhost")
    with secure_line(office.port, shown) as (port, versions):
        address = _address(office, port, office.ours)
        code, said, told = _run(address, "stock", "use", "L1", "120 g", "--by", "Kim")
        assert (code, told) == (0, "")
        assert "Recorded as entry 2" in said
        code, listed, _ = _run(address, "stock", "list", "--csv")
        assert code == 0
    assert "380 g" in listed
    assert listed == _held(office)
    assert versions
    assert set(versions) <= {"TLSv1.2", "TLSv1.3"}


def test_a_whole_set_goes_over_a_secure_line(office: _Office, server: Server) -> None:
    shown = shown_for(office.ours, office.folder, "localhost")
    new = replace(office, store=server.fresh())
    with secure_line(office.port, shown) as (port, _):
        first = folder_of(department(), office.folder / "first")
        code, _, told = _run(_address(new, port, office.ours), "load", str(first))
        assert (code, told) == (0, "")
        assert _run(_address(new, port, office.ours), "check")[0] == 0
    assert "strong acid" in _held(new)


@pytest.mark.parametrize("mode", ["verify-ca", "verify-full"])
def test_who_is_signed_by_somebody_unknown_is_not_believed(mode: str, office: _Office) -> None:
    shown = shown_for(office.theirs, office.folder, "localhost")
    with secure_line(office.port, shown) as (port, versions):
        said = _refused(_address(office, port, office.ours, mode))
    assert "is not as secure as is asked for" in said
    assert "certificate verify failed" in said
    assert "about its certificate (sslrootcert, sslmode)" in said
    assert versions == []
    assert "500 g" in _held(office)


def test_another_host_s_certificate_is_not_believed(office: _Office) -> None:
    shown = shown_for(office.ours, office.folder, "db.example.org")
    with secure_line(office.port, shown) as (port, _):
        said = _refused(_address(office, port, office.ours))
        assert "is not as secure as is asked for" in said
        assert (
            'server certificate for "db.example.org" does not match host name "localhost"' in said
        )
        # Whose name it has does not count where only the signer is asked for.
        assert _run(_address(office, port, office.ours, "verify-ca"), "check")[0] == 0


def test_a_certificate_that_has_run_out_is_not_believed(office: _Office) -> None:
    shown = shown_for(office.ours, office.folder, "localhost", days=-1)
    with secure_line(office.port, shown) as (port, _):
        said = _refused(_address(office, port, office.ours))
    assert "is not as secure as is asked for" in said
    assert "certificate" in said


def test_a_server_without_a_secure_line_is_not_taken_where_one_is_asked_for(
    office: _Office,
) -> None:
    for mode in ("require", "verify-full"):
        said = _refused(_address(office, office.port, office.ours, mode))
        assert "server does not support SSL, but SSL was required" in said
        assert "is not as secure as is asked for" in said


def test_a_file_of_signers_that_is_not_there_is_told(office: _Office) -> None:
    shown = shown_for(office.ours, office.folder, "localhost")
    missing = replace(office.ours, certificate=office.folder / "none.crt")
    with secure_line(office.port, shown) as (port, _):
        said = _refused(_address(office, port, missing))
    assert "is not as secure as is asked for" in said
    assert "none.crt" in said


def test_a_server_that_insists_on_a_secure_line_is_told_to_be_out_of_reach(
    office: _Office,
) -> None:
    shown = shown_for(office.ours, office.folder, "localhost")
    with secure_line(office.port, shown) as (port, _):
        said = _refused(_address(office, port, office.ours, "disable"))
    assert "cannot be reached" in said
