"""Week: the sessions, what stands in the way of each, and what else to look at."""

from collections import Counter
from collections.abc import Iterator
from typing import Final

from prepstore.amounts import Kind
from prepstore.planning.batches import Batch
from prepstore.planning.plan import Plan
from prepstore.planning.states import Lack, SessionPlan, State
from prepstore.report.warning_sentences import warning_in_words
from prepstore.report.wording import (
    amount_in_words,
    day_in_words,
    lack_in_words,
    period_in_words,
)
from prepstore.report.workbook.page import (
    Block,
    CellForm,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    Value,
    band,
    note,
)
from prepstore.report.workbook.sources import times_in_words, title_of

COLUMNS: Final = (
    SheetColumn("Stands", 9, CellForm.WORD),
    SheetColumn("Day", 10),
    SheetColumn("Time", 11),
    SheetColumn("Session", 12),
    SheetColumn("Practical", 28),
    SheetColumn("Room", 10),
    SheetColumn("Students", 8, CellForm.COUNT),
    SheetColumn("Sets", 6, CellForm.COUNT),
    SheetColumn("In the way: item or solution", 26),
    SheetColumn("Amount", 9),
    SheetColumn("What is to be done", 42),
)
_WORDS: Final = {
    State.DONE: "done",
    State.LATE: "LATE",
    State.ORDER: "ORDER",
    State.MAKE_UP: "MAKE UP",
    State.COVERED: "covered",
}
_BEFORE_THE_WAY: Final = 8


def week_page(plan: Plan) -> Page:
    """Return the sheet of sessions."""
    return Page("Week", period_in_words(plan.period), COLUMNS, _blocks(plan))


def _blocks(plan: Plan) -> Iterator[Block]:
    yield (note(_summary(plan)),)
    batches: dict[str, list[Batch]] = {}
    for batch in plan.batches:
        for work in batch.sessions:
            batches.setdefault(work.session.session, []).append(batch)
    for session in plan.sessions:
        yield _session(plan, session, batches.get(session.work.session.session, []))
    if plan.warnings:
        yield (band("Look at these as well"), *_warnings(plan))


def _summary(plan: Plan) -> str:
    if not plan.sessions:
        return "No session falls in this period."
    counts = Counter(session.state for session in plan.sessions)
    parts = [f"{counts[state]} {_WORDS[state]}" for state in _WORDS if counts[state]]
    return (
        f"{len(plan.sessions)} sessions: {', '.join(parts)}. LATE: something cannot be there in "
        "time. ORDER: something is still to be bought. MAKE UP: solutions are to be made, and "
        "what they are made from is in hand."
    )


def _session(plan: Plan, session: SessionPlan, batches: list[Batch]) -> Block:
    ways: list[tuple[tuple[Value, ...], int | None]]
    ways = [(way, None) for way in _lacks(plan, session)]
    if batches:
        ways.append(((_make_up(batches),), _BEFORE_THE_WAY))
    if not ways:
        ways.append(((_nothing(session),), _BEFORE_THE_WAY))
    look = Look.ALERT if session.state is State.LATE else Look.PLAIN
    (first, runs_from), *others = ways
    return (
        SheetRow((*_head(plan, session), *first), look, runs_from),
        *(SheetRow((*[None] * _BEFORE_THE_WAY, *way), runs_from=runs) for way, runs in others),
    )


def _head(plan: Plan, session: SessionPlan) -> tuple[Value, ...]:
    work = session.work
    return (
        _WORDS[session.state],
        day_in_words(work.session.date),
        times_in_words(work),
        work.session.session,
        title_of(plan, work) + _left_out(session),
        work.session.room,
        work.session.students,
        work.scale.sets,
    )


def _left_out(session: SessionPlan) -> str:
    left_out = session.work.session.leave_out
    return f"\nleft out: {', '.join(left_out)}" if left_out else ""


def _lacks(plan: Plan, session: SessionPlan) -> Iterator[tuple[Value, ...]]:
    """Yield what is short; what is to be done is said once for all that follow with the same."""
    said: Value = None
    for lack in session.lacks:
        name, amount, to_do = _lack(plan, lack)
        yield name, amount, "as above" if to_do == said else to_do
        said = to_do


def _lack(plan: Plan, lack: Lack) -> tuple[Value, ...]:
    amount = amount_in_words(lack.amount, plan.materials[lack.name].unit)
    word = "LATE" if lack.is_late else "ORDER"
    return plan.label(lack.name), amount, f"{word}: {lack_in_words(lack)}"


def _make_up(batches: list[Batch]) -> str:
    made = (
        f"{batch.solution.solution}, {amount_in_words(batch.volume_ml, Kind.VOLUME)}, on "
        f"{day_in_words(batch.make_on)}"
        for batch in batches
    )
    return f"make up: {'; '.join(made)}"


def _nothing(session: SessionPlan) -> str:
    if session.state is State.DONE:
        return "done before this plan was made"
    if session.work.session.students == 0:
        return "no students"
    return "nothing: stock and deliveries cover it"


def _warnings(plan: Plan) -> Iterator[SheetRow]:
    for one in plan.warnings:
        yield SheetRow(("LOOK", f"{one.about}: {warning_in_words(one)}"), runs_from=1)
