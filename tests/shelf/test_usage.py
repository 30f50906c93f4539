from dataclasses import replace
from decimal import Decimal

from prepstore.amounts import Kind
from prepstore.movements import SessionUse
from prepstore.shelf.usage import usage_of
from tests.builders import day, figures

BILLION = 10**9


def _use(session: str, planned: int, used: int, item: str = "acetone") -> SessionUse:
    return SessionUse(
        session=session, session_date=day("02-01"), practical="P", item=item, unit=Kind.VOLUME,
        planned=planned * BILLION, used=used * BILLION,
    )  # fmt: skip


def test_sessions_of_a_practical_are_added_up_by_item() -> None:
    uses = [
        _use("Mon", 400, 300),
        _use("Tue", 200, 240),
        _use("Mon", 0, 20),
        _use("Mon", 9, 9, "b"),
    ]
    first, second = usage_of(uses)
    assert figures(first.item, first.sessions, first.planned, first.used) == figures(
        "acetone", 2, 600, 560
    )
    assert first.percent is not None
    assert round(first.percent, 4) == Decimal("-6.6667")  # 40 of 600
    assert figures(second.item, second.difference, second.percent) == figures("b", 0, 0)


def test_what_was_not_planned_has_no_percentage() -> None:
    (row,) = usage_of([_use("Mon", 0, 20)])
    assert figures(row.used, row.percent) == figures(20, None)


def test_a_session_that_was_undone_is_gone() -> None:
    assert usage_of([_use("Mon", 400, 300), _use("Mon", -400, -300)]) == []


def test_a_session_that_was_cut_short_is_kept_apart_from_one_that_used_less() -> None:
    short = replace(_use("Tue", 200, 50), lacked=150 * BILLION)
    (row,) = usage_of([_use("Mon", 400, 300), short])
    assert figures(row.sessions, row.planned, row.used, row.difference) == figures(
        1, 400, 300, -100
    )
    assert figures(row.cut_short, row.lacked) == figures(1, 150)
    (alone,) = usage_of([short])
    assert figures(alone.sessions, alone.percent, alone.cut_short) == figures(0, None, 1)


def test_a_session_that_was_cut_short_and_set_right_counts_like_any_other() -> None:
    short = replace(_use("Tue", 200, 50), lacked=150 * BILLION)
    right = replace(_use("Tue", 0, 130), lacked=-150 * BILLION)
    (row,) = usage_of([short, right])
    assert figures(row.sessions, row.planned, row.used, row.cut_short) == figures(1, 200, 180, 0)
