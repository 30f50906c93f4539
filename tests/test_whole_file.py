from pathlib import Path

import pytest

from prepstore.whole_file import write_whole


def test_a_file_is_replaced_as_a_whole(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_bytes(b"old and longer")
    write_whole(file, b"new")
    assert file.read_bytes() == b"new"
    assert list(tmp_path.iterdir()) == [file]


def test_what_cannot_be_written_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "plan.json"
    file.write_bytes(b"old")

    def full(_self: Path, _target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(file, b"new")
    assert file.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [file]
