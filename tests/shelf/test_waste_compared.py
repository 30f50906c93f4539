"""What sessions were to send to waste beside what they sent, worked out by hand."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from prepstore.amounts import in_billionths
from prepstore.containers import ContainerChange, ContainerWhat, RecordedContainer
from prepstore.movements import SessionUse
from prepstore.planning.demands import SessionWork
from prepstore.planning.waste_by_session import sent_to_streams
from prepstore.shelf.session_waste import poured_by_session
from prepstore.shelf.shelf import Department
from prepstore.shelf.waste_compared import Compared, waste_compared
from tests.builders import figures, number
from tests.planning.shared_cases import law
from tests.planning.small_inventories import Case
from tests.shelf.test_session_waste import DAY, department, use


def _recorded(
    changes: Iterable[ContainerChange], session: str | None = "Mon", first: int = 1
) -> list[RecordedContainer]:
    return [
        RecordedContainer(
            number=place, entry=1, change=one, on_day=DAY, at_utc="", by="Kim", session=session
        )
        for place, one in enumerate(changes, start=first)
    ]


def _use(planned: str, used: str, item: str = "acetone", lacked: str = "0") -> SessionUse:
    lacks = in_billionths(number(lacked))
    return replace(use(used, item), planned=in_billionths(number(planned)), lacked=lacks)


def _poured(made: Department, *uses: SessionUse) -> tuple[ContainerChange, ...]:
    (session,) = made.timetable.sessions
    return poured_by_session(made, session, uses, [], DAY)


def _rows(
    uses: Sequence[SessionUse], history: Sequence[RecordedContainer]
) -> dict[str, tuple[object, ...]]:
    found = waste_compared(department(), uses, history)
    return {
        one.stream: figures(one.sessions, one.expected, one.allow_for, one.recorded)
        for one in found.rows
    }


def test_forecast_and_record_stand_beside_each_other() -> None:
    """Of 100 mL of acetone set out 54 mL go to liquid, 36 mL without spare; 50 mL were used."""
    uses = [_use("100", "50"), _use("20", "20", "ether")]
    history = _recorded(_poured(department(), *uses))
    assert _rows(uses, history) == {"liquid": (1, 36, 54, 27), "solid": (1, 7, 7, 7)}


def test_what_was_poured_in_without_the_session_or_undone_does_not_count() -> None:
    uses = [_use("100", "100")]
    poured = _poured(department(), *uses)
    other = _recorded(poured, session=None, first=10)
    undone = _recorded(poured, first=20)
    reversing = _recorded(
        [
            replace(one.change, what=ContainerWhat.UNDONE, reverses=one.number, billionths=-5)
            for one in undone
        ],
        session=None,
        first=30,
    )
    history = [*_recorded(poured), *other, *undone, *reversing]
    assert _rows(uses, history)["liquid"] == (1, 36, 54, 54)


def test_what_came_back_and_what_was_used_before_count_once_it_is_booked_out() -> None:
    single, whole, back = _use("0", "10"), _use("100", "90"), _use("0", "-20")
    history = _recorded(
        [*_poured(department(), single), *_poured(department(), whole)], first=1
    ) + _recorded(
        [replace(_poured(department(), use("20"))[0], billionths=-10_800_000_000)], "Mon", 9
    )
    assert _rows([single], history) == {}
    assert _rows([single, whole, back], history)["liquid"] == (
        1, 36, 54, number("5.4") + number("48.6") - number("10.8"),
    )  # fmt: skip


def test_only_what_lacked_something_that_goes_there_is_cut_short() -> None:
    uses = [_use("100", "60", lacked="40"), _use("20", "20", "ether")]
    found = waste_compared(department(), uses, _recorded(_poured(department(), *uses))).rows
    assert [(one.stream, one.cut_short) for one in found] == [("liquid", 1), ("solid", 0)]
    right = [*uses, replace(_use("0", "40"), lacked=-in_billionths(Decimal(40)))]
    assert [one.cut_short for one in waste_compared(department(), right, []).rows] == [0, 0]


def test_a_session_that_the_timetable_has_no_longer_is_named_and_in_no_row() -> None:
    gone = replace(_use("100", "50"), session="Gone")
    history = _recorded(_poured(department(), use("50")), session="Gone")
    found = waste_compared(department(), [gone], history)
    assert (found.rows, found.without_forecast) == ((), ("Gone",))


def test_the_difference_is_to_what_was_allowed_for() -> None:
    row = Compared("P", "s", department().goods.streams["liquid"].measure.kind, 1,
                   number(36), number(54), number(27), 0)  # fmt: skip
    assert figures(row.difference, row.percent) == figures(-27, -50)
    assert replace(row, allow_for=number(0)).percent is None


@law
def test_what_is_booked_as_planned_is_as_planned_and_as_the_plan_had_it(case: Case) -> None:
    """The plan's figure of a session, and what its booking pours, to the last digit."""
    plan, made = case.plan(), case.department
    forecast: dict[tuple[str, str], tuple[Decimal, Decimal]] = {}
    uses: list[SessionUse] = []
    history: list[RecordedContainer] = []
    for work in plan.works:
        of_session = _as_planned(made, work)
        uses += of_session
        poured = poured_by_session(made, work.session, of_session, [], work.session.date)
        history += _recorded(poured, work.session.session, len(history) + 1)
    for sent in sent_to_streams(plan):
        if isinstance(sent.of, SessionWork) and sent.stream.stream is not None:
            key = (sent.of.session.practical.casefold(), sent.stream.name)
            expected, allow_for = forecast.get(key, (Decimal(0), Decimal(0)))
            forecast[key] = expected + sent.amount.expected, allow_for + sent.amount.allow_for
    rows = {
        (one.practical.casefold(), one.stream): one
        for one in waste_compared(made, uses, history).rows
    }
    assert all(one.difference == 0 and one.cut_short == 0 for one in rows.values())
    for key, (expected, allow_for) in forecast.items():
        if expected or allow_for:
            assert abs(rows[key].expected - expected) < Decimal("1e-7")
            assert abs(rows[key].allow_for - allow_for) < Decimal("1e-7")
    assert {key for key, amounts in forecast.items() if any(amounts)} == rows.keys()


def _as_planned(made: Department, work: SessionWork) -> list[SessionUse]:
    return [
        SessionUse(
            session=work.session.session,
            session_date=work.session.date,
            practical=work.session.practical,
            item=made.materials[name].name,
            unit=made.materials[name].unit,
            planned=in_billionths(amount),
            used=in_billionths(amount),
        )
        for name, amount in work.scale.needs.items()
    ]
