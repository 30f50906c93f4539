"""A history with any cell spoilt is loaded whole, or refused in sentences and not at all."""

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prepstore.cli.histories import move_in, rows_with_history
from prepstore.history import HISTORY
from prepstore.ledger.soundness import faults
from prepstore.ledger.store_file import reading
from prepstore.problems import ProblemsError
from tests.tables.small_history import SET
from tests.tables.written_rows import written

HOSTILE = st.sampled_from(
    (
        "", "0", "1", "-1", "2", "7", "1.5", "1e5", "9" * 18, "9" * 40, "-999999999",
        "999999999999", "0.0000000001", "NaN", "S1", "s2", "S9", "used", "undone", "placed",
        "3027-01-01", "2027-02-30", "0000-00-00", "é", " ", "a b", "\x07", "label", "place",
        "g", "mol", "H1",
        "items", "packs", "sea salt", "'", "=1", "²", "x" * 40_000,
    )
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(
    table=st.sampled_from(tuple(HISTORY)),
    spoilt=st.lists(
        st.tuples(st.integers(0, 30), st.integers(0, 30), HOSTILE), min_size=1, max_size=3
    ),
)
def test_a_spoilt_cell_is_told_or_does_no_harm(
    table: str, spoilt: list[tuple[int, int, str]]
) -> None:
    heading, *rows = (line.split(",") for line in SET[table].split("\n"))
    for row, column, cell in spoilt:
        cells = rows[row % len(rows)]
        cells[column % len(heading)] = cell
    text = "\n".join(",".join(cells) for cells in (heading, *rows))
    with TemporaryDirectory() as folder:
        path = Path(folder, "new.db")
        try:
            move_in(path, written(**{**SET, table: text}), [])
        except ProblemsError:
            assert not path.exists()
            return
        with reading(path) as connection:
            assert list(faults(connection)) == []
        assert rows_with_history(path)[table]
