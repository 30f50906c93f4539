"""What paper says of gas and acids with what is in the open container."""

from prepstore.report.container_acidity_words import (
    acidity_of_container_in_words,
    gas_of_session,
    tells_of_gas,
)
from tests.planning.a_waste_room import planned_with

_HEAD = "practical, per, item, amount, spare, to, holds_back\n"
WASH = _HEAD + "P, group, bicarb, 84.0 g, 0 %, acid waste,"
ONE_GROUP = "session, practical, date, students\nS1, P, 2027-02-01, 1"


def test_gas_stands_with_the_balance_before_and_after() -> None:
    """100 mL of acid are 1.1975 mol, 84.0 g of NaHCO3 0.9999 mol."""
    plan = planned_with(
        "acid waste", "acid", of_each=100, practical_lines=WASH, timetable=ONE_GROUP
    )
    (one,) = plan.acidity_of_containers
    assert acidity_of_container_in_words(one) == (
        "now acids 1.2 mol, bases 0 mol: 1.2 mol too much acid; with what is sent to it acids "
        "1.2 mol, bases 1 mol: 0.2 mol too much acid; up to 24 L of carbon dioxide: let it off "
        "before a funnel or a bottle is closed"
    )
    assert list(gas_of_session(plan.acidity_of_containers, "S1")) == [
        ("acid waste", "with what is in its open container up to 24 L of carbon dioxide")
    ]
    assert list(gas_of_session(plan.acidity_of_containers, "S2")) == []


def test_gas_of_what_was_in_it_may_have_formed_before() -> None:
    plan = planned_with("acid waste", "acid", "bicarb", practical_lines=WASH, timetable=ONE_GROUP)
    (one,) = plan.acidity_of_containers
    formed = "up to 5.8 L of carbon dioxide, of which up to 5.7 L may have formed before"
    assert formed in acidity_of_container_in_words(one)


def test_what_is_not_known_is_told() -> None:
    plan = planned_with(
        "acid waste", "nitric", "vinegar", unknown=300, practical_lines=WASH, timetable=ONE_GROUP
    )
    (one,) = plan.acidity_of_containers
    assert acidity_of_container_in_words(one).endswith(
        "; of 300 mL in it nobody knows what it is; not counted: vinegar, so there may be more "
        "acid, base or gas"
    )
    ((_, words),) = gas_of_session([one], "S1")
    assert words.startswith("with what is in its open container (as far as it is known) up to ")


def test_where_nothing_comes_to_it_one_balance_is_told_and_no_gas() -> None:
    lines = _HEAD + "P, group, propanone, 10 mL, 0 %, acid waste,"
    plan = planned_with("acid waste", "acid", practical_lines=lines, timetable=ONE_GROUP)
    (one,) = plan.acidity_of_containers
    assert not tells_of_gas(one)
    assert acidity_of_container_in_words(one) == (
        "now acids 0.24 mol, bases 0 mol: 0.24 mol too much acid"
    )


def test_a_breath_of_gas_is_not_told() -> None:
    lines = WASH.replace("84.0 g", "5 mg")
    plan = planned_with("acid waste", "acid", practical_lines=lines, timetable=ONE_GROUP)
    (one,) = plan.acidity_of_containers
    assert one.can_give_more
    assert not tells_of_gas(one)
