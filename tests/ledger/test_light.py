from prepstore.columns import TABLES
from prepstore.ledger.light import light_table, next_number, table_of_a_set
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading
from tests.ledger.rows_of import store_with_lots


def test_a_light_table_has_the_columns_named() -> None:
    assert light_table("movements", "movement lot").columns.keys() == ["movement", "lot"]


def test_a_table_of_a_set_has_position_key_and_cells_and_lots_say_why_one_is_gone() -> None:
    packs, stock = (list(TABLES[name].columns) for name in ("packs", "stock"))
    assert table_of_a_set("packs").columns.keys() == ["position", "key", *packs]
    assert table_of_a_set("stock").columns.keys() == ["position", "key", "gone", *stock]


def test_numbers_go_on_from_the_largest(place: Place) -> None:
    path = store_with_lots(place, L1="5")
    with reading(path) as connection:
        assert next_number(connection, table_of_a_set("stock").c.position) == 3
        assert next_number(connection, table_of_a_set("packs").c.position) == 1
