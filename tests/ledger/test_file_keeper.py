from pathlib import Path

from sqlalchemy import Connection

from prepstore.ledger.file_keeper import FileKeeper
from prepstore.ledger.movements import first_day


def test_what_is_done_in_a_file_is_done_once(tmp_path: Path) -> None:
    """Others wait meanwhile, so that nothing has to be done again."""
    keeper = FileKeeper(tmp_path / "prepstore.db")
    done: list[Connection] = []
    keeper.all_or_nothing(done.append)
    assert len(done) == 1
    assert keeper.is_there()
    with keeper.reading() as connection:
        assert first_day(connection) is None


def test_a_file_is_copied_and_put_back(tmp_path: Path) -> None:
    keeper = FileKeeper(tmp_path / "prepstore.db")
    with keeper.writing():
        pass
    kept = tmp_path / "kept.db"
    assert keeper.back_up(kept) is None
    assert kept.exists()
    aside = keeper.restore(kept, lambda _: None)
    assert aside is not None
    assert aside.name.startswith("prepstore.db.before-restore-")
