from decimal import Decimal

import pytest

from prepstore.amounts import Kind
from prepstore.movements import Booking, Movement, Recorded, SessionUse, What
from prepstore.problems import RefusedError
from prepstore.shelf.session_use import (
    Really,
    further_use,
    is_booked_out,
    session_corrected,
    session_named,
    session_used,
)
from tests.builders import day
from tests.shelf.small_shelf import moved
from tests.shelf.weeks import week

SHELF = week()
MON = session_named(SHELF.timetable, "mon")
LATE = session_named(SHELF.timetable, "Mon late")
TUE = session_named(SHELF.timetable, "Tue")


def _uses(booking: Booking) -> dict[str, tuple[int, int]]:
    """Return by item what was planned and used, in whole units."""
    return {use.item: (use.planned // 10**9, use.used // 10**9) for use in booking.uses}


def _recorded(booking: Booking) -> list[Recorded]:
    return [
        Recorded(number=n, entry=1, movement=one, on_day=day("02-01"), at_utc="", by="somebody")
        for n, one in enumerate(booking.movements, start=1)
    ]


def test_a_session_takes_what_was_set_out_from_the_lots_the_plan_chose() -> None:
    booking = session_used(SHELF, MON, {})
    assert moved(booking) == {"A2": "-400 mL", "B1": "-200 mL", "G1": "-4 each"}
    assert booking.session == "Mon"
    assert {movement.what for movement in booking.movements} == {What.USED}


def test_planned_and_used_are_kept_with_what_is_made_on_site_and_without_apparatus() -> None:
    assert _uses(session_used(SHELF, MON, {})) == {
        "acetone": (400, 400),
        "brine": (200, 200),
        "glove": (4, 4),
        "water": (4000, 4000),
    }


def test_what_a_batch_for_the_session_takes_is_not_the_sessions() -> None:
    """The batch, made first, takes all of the salt that expires first; the session the other."""
    shelf = week(
        practical_lines="""
            practical,item,amount,per,spare
            P,brine,50 mL,session,0 %
            P,salt,5 g,session,0 %
        """,
        timetable="session,practical,date,students\nMon,P,2027-02-01,4",
        stock="lot,item,amount,expiry\nS1,salt,20 g,2027-12-31\nS2,salt,1 kg,2028-12-31",
    )
    session = session_named(shelf.timetable, "Mon")
    booking = session_used(shelf, session, {}, as_far_as_there_is=True)
    assert moved(booking) == {"S2": "-5 g"}


def test_an_earlier_session_of_the_day_that_is_not_booked_keeps_what_is_its() -> None:
    with pytest.raises(RefusedError) as refused:
        session_used(SHELF, LATE, {})
    assert "brine: 150 mL are not on the shelf" in str(refused.value)
    booking = session_used(SHELF, LATE, {}, as_far_as_there_is=True)
    assert moved(booking) == {"A2": "-100 mL", "A1": "-300 mL", "B1": "-50 mL", "G1": "-4 each"}
    assert _uses(booking)["brine"] == (200, 50)
    told = session_used(SHELF, LATE, {"brine": Really(used=Decimal(200))})
    assert moved(told)["B1"] == "-200 mL"


def test_what_is_missing_says_how_to_go_on() -> None:
    with pytest.raises(RefusedError) as refused:
        session_used(SHELF, LATE, {})
    assert "prepstore stock make brine --week 2027-W05" in str(refused.value)
    assert 'stock use --session "Mon late" --as-far-as-there-is' in str(refused.value)


@pytest.mark.parametrize(
    ("really", "lots", "used"),
    [
        (Really(used=Decimal(450)), {"A2": "-450 mL"}, 450),
        (Really(used=Decimal(600)), {"A2": "-500 mL", "A1": "-100 mL"}, 600),
        (Really(back=Decimal(150)), {"A2": "-250 mL"}, 250),
        (Really(used=Decimal(0)), {}, 0),
        (Really(back=Decimal(400)), {}, 0),
    ],
)
def test_what_really_was_used_or_came_back_is_taken(
    really: Really, lots: dict[str, str], used: int
) -> None:
    booking = session_used(SHELF, MON, {"acetone": really})
    of_acetone = {lot: change for lot, change in moved(booking).items() if lot.startswith("A")}
    assert of_acetone == lots
    assert _uses(booking)["acetone"] == (400, used)


def test_something_that_was_not_set_out_may_have_been_used() -> None:
    booking = session_used(SHELF, MON, {"salt": Really(used=Decimal(5))})
    assert moved(booking)["S1"] == "-5 g"
    assert _uses(booking)["salt"] == (0, 5)


def test_more_cannot_come_back_than_was_set_out() -> None:
    with pytest.raises(RefusedError, match="More acetone came back than was set out, 400 mL"):
        session_used(SHELF, MON, {"acetone": Really(back=Decimal(401))})


def test_a_session_without_students_used_nothing() -> None:
    with pytest.raises(RefusedError, match="has nothing set out"):
        session_used(SHELF, session_named(SHELF.timetable, "Empty"), {})


def test_a_single_use_before_counts_towards_the_session() -> None:
    single = Booking(
        movements=(Movement(lot="A1", what=What.USED, billionths=-(10**11), unit=Kind.VOLUME),)
    )
    so_far = further_use(SHELF, MON, single).uses
    assert not is_booked_out(so_far)
    booking = session_used(SHELF, MON, {}, so_far)
    assert moved(booking)["A2"] == "-300 mL"
    assert _uses(booking)["acetone"] == (400, 300)
    assert is_booked_out([*so_far, *booking.uses])


def test_an_unknown_session_is_answered_with_the_nearest() -> None:
    with pytest.raises(RefusedError, match=r"Did you mean Mon late\?"):
        session_named(SHELF.timetable, "Mon lat")


def test_what_comes_back_later_goes_where_it_came_from_the_last_lot_first() -> None:
    booking = session_used(SHELF, MON, {"acetone": Really(used=Decimal(600))})
    back = session_corrected(
        SHELF, booking.uses, _recorded(booking), {"acetone": Really(back=Decimal(150))}
    )
    assert moved(back) == {"A1": "100 mL", "A2": "50 mL"}
    assert {movement.what for movement in back.movements} == {What.RETURNED}
    assert _uses(back) == {"acetone": (0, -150)}


def test_more_used_later_is_taken_from_what_expires_first() -> None:
    booking = session_used(SHELF, MON, {})
    more = session_corrected(
        SHELF, booking.uses, _recorded(booking), {"acetone": Really(used=Decimal(450))}
    )
    assert moved(more) == {"A2": "-50 mL"}
    assert _uses(more) == {"acetone": (0, 50)}


@pytest.mark.parametrize(
    ("item", "really", "says"),
    [
        ("acetone", Really(back=Decimal(500)), "More acetone came back than session Mon"),
        ("acetone", Really(used=Decimal(9000)), "acetone: 7.1 L are not on the shelf"),
        ("salt", Really(back=Decimal(1)), "More salt came back"),
    ],
)
def test_a_correction_that_cannot_be_is_refused(item: str, really: Really, says: str) -> None:
    booking = session_used(SHELF, MON, {})
    with pytest.raises(RefusedError, match=says):
        session_corrected(SHELF, booking.uses, _recorded(booking), {item: really})


@pytest.mark.parametrize("really", [{}, {"acetone": Really(used=Decimal(400))}])
def test_a_session_is_booked_out_once(really: dict[str, Really]) -> None:
    booking = session_used(SHELF, MON, {})
    with pytest.raises(RefusedError, match="Session Mon is booked out already"):
        session_corrected(SHELF, booking.uses, _recorded(booking), really)


def test_water_made_on_site_comes_back_into_no_lot() -> None:
    booking = session_used(SHELF, MON, {})
    back = session_corrected(
        SHELF, booking.uses, _recorded(booking), {"water": Really(back=Decimal(1000))}
    )
    assert back.movements == ()
    assert _uses(back) == {"water": (0, -1000)}


def test_a_session_is_booked_out_once_its_plan_is_recorded_and_not_undone() -> None:
    use = SessionUse(
        session="Mon", session_date=day("02-01"), practical="P", item="it", unit=Kind.MASS,
        planned=5, used=0,
    )  # fmt: skip
    assert is_booked_out([use])
    assert not is_booked_out([])


def test_what_a_session_did_not_find_is_kept_beside_what_it_used() -> None:
    booking = session_used(SHELF, LATE, {}, as_far_as_there_is=True)
    lacked = {use.item: use.lacked // 10**9 for use in booking.uses}
    assert lacked["brine"] == 150
    assert lacked["acetone"] == 0
    right = session_corrected(
        SHELF, booking.uses, _recorded(booking), {"brine": Really(used=Decimal(50))}
    )
    assert [(use.used, use.lacked) for use in right.uses] == [(0, -150 * 10**9)]
    assert right.movements == ()


def test_what_is_made_on_site_is_set_right_without_a_lot() -> None:
    booking = session_used(SHELF, MON, {})
    really = {"water": Really(used=Decimal(4500))}
    right = session_corrected(SHELF, booking.uses, _recorded(booking), really)
    assert _uses(right) == {"water": (0, 500)}
    assert right.movements == ()
