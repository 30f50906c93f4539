from pathlib import Path

from prepstore.planning.plan import Plan
from prepstore.report.screen import columns
from prepstore.report.terminal import plan_summary, waste_table


def test_every_line_fits_the_screen(sample_plan: Plan) -> None:
    lines = [*plan_summary(sample_plan, Path("plan.xlsx")), *waste_table(sample_plan)]
    assert max(len(line) for line in lines) <= columns()


def test_a_late_order_is_named_first_with_what_it_stops(sample_plan: Plan) -> None:
    text = " ".join(" ".join(plan_summary(sample_plan, None)).split())
    orders = text[text.index("Order by ") :]
    assert orders.startswith(
        "Order by LATE, send to Lindqvar Fine Chemicals by Wed 3 Mar: 1 line, 73.00 EUR"
    )
    assert "sodium borohydride 25 g, arrives Tue 16 Mar, stops W10-Fri-1" in orders


def test_each_batch_stands_with_its_day_and_volume(sample_plan: Plan) -> None:
    text = " ".join(" ".join(plan_summary(sample_plan, None)).split())
    assert "7.5 L sodium hydroxide 0.1 mol/L in 2 makings" in text
    assert all(batch.solution.solution in text for batch in sample_plan.batches)


def test_a_week_without_sessions_says_nothing_under_each_heading(empty_plan: Plan) -> None:
    lines = list(plan_summary(empty_plan, None))
    assert "0 sessions" in lines
    assert lines[lines.index("Late") + 1] == "  nothing"
    assert lines[lines.index("Make up") + 1] == "  nothing"


def test_the_waste_table_repeats_the_cautions(sample_plan: Plan) -> None:
    assert "local codes and a competent person come first" in " ".join(
        " ".join(waste_table(sample_plan)).split()
    )


def test_a_collection_to_call_stands_below_the_waste(sample_plan: Plan) -> None:
    text = " ".join(" ".join(plan_summary(sample_plan, None)).split())
    waste = text[text.index("Waste to allow for") : text.index("Look at")]
    assert waste.strip().endswith(
        "Call a collection by Wed 3 Mar 2027: on Thu 11 Mar 2027 the last container of "
        "non-halogenated solvent is full. Call a collection by Thu 11 Mar 2027: on Thu 18 Mar 2027 "
        "there is more waste than waste_most_held."
    )
