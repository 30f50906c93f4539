import csv
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from prepstore.cell_types import Name
from prepstore.planning.ordering.order_choice import chosen_by_item
from prepstore.planning.plan import Plan
from prepstore.report.order_files import write_orders


def _rows(files: Iterable[Path]) -> list[dict[str, str]]:
    return [row for file in files for row in csv.DictReader(file.read_text("utf-8").splitlines())]


def test_every_order_row_is_in_its_supplier_s_file(sample_plan: Plan, tmp_path: Path) -> None:
    rows = _rows(write_orders(sample_plan, tmp_path))
    assert {row["pack"] for row in rows} == {order.offer.pack.pack for order in sample_plan.orders}
    assert sum(Decimal(row["cost"]) for row in rows) == sum(
        order.cost for order in sample_plan.orders
    )


def test_two_suppliers_whose_names_differ_only_in_signs_get_a_file_each(
    sample_plan: Plan, tmp_path: Path
) -> None:
    first, second = sample_plan.orders[:2]
    renamed = [
        replace(
            order,
            offer=replace(order.offer, supplier=replace(order.offer.supplier, supplier=Name(name))),
        )
        for order, name in ((first, "A & B"), (second, "A + B"))
    ]
    files = write_orders(replace(sample_plan, ordering=chosen_by_item(renamed)), tmp_path)
    assert len(set(files)) == 2
    assert len(_rows(files)) == 2


def test_a_text_that_would_run_is_not_written_as_a_formula(
    sample_plan: Plan, tmp_path: Path
) -> None:
    order = sample_plan.orders[0]
    risky = replace(order.offer, supplier=replace(order.offer.supplier, supplier=Name("=cmd")))
    plan = replace(sample_plan, ordering=chosen_by_item([replace(order, offer=risky)]))
    [row] = _rows(write_orders(plan, tmp_path))
    assert row["supplier"] == "'=cmd"


def test_nothing_to_order_writes_no_file(sample_plan: Plan, tmp_path: Path) -> None:
    assert write_orders(replace(sample_plan, ordering=chosen_by_item([])), tmp_path) == {}
