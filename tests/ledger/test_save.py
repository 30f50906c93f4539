from pathlib import Path

import pytest
from sqlalchemy import text

from prepstore.ledger.errors import StoreError
from prepstore.ledger.load import written_rows
from prepstore.ledger.save import add_movements, replace_rows
from prepstore.ledger.store_file import reading, writing
from prepstore.written import WrittenRow
from tests.ledger.rows_of import movement, row


def _items(path: Path) -> list[str]:
    with reading(path) as connection:
        return [found.text["item"] for found in written_rows(connection, "items")["items"]]


def test_rows_take_the_place_of_those_there_were(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    with writing(path) as connection:
        replace_rows(connection, {"items": [row("items", item="a"), row("items", item="b")]})
    with writing(path) as connection:
        replace_rows(connection, {"items": [row("items", item="c")]})
    assert _items(path) == ["c"]


def test_tables_that_are_not_named_stay(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    with writing(path) as connection:
        replace_rows(connection, {"items": [row("items", item="a")], "packs": []})
    with writing(path) as connection:
        replace_rows(connection, {"packs": [row("packs", pack="P")]})
    assert _items(path) == ["a"]


def test_no_rows_clear_a_table(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    with writing(path) as connection:
        replace_rows(connection, {"items": [row("items", item="a")]})
    with writing(path) as connection:
        replace_rows(connection, {"items": []})
    assert _items(path) == []


@pytest.mark.parametrize(("first", "second"), [("salt", "SALT"), ("Caf\u00e9", "CAFE\u0301")])
def test_two_rows_of_one_name_are_refused_and_nothing_is_kept(
    first: str, second: str, tmp_path: Path
) -> None:
    path = tmp_path / "prepstore.db"
    with writing(path) as connection:
        replace_rows(connection, {"items": [row("items", item="before")]})
    twice = [row("items", item=first), row("items", item=second)]
    with pytest.raises(StoreError, match="UNIQUE"), writing(path) as connection:
        replace_rows(connection, {"items": twice})
    assert _items(path) == ["before"]


def test_lines_of_a_practical_have_no_name_and_may_be_alike(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    alike = [row("practical_lines", practical="P", item="salt", amount="1 g", per="group")] * 2
    with writing(path) as connection:
        replace_rows(connection, {"practical_lines": alike})
    with reading(path) as connection:
        assert len(written_rows(connection)["practical_lines"]) == 2


def test_keys_of_several_columns_do_not_run_into_one_another(tmp_path: Path) -> None:
    rows: list[WrittenRow] = [
        row("solution_parts", solution="a", item="bc"),
        row("solution_parts", solution="ab", item="c"),
    ]
    path = tmp_path / "prepstore.db"
    with writing(path) as connection:
        replace_rows(connection, {"solution_parts": rows})
    with reading(path) as connection:
        found = written_rows(connection)["solution_parts"]
    assert [dict(each.text) for each in found] == [dict(each.text) for each in rows]


def test_movements_are_numbered_in_the_order_they_happened(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    with writing(path) as connection:
        add_movements(connection, [movement("L2"), movement("L1")])
        add_movements(connection, [])
    with writing(path) as connection:
        add_movements(connection, [movement("L1", "-0.000000001")])
    with reading(path) as connection:
        found = connection.execute(text("SELECT movement, lot, number FROM movements")).all()
    assert [tuple(each) for each in found] == [
        (1, "L2", "500"),
        (2, "L1", "500"),
        (3, "L1", "-0.000000001"),
    ]
