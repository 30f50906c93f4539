"""What the papers of a plan said, read from its JSON."""

import json

from prepstore.planning.papers import BenchThen, DeliveryThen, OrderThen
from prepstore.report.plan_json import plan_json
from prepstore.report.plan_papers import papers_in, papers_of
from tests.builders import day, number
from tests.planning.two_plans import edited, planned

YES, NO = (True,), (False, False)

YES, NO = (True,), (False, False)


def test_papers_that_were_kept_say_the_same() -> None:
    plan = planned()
    assert papers_in(json.loads(plan_json(plan))) == papers_of(plan)


def test_papers_name_amounts_lots_and_bottles() -> None:
    papers = papers_of(planned())
    assert papers.benches["S", "brine"] == BenchThen(number(240), (), 2, number(120))
    assert papers.benches["S", "salt"] == BenchThen(number(60), ("L1",), 0, number(0))
    (batch,) = papers.batches
    assert batch.parts["salt"] == (number(50), ("L1",))


def test_papers_name_orders_and_deliveries() -> None:
    papers = papers_of(planned(timetable=edited("timetable", ("Lab 2, 2", "Lab 2, 9"))))
    assert papers.orders == (OrderThen("A", "ether", 3, day("02-03"), day("02-02"), *NO),)
    assert papers.deliveries == (DeliveryThen("A", "ether", "PO 1", 1, day("02-01"), *YES),)
    assert papers.sessions["S"].prepare_by == day("02-01")
