"""Each difference says what to do about it."""

import pytest

from prepstore.report.change_list import change_lines, change_summary
from tests.planning.test_changes import made_since
from tests.planning.two_plans import BEFORE, differences, edited, without

MORE = {"timetable": edited("timetable", ("Lab 2, 2", "Lab 2, 9"))}


def _lines(today: str = "2027-01-28", **tables: str) -> dict[tuple[str, str], str]:
    found = differences(today, None, **tables)
    return {(line.heading, line.what): line.to_do for line in change_lines(found)}


@pytest.mark.parametrize(
    ("old", "new", "to_do"),
    [
        ("2027-02-02, 09:00", "2027-02-03, 09:00", "moved: prepare it by Tue 2 Feb"),
        ("S,       P", "S,       Q", "another practical: prepare it by Mon 1 Feb"),
        ("11:00, Lab 1, 6", "11:00, Lab 9, 6", "another room: set out in Lab 9"),
        ("11:00, Lab 1, 6", "11:00, ,      6", "another room: no room is given"),
        ("Lab 1, 6", "Lab 1, 8", "2 students more, 2 sets more"),
        ("Lab 1, 6", "Lab 1, 5", "1 student fewer, 1 set fewer"),
        ("Lab 1, 6", "Lab 1, 0", "cancelled"),
    ],
)
def test_what_happened_to_a_session_is_said_in_those_words(old: str, new: str, to_do: str) -> None:
    lines = _lines(timetable=edited("timetable", (old, new)))
    practical = "Q" if "Q" in new else "P"
    assert lines["Sessions", f"S ({practical})"] == to_do


def test_before_and_now_give_day_time_room_practical_and_numbers() -> None:
    table = edited("timetable", ("2027-02-02, 09:00, 11:00, Lab 1", "2027-02-03, 10:00, , Lab 1"))
    first = next(change_lines(differences(timetable=table)))
    assert first.before == "Tue 2 Feb 09:00–11:00, Lab 1, P, 6 students, 6 sets"
    assert first.now == "Wed 3 Feb 10:00, Lab 1, P, 6 students, 6 sets"


def test_a_session_out_of_these_days_says_where_it_is() -> None:
    table = edited("timetable", ("P,         2027-02-02", "P,         2027-02-09"))
    first = next(change_lines(differences(timetable=table)))
    assert first.to_do == "moved out of these days"
    assert first.now == "Tue 9 Feb, in another plan"


def test_what_is_laid_already_is_taken_back_or_carried_over() -> None:
    cancelled = _lines("2027-02-01", timetable=edited("timetable", ("Lab 1, 6", "Lab 1, 0")))
    assert cancelled["Sessions", "S (P)"] == "cancelled; take back what is set out already"
    moved = _lines("2027-02-01", timetable=edited("timetable", ("11:00, Lab 1, 6", "11:00, B, 6")))
    assert moved["Sessions", "S (P)"] == "another room: set out in B; carry over what is set out"
    swapped = _lines("2027-02-01", timetable=edited("timetable", ("S,       P", "S,       Q")))
    assert swapped["Sessions", "S (Q)"].endswith(
        "; change what is set out by the lines below, and leave the rest"
    )


def test_benches_say_what_to_add_in_which_bottles_and_from_where() -> None:
    more = _lines(timetable=edited("timetable", ("Lab 1, 6", "Lab 1, 8")))
    assert more["On the bench of S", "brine"] == "add 80 mL; in 3 shared, 120 mL in the fullest"
    broken = _lines(stock=without("stock", "L1"))
    assert broken["On the bench of S", "salt"] == "from L2"


def test_batches_say_what_to_make_more_when_and_what_not() -> None:
    more = _lines(timetable=edited("timetable", ("Lab 1, 4", "Lab 1, 7")))
    assert more["Make up", "brine"] == "make 500 mL more"
    recipe = _lines(solution_parts=edited("solution_parts", ("100 g/L", "110 g/L")))
    assert recipe["Make up", "brine"] == "weigh and measure again: see the sheet Make up"
    gone = edited("timetable", ("Lab 1, 6", "Lab 1, 0"), ("Lab 1, 4", "Lab 1, 0"))
    assert _lines(timetable=gone)["Make up", "brine"] == "no longer needed"
    made = _lines("2027-02-01", timetable=gone, stock=made_since("500 mL"))
    assert made["Make up", "brine"] == "no longer needed; made already (B1): keep it or discard it"


def test_orders_and_deliveries_say_what_to_send_and_what_to_take_in() -> None:
    assert _lines(**MORE)["Order", "A, ether"] == "order 3 by Tue 2 Feb"
    lines = {
        (line.heading, line.what): line.to_do
        for line in change_lines(differences(before=MORE, timetable=BEFORE["timetable"]))
    }
    assert lines["Order", "A, ether"] == (
        "no longer wanted: do not order it; if it is ordered, cancel it"
    )
    late = _lines(on_order=edited("on_order", ("2027-02-01", "2027-02-03")), **MORE)
    assert late["Deliveries", "A, ether"] == "take it in on Wed 3 Feb"


def test_the_rest_is_said_under_its_own_heading() -> None:
    table = edited("timetable", ("Lab 1, 4", "Lab 1, 9"), ("Lab 2, 2", "Lab 1, 14"))
    lines = _lines(timetable=table)
    assert lines["Apparatus and instruments", "funnel"] == "3 missing from Thu 4 Feb 09:00"
    assert lines["Waste containers", "waste"] == "1 container more; change it on Thu 4 Feb"
    assert lines["Look at", "U"] == "It overlaps with T in Lab 1 on Thu 4 Feb 2027."


def test_the_summary_fits_the_screen_and_gives_before_and_now(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "70")
    lines = list(change_summary(differences(timetable=MORE["timetable"]), "plan.json"))
    assert lines[0] == "Changes since plan.json"
    assert max(map(len, lines)) <= 70
    text = " ".join(" ".join(lines).split())
    assert "A, ether: order 3 by Tue 2 Feb (none before, 3 by Tue 2 Feb now)" in text


def test_no_difference_is_said() -> None:
    assert list(change_summary((), "plan.json"))[1] == "Nothing differs."


def test_what_there_is_only_to_know_is_told_from_what_there_is_to_do() -> None:
    more = {"timetable": edited("timetable", ("Lab 1, 4", "Lab 1, 9"), ("Lab 2, 2", "Lab 1, 14"))}
    then = list(change_lines(differences(timetable=more["timetable"])))
    assert all(line.is_to_do for line in then)
    again = list(change_lines(differences(before=more, timetable=BEFORE["timetable"])))
    only_told = {(line.heading, line.what) for line in again if not line.is_to_do}
    assert only_told == {
        ("Apparatus and instruments", "funnel"),
        ("Look at", "U"),
        ("What stands in the way", "U"),
    }


def test_a_shared_instrument_has_more_or_fewer_uses() -> None:
    balance = {
        "items": BEFORE["items"]
        .replace("turnaround", "minutes_per_use")
        .replace("each, 30", "each, 5")
    }
    found = differences(before=balance, timetable=edited("timetable", ("Lab 1, 6", "Lab 1, 8")))
    told = {(line.heading, line.what): line.to_do for line in change_lines(found)}
    assert told["On the bench of S", "funnel"] == "2 uses more"
    found = differences(before=balance, timetable=edited("timetable", ("Lab 1, 6", "Lab 1, 5")))
    told = {(line.heading, line.what): line.to_do for line in change_lines(found)}
    assert told["On the bench of S", "funnel"] == "1 use fewer"


def test_a_delivery_that_comes_too_late_is_asked_for() -> None:
    need = {"timetable": edited("timetable", ("Lab 2, 2", "Lab 2, 4"))}
    late = edited("on_order", ("2027-02-01", "2027-02-05"))
    told = {
        (line.heading, line.what): line.to_do
        for line in change_lines(differences(before=need, on_order=late))
    }
    assert told["Deliveries", "A, ether"] == (
        "comes on Fri 5 Feb, TOO LATE for what counted on it: ask for it sooner"
    )


def test_what_is_to_be_added_says_from_which_lots_and_where_they_stand() -> None:
    stock = """
        lot, item,   amount, place
        L1,  salt,   60 g,   shelf A
        L2,  salt,   500 g,
        E1,  ether,  600 mL,
        F1,  funnel, 6 each,"""
    before = {"stock": stock}
    more = differences(before=before, timetable=edited("timetable", ("Lab 1, 6", "Lab 1, 8")))
    told = {(line.heading, line.what): line.to_do for line in change_lines(more)}
    assert told["On the bench of S", "salt"] == "add 20 g from L1 (shelf A), L2"
    fewer = differences(before=before, timetable=edited("timetable", ("Lab 1, 6", "Lab 1, 5")))
    told = {(line.heading, line.what): line.to_do for line in change_lines(fewer)}
    assert told["On the bench of S", "salt"] == "take off 10 g"


def test_a_batch_of_as_much_from_other_lots_is_not_weighed_again() -> None:
    """The salt of brine comes from L1; when that is gone, it comes from L2."""
    found = differences(stock=without("stock", "L1"))
    told = {(line.heading, line.what): line.to_do for line in change_lines(found)}
    assert told["Make up", "brine"] == "take it from other lots: see the sheet Make up"


def test_a_delivery_that_was_due_and_has_not_come_is_asked_for() -> None:
    need = {"timetable": edited("timetable", ("Lab 2, 2", "Lab 2, 4"))}
    told = {
        (line.heading, line.what): line.to_do
        for line in change_lines(differences("2027-02-02", before=need))
    }
    assert told["Deliveries", "A, ether"] == "was due on Mon 1 Feb and has not come: ask for it"
