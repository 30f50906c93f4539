"""What all tests share: the command line is built once, and the laws' chances may be others."""

import gc
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypeVar

import pytest
from hypothesis import settings
from typer.main import get_command

from prepstore.ledger.place import Place
from prepstore.planning.ordering.model import Question
from prepstore.planning.ordering.solve import LONGEST_SECONDS, answer, least_cost

if TYPE_CHECKING:
    from tests.servers import Server

Places = Callable[[str], Place]
"""From a name to a place without a store: always the same one for a name."""

KeptIn = Callable[[Path], Place]
"""From a folder to a place without a store."""

MOST_ANSWERS = 500
"""That are remembered at a time."""

IN_MEMORY = Path("/dev/shm")
"""A folder that Linux keeps in memory."""

ROOM = 2**30
"""More than all tests want at a time, bytes."""

Found = TypeVar("Found")

# With SEED set, as in `.ci/run`, laws are tried on other cases each time.
settings.register_profile("same", derandomize=True, database=None, deadline=None)
settings.register_profile("chance", derandomize=False, database=None, deadline=None)
settings.load_profile("chance" if os.environ.get("SEED") else "same")


@pytest.fixture(scope="session", autouse=True)
def _one_command_line() -> Iterator[None]:
    """Build the commands once: a test runner builds them anew for each call, in 50 ms."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("typer.testing._get_command", cache(get_command))
        yield


def pytest_configure(config: pytest.Config) -> None:
    """Let quick tests keep their folders in memory: a disk is waited for at each commit.

    The slow tests, which cut commands off, work on the disk; so do all where TMPDIR says where.
    """
    is_quick = "not slow" in config.option.markexpr and "TMPDIR" not in os.environ
    if is_quick and _has_room(IN_MEMORY):
        os.environ["TMPDIR"] = tempfile.tempdir = str(IN_MEMORY)


def _has_room(folder: Path) -> bool:
    return os.access(folder, os.W_OK) and shutil.disk_usage(folder).free > ROOM


def _remembered(answered: Callable[..., Found]) -> Callable[..., Found]:
    """Return what answers a question of orders once, and as it did then from then on."""
    answers: dict[str, Found] = {}

    def remembered(question: Question, seconds: float = LONGEST_SECONDS) -> Found:
        asked = f"{seconds} {question!r}"
        if asked not in answers:
            if len(answers) == MOST_ANSWERS:
                answers.clear()
            answers[asked] = answered(question, seconds)
        return answers[asked]

    return remembered


@pytest.fixture(scope="session", autouse=True)
def _each_question_of_orders_once() -> Iterator[None]:
    """Remember the answers, which follow from their questions: the sample's is asked by hundreds.

    The tests of the solver itself ask it each time.
    """
    with pytest.MonkeyPatch.context() as patch:
        for module in ("ordering.jointly", "ahead.term_orders"):
            patch.setattr(f"prepstore.planning.{module}.answer", _remembered(answer))
        for module in ("ordering.jointly", "ahead.make_or_buy"):
            patch.setattr(f"prepstore.planning.{module}.least_cost", _remembered(least_cost))
        yield


@pytest.fixture(scope="session", autouse=True)
def _no_screen() -> Iterator[None]:
    """Let lists be as wide as they are, whoever runs the tests, and wherever."""

    def no_terminal(*_: int) -> os.terminal_size:
        raise OSError

    with pytest.MonkeyPatch.context() as patch:
        patch.delenv("COLUMNS", raising=False)
        patch.setattr(os, "get_terminal_size", no_terminal)
        yield


@pytest.fixture(scope="session")
def server() -> Iterator["Server"]:
    """A real PostgreSQL, started once; whoever needs it is skipped where none can start."""
    from tests.servers import NoServerError, running  # noqa: PLC0415 - of some tests alone

    up = running()
    try:
        found = up.__enter__()
    except NoServerError as error:
        _without_a_server(str(error))
    try:
        yield found
    finally:
        up.__exit__(None, None, None)


def _without_a_server(why: str) -> NoReturn:
    """Skip, or fail where SERVER says that it is required, as in `.ci/run`."""
    if os.environ.get("SERVER") == "required":
        pytest.fail(f"SERVER=required, but there is none: {why}")
    pytest.skip(f"no PostgreSQL: {why}")


@pytest.fixture(params=["file", pytest.param("server", marks=pytest.mark.server)])
def places(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Places]:
    """Places in files, and once more on a server: each a database of its own."""
    if request.param == "file":
        yield lambda name: tmp_path / name
        return
    on: Server = request.getfixturevalue("server")
    made: dict[str, Place] = {}

    def place_named(name: str) -> Place:
        if name not in made:
            made[name] = on.fresh()
        return made[name]

    yield place_named
    for one in made.values():
        on.drop(one.name)


@pytest.fixture
def place(places: Places) -> Place:
    """A place without a store, in a file and once more on a server."""
    return places("prepstore.db")


@pytest.fixture(scope="session", params=["file", pytest.param("server", marks=pytest.mark.server)])
def kept_in(request: pytest.FixtureRequest) -> KeptIn:
    """From a folder to a place without a store; for laws, which need one for each of their cases.

    On a server the place is the same each time, and emptied.
    """
    if request.param == "file":
        return lambda folder: folder / "prepstore.db"
    on: Server = request.getfixturevalue("server")
    place = on.fresh()
    return lambda _: on.emptied(place)


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Iterator[None]:
    """Let nobody look for cycles to clear up while thousands of tests are collected, which stay."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test that draws its cases as a law, so that `.ci/run` can draw others."""
    for item in items:
        if getattr(getattr(item, "function", None), "is_hypothesis_test", False):
            item.add_marker(pytest.mark.law)


def pytest_collection_finish() -> None:
    """Let the collector of cycles pass over thousands of tests, and come seldom: as in a command.

    The command line itself works without it, since the system clears up after a command.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 50)
