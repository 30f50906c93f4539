from dataclasses import fields

from prepstore import cell_types, facts
from prepstore.columns import (
    NAME_COLUMN,
    NAMED_IN,
    SETTING_FIELD,
    TABLES,
    Column,
    columns_of,
    places_of,
)
from prepstore.settings import Settings
from prepstore.tables.cells import READERS
from prepstore.tables.understand import read_settings
from prepstore.written import WrittenRow
from tests.every_case import every_case

EVERY = [(table, column) for table in TABLES.values() for column in table.columns.values()]
COLUMNS = [column for _, column in EVERY] + list(columns_of(Settings).values())

CONTRACT = {
    "items": "item* kind* unit* cas formula strength density measures minimum restock_to "
    "opened_life shelf_life supply daily_capacity turnaround minutes_per_use hazards storage notes",
    "solutions": "solution* shelf_life step largest_batch density measures minimum restock_to "
    "make_within hazards storage instructions",
    "solution_parts": "solution* item* amount* as",
    "hazard_limits": "item* class* h_code* from below m_factor ate form in_force source",
    "practicals": "practical* title* group_size notes",
    "practical_lines": "practical* stage item* amount* per* spare optional to within shared_by "
    "container one_lot notes",
    "timetable": "session* practical* date* start end room students* group_size demonstrator_sets "
    "leave_out",
    "stock": "lot* item* amount* expiry opened state containers place",
    "suppliers": "supplier* lead_days* delivery_charge minimum_order",
    "packs": "pack* item* supplier* size* price*",
    "price_breaks": "pack* from* price*",
    "storage_limits": "storage* most*",
    "on_order": "pack* packs* due* reference",
    "waste_streams": "stream* measure* container fill_limit empty_containers part_full "
    "list_code notes",
    "replacements": "item* replaced_by* factor to reason",
    "settings": "setting* value",
}

ADDED = {
    "items": "peroxide_test peroxide_test_sealed retired most_held group retention acid_or_base",
    "solutions": "retired minutes_to_make to pH flash_point viscosity",
    "practical_lines": "holds_back",
    "practicals": "retired",
    "stock": "received tested batch_number",
    "suppliers": "retired",
    "on_order": "price",
}
"""What the stores need beside the contract, behind its columns."""


def test_tables_and_columns_are_those_of_the_contract_and_what_the_stores_need() -> None:
    assert list(TABLES) == list(CONTRACT)
    for name, words in CONTRACT.items():
        columns = TABLES[name].columns.values()
        expected = [*words.split(), *ADDED.get(name, "").split()]
        assert [f"{c.name}{'*' * c.required}" for c in columns] == expected


@every_case("column", COLUMNS, ids=lambda column: column.name)
def test_each_column_says_what_it_holds(column: Column) -> None:
    assert column.about.endswith(".")
    assert column.field.rstrip("_") == column.name


@every_case(
    "column", [column for column in COLUMNS if column.example], ids=lambda column: column.name
)
def test_the_example_of_a_column_can_be_read(column: Column) -> None:
    assert READERS[column.reads](column.example) is not None


def test_each_column_that_must_be_given_has_an_example() -> None:
    assert [column.name for column in COLUMNS if column.required and not column.example] == []


def test_keys_and_names_of_others_are_columns() -> None:
    for table in TABLES.values():
        assert set(table.key) <= table.columns.keys()
        assert table.replaced_by is None or table.replaced_by in table.columns
    for table_name, column in [*NAME_COLUMN.items(), *NAMED_IN]:
        assert column in TABLES[table_name].columns


def test_each_setting_is_read_under_the_name_people_write() -> None:
    assert sorted(SETTING_FIELD.values()) == sorted(field.name for field in fields(Settings))
    columns = columns_of(Settings)
    rows = [
        (
            WrittenRow("settings", 2, "settings.csv", {}),
            facts.SettingRow(setting=cell_types.Name(name.upper()), value=columns[field].example),
        )
        for name, field in SETTING_FIELD.items()
    ]
    assert read_settings(rows)[1] == []


def test_a_thing_is_named_in_its_own_row_and_wherever_its_table_is_named() -> None:
    assert places_of("suppliers") == (("suppliers", "supplier"), ("packs", "supplier"))
    assert places_of("packs") == (("packs", "pack"), ("price_breaks", "pack"), ("on_order", "pack"))
