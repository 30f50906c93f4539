from decimal import Decimal

from prepstore.planning.ahead.chances import Asked, all_covers, asked_of, order_of
from tests.builders import figures
from tests.planning.ahead.terms import ahead, tables_of


def asked(**given: str) -> Asked:
    """Return what is asked of acetone, of which nothing is there."""
    found = ahead(tables=tables_of(stock="0 mL", **given))
    return asked_of(found.term, found.items[0])


def days(of: Asked) -> list[tuple[str, str]]:
    return [(f"{one.placed:%m-%d}", f"{one.arrives:%m-%d}") for one in of.chances]


def test_a_pack_may_be_ordered_on_the_first_working_day_of_each_week_that_helps() -> None:
    """What is ordered on the 15th comes on the 17th, after the last day of need."""
    assert days(asked()) == [("02-01", "02-03"), ("02-08", "02-10")]
    restocked = asked(minimum="1 L")
    assert days(restocked)[2:] == [("02-15", "02-17")]
    assert {order_of(one) for one in restocked.chances} == {
        ("north", 0),
        ("north", 1),
        ("north", 2),
    }


def test_what_comes_too_late_is_wanted_on_the_day_on_which_the_soonest_comes() -> None:
    """Needed on the 2nd, the 9th and the 16th; the soonest comes on the 3rd."""
    wants = asked().wants
    assert [figures(one.amount, f"{one.last:%m-%d}") for one in wants] == [
        (1000, "02-03"),
        (1000, "02-09"),
        (1000, "02-16"),
    ]


def test_spare_and_restock_are_no_must() -> None:
    wants = asked(spare="20 %", minimum="500 mL").wants
    assert [figures(one.amount, one.must) for one in wants] == [(1200, 1000)] * 3 + [(500, 0)]


def test_all_that_is_wanted_up_to_a_day_must_come_up_to_it() -> None:
    """The first, which is late, takes what comes on the 3rd; then all of them together."""
    of = asked()
    covers = sorted(all_covers([of]), key=lambda cover: (cover.amount, cover.candidates))
    assert [figures(cover.candidates, cover.amount) for cover in covers] == [
        ((0,), 1000),
        ((0,), 2000),
        ((0, 1), 3000),
    ]
    assert all(cover.least_price == Decimal("0.01") for cover in covers)


def test_what_does_not_keep_is_wanted_between_two_days() -> None:
    wants = asked(keeps="7").wants
    assert [f"{one.first:%m-%d}" for one in wants] == ["02-03", "02-03", "02-10"]


def test_on_a_closed_day_what_is_late_must_be_covered_by_what_is_ordered_today() -> None:
    """By hand: ordered on Saturday the 6th or on Monday it comes on Wednesday, after the 9th."""
    tables = tables_of(stock="0 mL")
    tables["timetable"] = "session,practical,date,students\nS1,P,2027-02-10,4"
    found = ahead(tables=tables, today="2027-02-06")
    of = asked_of(found.term, found.items[0])
    assert days(of) == [("02-06", "02-10"), ("02-08", "02-10")]
    assert sorted(cover.candidates for cover in all_covers([of])) == [(0,), (0, 1)]
