"""Which role a command wants; whether each has one is held to in journeys/test_roles.py."""

import pytest

from prepstore.cli.wanted_roles import wanted_by
from prepstore.ledger.role import Role
from tests.cli.conftest import Run


def test_what_has_no_context_wants_a_reader() -> None:
    assert wanted_by(None) is Role.READER


@pytest.mark.parametrize(
    ("words", "role"),
    [
        (("stock", "list"), Role.READER),
        (("waste",), Role.READER),
        (("waste", "add", "acid", "1 L"), Role.RECORDER),
        (("load", "nowhere"), Role.KEEPER),
        (("store", "copy", "a.db", "b.db"), Role.OWNER),
    ],
)
def test_the_running_command_says_what_it_wants(
    words: tuple[str, ...], role: Role, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[Role] = []
    monkeypatch.setattr("prepstore.cli.wanted_roles.WANTED", _Noting(seen))
    run("--db", "none.db", *words)
    # A group's own command is asked first.
    assert seen[-1] is role


class _Noting:
    def __init__(self, seen: list[Role]) -> None:
        self.set = seen.append

    def reset(self, _: object) -> None:
        """Leave it noted."""


def test_a_file_needs_no_roles(run_own: Run) -> None:
    said = run_own("store", "roles")
    assert said.exit_code == 1
    assert said.stderr.startswith("prepstore.db is a file, and needs no roles: whoever can read")
