from prepstore.amounts import settle
from prepstore.planning.plan import Plan
from prepstore.report.totals import TOTAL, waste_by_day, waste_by_day_lines


def test_days_add_up_to_the_total_of_each_stream(sample_plan: Plan) -> None:
    frame = waste_by_day(sample_plan)
    for _, row in frame.iterrows():
        assert settle(sum(row.drop(TOTAL))) == settle(row[TOTAL])


def test_the_lines_name_every_stream(sample_plan: Plan) -> None:
    text = "\n".join(waste_by_day_lines(sample_plan))
    assert all(stream.name in text for stream in sample_plan.waste.streams)


def test_a_period_without_sessions_has_streams_and_no_days(empty_plan: Plan) -> None:
    assert list(waste_by_day(empty_plan).columns) == [TOTAL]
