from prepstore.columns import TABLES, Column
from prepstore.history import EVERY_TABLE, HISTORY
from tests.every_case import every_case

COLUMNS = [column for table in HISTORY.values() for column in table.columns.values()]


def test_no_table_of_a_history_has_the_name_of_one_of_a_set() -> None:
    assert not HISTORY.keys() & TABLES.keys()
    assert list(EVERY_TABLE) == [*TABLES, *HISTORY]


@every_case("column", COLUMNS, ids=lambda column: column.name)
def test_each_column_says_what_it_holds_and_has_an_example(column: Column) -> None:
    assert column.about.endswith(".")
    assert column.example or not column.required


def test_a_former_lot_has_every_column_of_a_lot_and_why_it_is_gone() -> None:
    own = ["gone", "above_row", "label_taken_by"]
    assert list(HISTORY["former_lots"].columns) == [*TABLES["stock"].columns, *own]


def test_rows_are_known_by_their_first_column() -> None:
    for table in HISTORY.values():
        assert table.key[0] == next(iter(table.columns))
        assert table.about.endswith(".")
