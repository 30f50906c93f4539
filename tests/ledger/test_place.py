from pathlib import Path

import pytest

from prepstore.ledger import drives
from prepstore.ledger.place import place_of, remark_on


def test_a_path_is_the_place_of_a_file() -> None:
    place = place_of("shelf/prepstore.db")
    assert place == Path("shelf/prepstore.db")
    assert (str(place), place.name) == (str(Path("shelf/prepstore.db")), "prepstore.db")


def test_a_file_on_a_disk_of_the_machine_needs_no_remark(tmp_path: Path) -> None:
    assert remark_on(tmp_path / "prepstore.db") is None


def test_a_file_on_a_network_drive_is_remarked_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drives, "_mounts", lambda: "server:/all / nfs4 rw 0 0")
    said = remark_on(Path("/labs/prepstore.db"))
    assert said is not None
    assert said.startswith("/labs/prepstore.db is on a network drive (nfs4), where a store is")
