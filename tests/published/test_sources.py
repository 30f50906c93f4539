"""Every check value says where it comes from, and none of a rule is from memory alone."""

import pytest

from tests.published.rows import FOLDER, rows_of

TABLES = sorted(path.stem for path in FOLDER.glob("*.csv"))
CONFIDENCE = {"source read", "library", "from memory", "common practice"}


@pytest.mark.parametrize("table", TABLES)
def test_every_row_names_its_source_last_and_how_far_it_is_to_be_trusted(table: str) -> None:
    rows = rows_of(table)
    assert rows
    for row in rows:
        *_, confidence, source = row
        assert (confidence, source) == ("confidence", "source")
        assert row["source"].strip()
        assert row["confidence"] in CONFIDENCE


@pytest.mark.parametrize("table", TABLES)
def test_a_table_does_not_stand_on_memory_alone(table: str) -> None:
    assert {row["confidence"] for row in rows_of(table)} & {"source read", "library"}
