from decimal import Decimal

from prepstore.report.workbook.page import Value
from prepstore.report.workbook.workings import workings_page
from tests.report.workbook.a_week import a_week, values_of


def figures(step: str, name: str) -> list[dict[str, Value]]:
    return [
        row
        for row in values_of(workings_page(a_week()))
        if (row["Step"], row["Item, solution or stream"]) == (step, name)
    ]


def test_a_line_shows_what_it_is_multiplied_from_and_what_it_replaces() -> None:
    line = figures("line", "ethyl acetate")[0]
    assert line["As written"] == "30 mL a group"
    assert (line["One, in unit"], line["Count"], line["Spare"], line["Comes to"]) == (45, 7, 0, 315)
    assert "one: x 1.5; " in str(line["How"])
    assert "dichloromethane replaced by ethyl acetate" in str(line["How"])


def test_a_counted_need_is_its_lines_up_to_whole() -> None:
    assert figures("line", "filter paper")[0]["Comes to"] == Decimal("46.2")
    assert figures("need", "filter paper")[0]["Comes to"] == 47


def test_a_batch_shows_who_wants_it_how_it_is_rounded_and_its_parts() -> None:
    wash = "hydrogencarbonate wash"
    assert [row["Comes to"] for row in figures("batch wants", wash)] == [350, 150]
    assert figures("batch in all", wash)[0]["Comes to"] == 500
    assert "whole steps of 100 mL" in str(figures("batch made", wash)[0]["How"])
    assert figures("batch part", "sodium hydrogencarbonate")[0]["Comes to"] == 25


def test_draws_and_what_is_missing_add_up_to_what_is_needed() -> None:
    drawn = figures("draw", "ethyl acetate") + figures("SHORT", "ethyl acetate")
    assert sum(Decimal(str(row["Comes to"])) for row in drawn) == 450


def test_a_restock_an_order_and_containers_say_how_they_came_about() -> None:
    assert "minimum of 500 mL" in str(figures("restock", "ethyl acetate")[0]["How"])
    orders = figures("order", "ethyl acetate")
    assert "covers short 350 mL and restock 2000 mL" in str(orders[0]["How"])
    assert figures("containers", "aqueous acid")[0]["How"] == (
        "(600 in it now + 700) / 900 mL a filling, rounded up"
    )
