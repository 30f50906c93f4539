"""How often a command goes to a server and back, in a small store and in a large one."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.ledger.store import copy_whole
from tests.benchmarks.growth import grow
from tests.relay import Relay, relayed
from tests.servers import Server

pytestmark = pytest.mark.server

BOOKING, PLAN = 8, 25
"""The most trips that were agreed on, connecting included: issue of the server, part 6."""

SESSIONS, MOVEMENTS = 1_500, 20_000


@pytest.fixture(scope="module")
def stores(tmp_path_factory: pytest.TempPathFactory, server: Server) -> dict[str, str]:
    """The sample in a database, and in another one with years of history and sessions to come."""
    folder = tmp_path_factory.mktemp("stores")
    small, large = folder / "small.db", folder / "large.db"
    done = CliRunner().invoke(app, ["--db", str(small), "load", "sample_inventory"])
    assert done.exit_code == 0, done.output
    shutil.copy(small, large)
    grow(large, MOVEMENTS)
    _add_sessions(large)
    names = {}
    for name, file in (("small", small), ("large", large)):
        place = server.fresh()
        copy_whole(file, place)
        names[name] = place.name
    return names


def _add_sessions(store: Path) -> None:
    with closing(sqlite3.connect(store)) as ledger, ledger:
        ledger.executemany(
            'INSERT INTO timetable (key, session, practical, date, start, "end", students) '
            "SELECT ?, ?, practical, ?, start, \"end\", '4' FROM timetable LIMIT 1",
            [
                (f"later-{turn}", f"Later-{turn}", f"2028-{turn % 12 + 1:02}-{turn % 28 + 1:02}")
                for turn in range(SESSIONS)
            ],
        )


@pytest.fixture
def relay(server: Server) -> Iterator[Relay]:
    with relayed(server.port) as one:
        yield one


@pytest.mark.parametrize("size", ["small", "large"])
@pytest.mark.parametrize(
    ("most", "words"),
    [
        (BOOKING, "stock use L0104 1mL"),
        (BOOKING, "stock use --session W10-Mon-1"),
        (BOOKING, "stock use L0104 1mL --session W10-Mon-1"),
        (PLAN, "plan --week 2027-W10 --today 2027-03-03"),
    ],
)
def test_a_command_makes_few_trips(  # noqa: PLR0917 - fixtures and the case
    most: int,
    words: str,
    size: str,
    relay: Relay,
    stores: dict[str, str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-08")
    address = f"postgresql://postgres@127.0.0.1:{relay.port}/{stores[size]}"
    done = CliRunner().invoke(app, ["--db", address, *words.split()])
    assert done.exit_code == 0, done.output
    # To connect takes three at least: TCP's beginning, the question for TLS, the user's name.
    assert 3 < relay.trips <= most, (relay.trips, most)
