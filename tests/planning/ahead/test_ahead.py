from tests.planning.ahead.terms import ahead


def test_a_term_has_its_weeks_items_orders_and_the_first_week_that_was_asked_for() -> None:
    found = ahead(first="2027-W06", weeks=2)
    assert found.asked_from.week == "2027-W06"
    assert [week.week for week in found.term.weeks] == ["2027-W05", "2027-W06", "2027-W07"]
    assert [item.name for item in found.items] == ["acetone", "salt"]
    assert [row.chance.item.name for row in found.orders.rows] == ["acetone"]
    assert found.label("acetone") == "acetone"
