from prepstore.columns import TABLES
from prepstore.ledger.rows import ROW_CLASSES


def test_each_table_of_a_set_has_a_row_class_with_its_columns_and_no_others() -> None:
    assert list(ROW_CLASSES) == list(TABLES)
    for name, row_class in ROW_CLASSES.items():
        assert list(row_class.model_fields) == ["position", "key", *TABLES[name].columns]
