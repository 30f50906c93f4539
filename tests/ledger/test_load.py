import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prepstore.columns import TABLES
from prepstore.ledger.load import written_rows
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.written import STORE, WrittenRow
from tests.ledger.rows_of import put, row

_SIGNS = st.characters(exclude_categories=["Cs", "Cc"])
_CELL = st.text(_SIGNS, min_size=1, max_size=20)


def _kept(path: Place, rows: list[WrittenRow], table: str) -> list[WrittenRow]:
    with writing(path) as connection:
        put(connection, {table: rows})
    with reading(path) as connection:
        return written_rows(connection, table)[table]


def test_rows_come_back_as_written_and_in_order(place: Place) -> None:
    texts = ["00123", "None", "NA", "1.50", "=1+1", "'x", "é\u202e", "true", "1e3", "line\nend"]
    rows = [row("stock", lot=text, item=text, amount=text) for text in texts]
    found = _kept(place, rows, "stock")
    assert [dict(each.text) for each in found] == [dict(each.text) for each in rows]
    assert [each.number for each in found] == list(range(2, len(rows) + 2))
    assert {each.source for each in found} == {STORE}


def test_every_column_of_every_table_is_kept(place: Place) -> None:
    for name, table in TABLES.items():
        text = {column: f"{column} of {name}" for column in table.columns}
        (found,) = _kept(place, [row(name, **text)], name)
        assert dict(found.text) == text


def test_a_new_store_holds_every_table_and_no_row(place: Place) -> None:
    path = place
    with writing(path):
        pass
    with reading(path) as connection:
        assert written_rows(connection) == {name: [] for name in TABLES}
        assert list(written_rows(connection, "items", "packs")) == ["items", "packs"]


@settings(max_examples=25, deadline=None)
@given(texts=st.lists(st.dictionaries(st.sampled_from(["amount", "place"]), _CELL), max_size=5))
def test_any_text_comes_back_letter_for_letter(
    texts: list[dict[str, str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("store") / "prepstore.db"
    rows = [row("stock", lot=f"L{number}", **text) for number, text in enumerate(texts)]
    found = _kept(path, rows, "stock")
    assert [dict(each.text) for each in found] == [dict(each.text) for each in rows]
