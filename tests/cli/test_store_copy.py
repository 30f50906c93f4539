from pathlib import Path

import pytest

from prepstore.ledger.place import ServerPlace
from tests.cli.conftest import Run
from tests.servers import Server


def test_a_store_is_copied_and_what_was_compared_is_told(
    run: Run, sample_store: Path, tmp_path: Path
) -> None:
    said = run("store", "copy", str(sample_store), "new.db")
    assert said.exit_code == 0, said.output
    first, second, third = said.stdout.splitlines()
    assert first == f"Copied {sample_store} to new.db: 146 lots, 146 movements."
    assert second.startswith("Compared after copying: ")
    assert second.endswith(" tables, all alike.")
    assert third == "What is recorded from now on in the one is not in the other."
    for words in (("stock", "list", "--json"), ("stock", "history", "--json")):
        old, new = (run("--db", str(db), *words) for db in (sample_store, tmp_path / "new.db"))
        assert old.stdout == new.stdout
    assert run("--db", "new.db", "check").exit_code == 0


def test_a_store_is_never_copied_over_another_one(run: Run, sample_store: Path) -> None:
    Path("there.db").write_text("a letter", encoding="ascii")
    said = run("store", "copy", str(sample_store), "there.db")
    assert said.exit_code == 1
    assert said.stderr == (
        "There is something at there.db already, and a store is copied only to where there is "
        "none. Name a new file.\n"
    )
    assert Path("there.db").read_text(encoding="ascii") == "a letter"


@pytest.mark.parametrize(
    ("words", "says", "code"),
    [
        (("none.db", "new.db"), "There is no store at none.db to copy", 1),
        (("", "new.db"), "is not a file", 2),
        (("postgresql://kim:S3/cr!t@db/prep", "new.db"), "cannot be read", 2),
    ],
)
def test_what_cannot_be_copied_is_a_sentence(
    words: tuple[str, str], says: str, code: int, run: Run
) -> None:
    said = run("store", "copy", *words)
    assert said.exit_code == code
    assert says in " ".join(said.stderr.split())
    assert "cr!t" not in said.output
    assert not Path("new.db").exists()


@pytest.mark.server
def test_a_store_moves_to_a_server_and_back(run: Run, sample_store: Path, server: Server) -> None:
    place = server.fresh()
    with_password = place.address.replace("postgres@", "postgres:S3cret@")
    said = run("store", "copy", str(sample_store), with_password)
    assert said.exit_code == 0, said.output
    assert "has a password in it" in said.stderr
    assert "S3cret" not in said.output
    assert isinstance(place, ServerPlace)
    assert run("store", "copy", str(place), "back.db").exit_code == 0
    words = ("stock", "history", "--all", "--json")
    told = {run("--db", str(db), *words).stdout for db in (sample_store, place, "back.db")}
    assert len(told) == 1
    again = run("store", "copy", str(sample_store), str(place))
    assert again.exit_code == 1
    assert "Name an empty database." in again.stderr
