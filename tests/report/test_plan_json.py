import json
import re
from decimal import Decimal
from pathlib import Path

from prepstore.planning.plan import Plan
from prepstore.report.plan_json import plan_json, plan_rows

KEYS = {
    "sessions": "session practical date start end room students groups sets state lacks",
    "needs": "item unit amount by_session",
    "making_up": "solution make_on use_by volume_mL makings sessions parts",
    "setting_out": "session item unit amount containers",
    "stock": "item unit promised needed usable short restock lots",
    "orders": "supplier item pack packs size price cost needed_by order_by late stops",
    "waste": "stream measure unit expected allow_for containers full_on by_day",
    "apparatus": "item peak held short at",
    "warnings": "about message",
}


def test_every_key_of_the_contract_is_there(sample_plan: Plan) -> None:
    rows = json.loads(plan_json(sample_plan))
    assert rows["contract"] == 2
    assert rows["period"] == {"from": "2027-03-08", "to": "2027-03-14", "week": "2027-W10"}
    assert rows["today"] == "2027-03-03"
    for table, keys in KEYS.items():
        assert rows[table], table
        for row in rows[table]:
            assert set(keys.split()) <= row.keys(), table


def test_the_reference_page_has_every_key_and_no_other(sample_plan: Plan) -> None:
    """Of what a row holds in turn, the page says it in words."""
    page = Path(__file__).parents[2] / "docs" / "reference" / "plan-json.md"
    lines = re.findall(r"^\| `(\w+)` \|(.*?)\|(.*)\|$", page.read_text("utf-8"), re.MULTILINE)
    told = {key: set(re.findall(r"`(\w+)`", cells)) for key, _, cells in lines}
    rows = json.loads(plan_json(sample_plan))
    found = {
        key: set().union(*table) if isinstance(table, list) else set(table)
        for key, table in rows.items()
        if isinstance(table, list | dict)
    }
    assert {key: told[key] for key in found} == found
    assert list(told) == list(rows)


def test_numbers_are_json_numbers_close_to_the_exact_ones(sample_plan: Plan) -> None:
    rows = plan_rows(sample_plan)
    for row, exact in zip(rows["stock"], sample_plan.stock.values(), strict=True):
        assert isinstance(row["needed"], int | float)
        assert abs(Decimal(row["needed"]) - exact.needed) <= abs(exact.needed) * Decimal("1e-15")


def test_stock_has_everything_but_apparatus(sample_plan: Plan) -> None:
    rows = plan_rows(sample_plan)
    catalogue = sample_plan.catalogue
    names = {item.item for item in catalogue.items.values() if item.kind != "apparatus"}
    names |= {solution.solution for solution in catalogue.solutions.values()}
    assert {row["item"] for row in rows["stock"]} == names


def test_setting_out_has_a_row_where_sets_share_a_container(sample_plan: Plan) -> None:
    rows = plan_rows(sample_plan)["setting_out"]
    expected = {
        (work.session.session, sample_plan.label(line.name))
        for work in sample_plan.works
        for line in work.scale.lines
        if line.line.shared_by
    }
    assert {(row["session"], row["item"]) for row in rows} == expected
    assert len(rows) == len(expected)


def test_each_need_names_the_lots_that_its_session_takes_it_from(sample_plan: Plan) -> None:
    found = {
        (of_session["session"], row["item"]): of_session["lots"]
        for row in plan_rows(sample_plan)["needs"]
        for of_session in row["by_session"]
    }
    drawn = {
        (one.demand.wanted_by, sample_plan.label(one.demand.name)): [
            draw.lot.lot for draw in one.draws if draw.lot is not None
        ]
        for one in sample_plan.served.values()
        if not one.demand.is_for_batch and not one.demand.is_promised
    }
    assert any(drawn.values())
    assert found.items() >= drawn.items()


def test_a_week_without_sessions_is_a_plan_all_the_same(empty_plan: Plan) -> None:
    rows = plan_rows(empty_plan)
    assert rows["sessions"] == rows["needs"] == rows["making_up"] == []
