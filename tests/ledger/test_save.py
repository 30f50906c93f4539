import pytest
from sqlalchemy import event, text

from prepstore.ledger.errors import StoreError
from prepstore.ledger.load import written_rows
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.written import WrittenRow
from tests.ledger.rows_of import put, row


def _items(path: Place) -> list[str]:
    with reading(path) as connection:
        return [found.text["item"] for found in written_rows(connection, "items")["items"]]


def test_rows_take_the_place_of_those_there_were(place: Place) -> None:
    path = place
    with writing(path) as connection:
        put(connection, {"items": [row("items", item="a"), row("items", item="b")]})
    with writing(path) as connection:
        put(connection, {"items": [row("items", item="c")]})
    assert _items(path) == ["c"]


def test_tables_that_are_not_named_stay(place: Place) -> None:
    path = place
    with writing(path) as connection:
        put(connection, {"items": [row("items", item="a")], "packs": []})
    with writing(path) as connection:
        put(connection, {"packs": [row("packs", pack="P")]})
    assert _items(path) == ["a"]


def test_no_rows_clear_a_table(place: Place) -> None:
    path = place
    with writing(path) as connection:
        put(connection, {"items": [row("items", item="a")]})
    with writing(path) as connection:
        put(connection, {"items": []})
    assert _items(path) == []


@pytest.mark.parametrize(("first", "second"), [("salt", "SALT"), ("Caf\u00e9", "CAFE\u0301")])
def test_two_rows_of_one_name_are_refused_and_nothing_is_kept(
    first: str, second: str, place: Place
) -> None:
    path = place
    with writing(path) as connection:
        put(connection, {"items": [row("items", item="before")]})
    twice = [row("items", item=first), row("items", item=second)]
    with pytest.raises(StoreError, match=r"(?i)unique"), writing(path) as connection:
        put(connection, {"items": twice})
    assert _items(path) == ["before"]


def test_lines_of_a_practical_have_no_name_and_may_be_alike(place: Place) -> None:
    path = place
    alike = [row("practical_lines", practical="P", item="salt", amount="1 g", per="group")] * 2
    with writing(path) as connection:
        put(connection, {"practical_lines": alike})
    with reading(path) as connection:
        assert len(written_rows(connection)["practical_lines"]) == 2


def test_keys_of_several_columns_do_not_run_into_one_another(place: Place) -> None:
    rows: list[WrittenRow] = [
        row("solution_parts", solution="a", item="bc"),
        row("solution_parts", solution="ab", item="c"),
    ]
    path = place
    with writing(path) as connection:
        put(connection, {"solution_parts": rows})
    with reading(path) as connection:
        found = written_rows(connection)["solution_parts"]
    assert [dict(each.text) for each in found] == [dict(each.text) for each in rows]


def _positions(path: Place, table: str) -> list[tuple[int, str]]:
    with reading(path) as connection:
        found = connection.execute(text(f"SELECT position, item FROM {table} ORDER BY 1"))
        return [(position, item) for position, item in found]


def test_rows_with_a_name_keep_their_place_and_new_ones_come_last(place: Place) -> None:
    path = place
    items = [row("items", item=name) for name in "abcd"]
    with writing(path) as connection:
        put(connection, {"items": items})
    with writing(path) as connection:
        changed = row("items", item="c", notes="changed")
        put(connection, {"items": [items[0], changed, items[3], row("items", item="e")]})
    assert _positions(path, "items") == [(2, "a"), (4, "c"), (5, "d"), (6, "e")]


def test_rows_without_a_name_are_written_anew_from_the_first_that_differs(place: Place) -> None:
    path = place
    lines = [row("practical_lines", practical="P", item=item) for item in "abcd"]
    with writing(path) as connection:
        put(connection, {"practical_lines": lines})
    with writing(path) as connection:
        put(connection, {"practical_lines": [*lines[:2], lines[3], lines[0], lines[0]]})
    assert [item for _, item in _positions(path, "practical_lines")] == list("abdaa")


def test_rows_that_are_the_same_are_not_written(place: Place) -> None:
    path = place
    rows = {
        "items": [row("items", item=name) for name in "ab"],
        "practical_lines": [row("practical_lines", practical="P", item="a")],
    }
    with writing(path) as connection:
        put(connection, rows)
    with writing(path) as connection:
        said: list[str] = []
        event.listen(connection, "before_cursor_execute", lambda *told: said.append(told[2]))
        put(connection, rows)
        assert said
        assert all(statement.startswith("SELECT") for statement in said)
