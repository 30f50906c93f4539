import os
import sqlite3
import stat
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.whole_file import found_at, make_folder, put_new, write_whole
from tests.ledger.faults import device

ROOT = Path(__file__).parents[1]

needs_pipes = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="Windows has no named pipes")


def _names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


def _loop(folder: Path) -> Path:
    loop = folder / "loop"
    loop.symlink_to("loop")
    return loop


def test_a_file_is_replaced_as_a_whole(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_bytes(b"old and longer")
    write_whole(file, b"new")
    assert file.read_bytes() == b"new"
    write_whole(file, iter([b"in ", b"parts"]))
    assert file.read_bytes() == b"in parts"
    assert list(tmp_path.iterdir()) == [file]


def test_who_has_the_earlier_file_open_goes_on_reading_that(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    write_whole(file, b"old")
    with file.open("rb") as earlier:
        write_whole(file, b"new")
        assert earlier.read() == b"old"


def test_what_cannot_be_written_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "plan.json"
    file.write_bytes(b"old")

    def full(_self: Path, _target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match="No space left") as error:
        write_whole(file, b"new")
    assert error.value.filename == str(file)
    assert file.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [file]


def test_a_link_stays_a_link_and_its_target_is_written(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    target = tmp_path / "elsewhere" / "plan.json"
    link = tmp_path / "link.json"
    link.symlink_to(target)
    for content in (b"not there before", b"there before"):
        write_whole(link, content)
        assert link.is_symlink()
        assert target.read_bytes() == content
    assert _names(target.parent) == {"plan.json"}


@pytest.mark.skipif(not hasattr(os, "mknod"), reason="Windows has no such devices")
def test_a_device_stays_a_device(tmp_path: Path) -> None:
    null, link = device(tmp_path), tmp_path / "nowhere"
    link.symlink_to(null)
    for named in (null, link):
        write_whole(named, b"new")
        assert null.is_char_device()
    assert link.is_symlink()


@needs_pipes
def test_a_named_pipe_is_written_to(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    read: list[bytes] = []
    reader = threading.Thread(target=lambda: read.append(pipe.read_bytes()))
    reader.start()
    write_whole(pipe, [b"through ", b"the pipe"])
    reader.join()
    assert read == [b"through the pipe"]
    assert stat.S_ISFIFO(pipe.stat().st_mode)


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="there is no such name")
def test_our_own_output_is_written_between_what_else_is_printed(tmp_path: Path) -> None:
    program = (
        "from pathlib import Path\n"
        "from prepstore.whole_file import write_whole\n"
        "print('before')\n"
        "write_whole(Path('/dev/stdout'), b'content\\n')\n"
        "print('after')\n"
    )
    buffered = {**os.environ, "PYTHONUNBUFFERED": ""}
    command = [sys.executable, "-c", program]
    out = tmp_path / "out.txt"
    with out.open("wb") as file:
        subprocess.run(command, stdout=file, check=True, cwd=ROOT, env=buffered)
    assert out.read_bytes() == b"before\ncontent\nafter\n"
    piped = subprocess.run(command, capture_output=True, check=True, cwd=ROOT, env=buffered)
    assert piped.stdout == b"before\ncontent\nafter\n"


def test_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(IsADirectoryError, match="it is a folder, not a file"):
        write_whole(tmp_path, b"new")
    assert _names(tmp_path) == set()


def test_a_store_is_not_written_over(tmp_path: Path) -> None:
    store, link = tmp_path / "prepstore.db", tmp_path / "plan.json"
    with closing(sqlite3.connect(store)) as ledger:
        ledger.execute("CREATE TABLE a (b)")
    link.symlink_to(store)
    before = store.read_bytes()
    for path in (store, link):
        with pytest.raises(OSError, match="it is a store, which is not written over"):
            write_whole(path, b"new")
    assert store.read_bytes() == before
    assert _names(tmp_path) == {"prepstore.db", "plan.json"}


def test_a_link_that_leads_back_to_itself_is_refused(tmp_path: Path) -> None:
    loop = _loop(tmp_path)
    with pytest.raises(OSError, match="leads back to itself") as error:
        write_whole(loop, b"")
    assert error.value.filename == str(loop)
    with pytest.raises(OSError, match="leads back to itself"):
        make_folder(loop)
    assert _names(tmp_path) == {"loop"}


def test_what_there_is_is_found_through_links(tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "file")
    assert found_at(link) is None
    (tmp_path / "file").write_bytes(b"four")
    there = found_at(link)
    assert there is not None
    assert there.st_size == 4


def test_a_folder_is_made_with_those_it_is_in(tmp_path: Path) -> None:
    for _ in range(2):
        make_folder(tmp_path / "a" / "b")
        assert (tmp_path / "a" / "b").is_dir()
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(NotADirectoryError, match="it is a file, not a folder"):
        make_folder(tmp_path / "file")


def _no_links(_source: object, _target: object) -> None:
    raise OSError(95, "Operation not supported")


@pytest.mark.parametrize("has_links", [True, False])
def test_a_new_name_is_given_only_where_nothing_has_it(
    *, has_links: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not has_links:
        monkeypatch.setattr(os, "link", _no_links)
    part, file = tmp_path / "part", tmp_path / "file"
    part.write_bytes(b"first")
    put_new(part, file)
    assert file.read_bytes() == b"first"
    part.write_bytes(b"second")
    with pytest.raises(FileExistsError):
        put_new(part, file)
    assert file.read_bytes() == b"first"
    assert part.read_bytes() == b"second"
    link = tmp_path / "link"
    link.symlink_to("nowhere")
    with pytest.raises(FileExistsError):
        put_new(part, link)
    assert _names(tmp_path) == {"file", "part", "link"}
