import os
import platform
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest

from prepstore.parts import clear_parts, part_beside, private_folder

needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="Windows has no fork")

LEFT_BY_A_KILL = """
import os, sys
from pathlib import Path
from prepstore.parts import part_beside, private_folder
with part_beside(Path(sys.argv[1])) as part, private_folder() as folder:
    part.write_bytes(b"half")
    part.with_name(part.name + "-journal").write_bytes(b"half")
    (folder / "copy").write_bytes(b"half")
    print(folder, flush=True)
    {then}
"""


def _child(path: Path, then: str) -> "subprocess.Popen[str]":
    program = LEFT_BY_A_KILL.format(then=then)
    return subprocess.Popen(
        [sys.executable, "-c", program, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def _names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


def test_a_part_and_what_is_beside_it_are_gone_in_the_end(tmp_path: Path) -> None:
    with part_beside(tmp_path / "plan.json") as part:
        assert part.parent == tmp_path
        assert part.name.startswith(".")
        for end in ("", "-wal", "-shm", "-journal"):
            part.with_name(part.name + end).write_bytes(b"half")
    assert _names(tmp_path) == set()


def test_two_parts_of_one_file_are_two_files(tmp_path: Path) -> None:
    with part_beside(tmp_path / "a") as one, part_beside(tmp_path / "a") as other:
        assert one != other


def test_a_part_has_a_name_even_where_that_of_the_file_is_as_long_as_may_be(tmp_path: Path) -> None:
    with part_beside(tmp_path / ("a" * 255)) as part:
        part.write_bytes(b"half")


@needs_fork
def test_what_a_killed_process_left_is_cleared_by_the_next(tmp_path: Path) -> None:
    child = _child(tmp_path / "plan.json", "os._exit(9)")
    folder, _ = child.communicate()
    assert len(_names(tmp_path)) == 2
    assert Path(folder.strip()).is_dir()
    (tmp_path / ".prepstore.part").write_bytes(b"somebody's own")
    with part_beside(tmp_path / "other.json"), private_folder():
        assert _names(tmp_path) == {".prepstore.part"}
        assert not Path(folder.strip()).exists()


@needs_fork
def test_what_a_living_process_makes_is_left_alone(tmp_path: Path) -> None:
    with _child(tmp_path / "plan.json", "input()") as child:
        assert child.stdout is not None
        folder = Path(child.stdout.readline().strip())
        made = _names(tmp_path)
        assert len(made) == 2
        # However old it looks.
        for file in tmp_path.iterdir():
            os.utime(file, (0, 0))
        with private_folder():
            clear_parts(tmp_path)
            assert _names(tmp_path) == made
            assert folder.is_dir()
        child.communicate("\n")
    assert _names(tmp_path) == set()


def _name_of_own_part(folder: Path) -> str:
    with part_beside(folder / "a") as part:
        return part.name


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells when a process began")
def test_a_number_that_was_given_again_is_another_process(tmp_path: Path) -> None:
    own = _name_of_own_part(tmp_path)
    earlier = re.sub(rf"-{os.getpid()}-\d+-", f"-{os.getpid()}-1-", own)
    assert earlier != own
    for name in (own, earlier):
        (tmp_path / name).write_bytes(b"half")
    clear_parts(tmp_path)
    assert _names(tmp_path) == {own}


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells when a process began")
def test_the_name_of_a_part_tells_when_its_process_began(tmp_path: Path) -> None:
    own = int(_name_of_own_part(tmp_path).split("-")[3])
    time.sleep(0.05)
    with _child(tmp_path / "plan.json", "input()") as child:
        assert child.stdout is not None
        child.stdout.readline()
        later = {int(name.split("-")[3]) for name in _names(tmp_path)}
        child.communicate("\n")
    assert min(later) > own


@pytest.mark.parametrize(("hours", "is_kept"), [(23, True), (25, False)])
def test_a_part_of_another_machine_is_kept_for_a_day(
    *, hours: int, is_kept: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as elsewhere:
        elsewhere.setattr(platform, "node", lambda: "the-other-machine")
        part = tmp_path / _name_of_own_part(tmp_path)
    part.write_bytes(b"half")
    then = time.time() - hours * 3600
    os.utime(part, (then, then))
    clear_parts(tmp_path)
    assert part.exists() == is_kept


@needs_fork
def test_a_process_that_is_dead_but_not_yet_taken_notice_of_is_dead(tmp_path: Path) -> None:
    child = _child(tmp_path / "plan.json", "os._exit(9)")
    assert child.stdout is not None
    child.stdout.read()
    deadline = time.monotonic() + 10
    while _names(tmp_path) and time.monotonic() < deadline:
        clear_parts(tmp_path)
    assert _names(tmp_path) == set()
    child.wait()
    child.communicate()


def test_a_folder_that_is_not_there_is_no_reason_to_fail(tmp_path: Path) -> None:
    clear_parts(tmp_path / "none")


def test_a_private_folder_is_gone_in_the_end() -> None:
    with private_folder() as folder:
        assert folder.parent == Path(tempfile.gettempdir())
        (folder / "copy").write_bytes(b"a")
    assert not folder.exists()
