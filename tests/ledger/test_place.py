from pathlib import Path

import pytest

from prepstore.ledger import drives
from prepstore.ledger.place import NoAddressError, ServerPlace, new_one, place_of, remark_on


def test_a_path_is_the_place_of_a_file() -> None:
    place = place_of("shelf/prepstore.db")
    assert place == Path("shelf/prepstore.db")
    assert (str(place), place.name) == (str(Path("shelf/prepstore.db")), "prepstore.db")


def test_a_new_store_is_kept_where_one_of_its_kind_is() -> None:
    assert new_one(place_of("prepstore.db")) == "a new file"
    assert new_one(place_of("postgresql://db/prep")) == "an empty database"


def test_a_file_on_a_disk_of_the_machine_needs_no_remark(tmp_path: Path) -> None:
    assert remark_on(tmp_path / "prepstore.db") is None


def test_a_file_on_a_network_drive_is_remarked_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drives, "_mounts", lambda: "server:/all / nfs4 rw 0 0")
    said = remark_on(Path("/labs/prepstore.db"))
    assert said is not None
    assert said.startswith("/labs/prepstore.db is on a network drive (nfs4), where a store is")


@pytest.mark.parametrize(
    ("written", "told", "name"),
    [
        ("postgresql://db.example.org/prep", "postgresql://db.example.org/prep", "prep"),
        ("postgres://kim@db/prep", "postgresql://kim@db/prep", "prep"),
        ("PostgreSQL://db:5433/prep%20room", "postgresql://db:5433/prep%20room", "prep room"),
        ("postgresql://a:1,b:2/prep", "postgresql://a:1,b:2/prep", "prep"),
        ("postgresql://[::1]:5433/prep", "postgresql://[::1]:5433/prep", "prep"),
        ("postgresql:///prep?host=/run", "postgresql:///prep?host=/run", "prep"),
        ("postgresql://?service=prep", "postgresql://?service=prep", "prep"),
        ("postgresql://db?dbname=prep", "postgresql://db?dbname=prep", "prep"),
        (
            "postgresql://db/prep?sslmode=verify-full",
            "postgresql://db/prep?sslmode=verify-full",
            "prep",
        ),
    ],
)
def test_an_address_is_the_place_of_a_database(written: str, told: str, name: str) -> None:
    """The forms of an address are those of PostgreSQL's manual, "Connection URIs"."""
    place = place_of(written)
    assert isinstance(place, ServerPlace)
    assert (str(place), place.name, place.secrets) == (told, name, {})
    assert remark_on(place) is None


@pytest.mark.parametrize(
    ("written", "secrets"),
    [
        ("postgresql://kim:S3cr%21t@db/prep", {"password": "S3cr!t"}),
        ("postgresql://kim@db/prep?password=S3cr%21t", {"password": "S3cr!t"}),
        ("postgresql://kim@db/prep?pass%77ord=S3cr!t", {"password": "S3cr!t"}),
        ("postgresql://kim@db/prep?sslpassword=S3cr!t", {"sslpassword": "S3cr!t"}),
        ("postgresql://:S3cr!t@db/prep", {"password": "S3cr!t"}),
    ],
)
def test_a_password_is_taken_and_warned_about_but_never_told(
    written: str, secrets: dict[str, str]
) -> None:
    place = place_of(written)
    assert isinstance(place, ServerPlace)
    assert place.secrets == secrets
    assert "3cr" not in f"{place} {place!r} {place.name}"
    said = remark_on(place)
    assert said is not None
    assert "has a password in it" in said
    assert "3cr" not in said


@pytest.mark.parametrize(
    "written",
    [
        "postgresql:/kim:S3cr!t@db/prep",
        "postgresql:kim:S3cr!t@db/prep",
        "postgresql://kim:S3/cr!t@db/prep",
        "postgresql://kim:S3@cr!t@db/prep",
        "postgresql://kim:S3#cr!t@db/prep",
        "postgresql://kim:S3 cr!t@db/prep",
        "postgresql://kim:S3?cr!t@db/prep",
        "postgresql://kim:S3:cr!t@db/prep",
        "postgresql://kim:S3cr!t@db",
        "postgresql://kim:S3cr!t@db/",
        "postgresql://",
    ],
)
def test_an_address_that_cannot_be_read_is_refused_and_not_repeated(written: str) -> None:
    with pytest.raises(NoAddressError, match="postgresql://host/name") as refused:
        place_of(written)
    assert "cr!t" not in str(refused.value)
