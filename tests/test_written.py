import pytest

from prepstore.columns import TABLES
from prepstore.written import WrittenRow


def _row(table: str, **text: str) -> WrittenRow:
    return WrittenRow(table, 2, f"{table}.csv", text)


@pytest.mark.parametrize(
    ("row", "key"),
    [
        (_row("items", item=" Salt "), ("salt",)),
        (_row("items"), ("",)),
        (_row("solution_parts", solution="A", item="B"), ("a", "b")),
        (_row("practical_lines", practical="A"), ()),
        (_row("on_order", pack="P", due="2027-02-01"), ("", "p", "2027-02-01")),
    ],
)
def test_a_row_goes_by_the_folded_cells_of_its_key(row: WrittenRow, key: tuple[str, ...]) -> None:
    assert row.key == key


def test_a_row_of_the_store_has_no_columns_of_a_file_and_nothing_told() -> None:
    row = _row("items", item="salt")
    assert (row.columns, row.told) == (frozenset(), frozenset())
    assert set(TABLES) >= {row.table}
