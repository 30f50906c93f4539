from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from prepstore.cell_types import Ordering, Supply
from prepstore.columns import TABLES
from prepstore.facts import Item, SettingRow
from prepstore.problems import Problem
from prepstore.settings import Settings
from prepstore.tables.understand import (
    BLANK,
    STAND_INS,
    catalogue_of,
    facts_of,
    goods_of,
    read_settings,
    to_come,
    understand,
)
from prepstore.written import STORE
from tests.tables.written_rows import written


def _settings(text: str) -> tuple[Settings, list[Problem]]:
    known, problems = understand(written(settings=f"setting,value\n{text}"))
    assert problems == []
    return read_settings(known["settings"])


def test_a_row_becomes_a_fact_beside_it() -> None:
    rows = written(items="item,kind,unit,density\nacid,reagent,mL,1.18\n")
    known, problems = understand(rows)
    assert problems == []
    ((row, fact),) = known["items"]
    assert row is rows["items"][0]
    assert isinstance(fact, Item)
    assert (fact.item, fact.density, fact.supply) == ("acid", Decimal("1.18"), Supply.BOUGHT)


def test_every_wrong_cell_of_a_row_is_told_and_the_row_is_no_fact() -> None:
    known, problems = understand(
        written(items="item,kind,unit,cas,density\nacid,x,y,1,0\n,reagent,g,,\n")
    )
    assert known["items"] == []
    assert [(problem.place.row, problem.place.column) for problem in problems] == [
        (2, "kind"),
        (2, "unit"),
        (2, "cas"),
        (2, "density"),
        (3, "item"),
    ]


def test_what_an_older_store_may_lack_is_asked_for_in_what_is_loaded() -> None:
    loaded = written(suppliers="supplier,lead_days\nHarbour,\n")
    known, problems = understand(loaded)
    assert [(one.code, one.place.column) for one in problems] == [("cell-missing", "lead_days")]
    stored = {"suppliers": [replace(row, source=STORE) for row in loaded["suppliers"]]}
    known, problems = understand(stored)
    assert (len(known["suppliers"]), problems) == (1, [])


def test_a_cell_that_is_told_already_is_passed_over_and_the_row_is_no_fact() -> None:
    rows = written(items="item,kind,unit\nacid,reagent,mL\n")
    told = [replace(rows["items"][0], told=frozenset({"unit"}))]
    known, problems = understand({"items": told})
    assert (known["items"], problems) == ([], [])


def test_a_cell_of_which_nothing_follows_stands_in_so_that_the_row_is_checked() -> None:
    rows = written(
        timetable="session,practical,date,students,leave_out\nMon,P,2027-02-30,many,spectrum\n"
    )
    known, problems = understand(rows)
    assert [problem.place.column for problem in problems] == ["date", "students"]
    [(_, session)] = known["timetable"]
    assert session.leave_out == ("spectrum",)


def test_every_stand_in_is_a_column_and_only_required_ones_have_a_value() -> None:
    for name, stand_ins in STAND_INS.items():
        for column, value in stand_ins.items():
            assert TABLES[name].columns[column].required is (value is not BLANK), (name, column)


def test_a_number_that_cannot_be_read_is_answered_with_the_column_s_own_example() -> None:
    rows = written(items="item,kind,unit,opened_life\nacid,reagent,mL,2 weeks\n")
    _, [problem] = understand(rows)
    assert problem.remedy == "Write it like 180. Days it keeps once opened."


def test_a_set_without_tables_is_an_empty_catalogue() -> None:
    known, problems = understand({})
    catalogue = catalogue_of(known, Settings())
    assert problems == []
    assert not any([catalogue.items, catalogue.lines, facts_of(known["stock"])])
    assert to_come(known["on_order"]) == ()


def test_facts_go_by_their_folded_names_and_an_order_of_nothing_is_left_out() -> None:
    known, _ = understand(
        written(
            items="item,kind,unit\nACID,reagent,mL\n",
            on_order="pack,packs,due\nP,0,2027-02-01\nQ,1,2027-02-01\n",
        )
    )
    assert list(goods_of(known).items) == ["acid"]
    assert [order.pack for order in to_come(known["on_order"])] == ["Q"]


def test_settings_have_the_defaults_of_the_contract() -> None:
    settings, problems = _settings("")
    assert problems == []
    assert (settings.spare_reagent, settings.spare_solution) == (Decimal("0.1"), Decimal("0.2"))
    assert (settings.spare_solvent, settings.spare_consumable) == (Decimal("0.2"), Decimal("0.1"))
    assert settings.spare_apparatus == Decimal(0)
    assert settings.prep_lead == 1
    assert settings.working_days == frozenset(range(5))
    assert (settings.holidays, settings.ordering) == (frozenset(), Ordering.JOINTLY)


@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("spare reagent,15 %", "spare_reagent", Decimal("0.15")),
        ("SPARE REAGENT,0.15", "spare_reagent", Decimal("0.15")),
        ("spare reagent,", "spare_reagent", Decimal("0.10")),
        ("prep_lead,0", "prep_lead", 0),
        ("holidays,2027-03-26", "holidays", {date(2027, 3, 26)}),
        ("currency,EUR", "currency", "EUR"),
        ("ordering,By Item", "ordering", Ordering.BY_ITEM),
    ],
)
def test_a_setting_is_read(text: str, field: str, value: object) -> None:
    settings, problems = _settings(text)
    assert problems == []
    assert getattr(settings, field) == value


def test_a_wrong_setting_leaves_the_default_and_is_told() -> None:
    row = written(settings="setting,value\nx,1\nprep_lead,-1\n")["settings"]
    facts = [SettingRow(setting=each.text["setting"], value=each.text["value"]) for each in row]  # type: ignore[arg-type]
    settings, problems = read_settings(zip(row, facts, strict=True))
    assert settings == Settings()
    assert [(problem.code, problem.place.column) for problem in problems] == [
        ("setting-unknown", "setting"),
        ("count-unreadable", "value"),
    ]
