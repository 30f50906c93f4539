from decimal import Decimal

from prepstore.amounts import Kind
from prepstore.planning.draws import Draw
from prepstore.report.workbook.sources import (
    demands_of,
    drawn_in_words,
    parts_got,
    session_in_words,
    sessions_in_words,
    times_in_words,
)
from tests.builders import batches_of, delivery, lot, session_of, work
from tests.report.workbook.a_week import a_week


def test_a_draw_names_lot_and_place_and_the_amount_where_there_are_several() -> None:
    draws = [
        Draw(Decimal(1500), lot=lot("L1", "2 L", place="shelf A")),
        Draw(Decimal(20), lot=lot("L2", "1 L")),
        Draw(Decimal(5), delivery=delivery("02-01", 100, "P-1", "PO 7")),
        Draw(Decimal(3)),
    ]
    assert drawn_in_words(draws[:1], Kind.VOLUME) == "L1 (shelf A)"
    assert drawn_in_words(draws, Kind.VOLUME).split("\n") == [
        "L1 (shelf A): 1.5 L",
        "L2: 20 mL",
        "delivery of P-1, PO 7, due Mon 1 Feb: 5 mL",
        "made on site: 3 mL",
    ]


def test_a_session_is_named_with_its_day_and_times() -> None:
    work = session_of(a_week(), "Tue am").work
    assert session_in_words(work) == "Tue am (Tue 2 Feb 09:00)"
    assert times_in_words(work) == "09:00–12:00"


def test_parts_of_a_batch_come_from_the_draws_of_its_own_demands() -> None:
    plan = a_week()
    for batch in plan.batches:
        for need, one in zip(batch.parts, parts_got(plan, batch), strict=True):
            assert (one.demand.name, one.demand.amount) == (need.name, need.amount)
            assert one.demand.wanted_by == batch.name


def test_a_session_knows_the_batch_that_serves_it() -> None:
    plan = a_week()
    batch = batches_of(plan, "hydrogencarbonate wash")[0]
    demand = demands_of(plan)["hydrogencarbonate wash", "Tue am"]
    assert plan.made_for[demand] is batch


def test_few_sessions_are_named_with_day_and_start_and_many_day_by_day() -> None:
    days = ["02-01", "02-01", "02-02", "02-02", "02-03"]
    works = [work(f"S{at}", f"2027-{on}", start="09:00") for at, on in enumerate(days)]
    assert sessions_in_words(works[1:3]) == "S1 (Mon 1 Feb 09:00), S2 (Tue 2 Feb 09:00)"
    assert sessions_in_words(works) == "Mon 1 Feb: S0, S1; Tue 2 Feb: S2, S3; Wed 3 Feb: S4"


def test_a_part_of_an_amount_says_how_much_it_is() -> None:
    draws = [Draw(Decimal(1500), lot=lot("L1", "2 L", place="shelf A"))]
    assert drawn_in_words(draws, Kind.VOLUME, is_part=True) == "L1 (shelf A): 1.5 L"
