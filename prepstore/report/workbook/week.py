"""Week: the sessions, what stands in the way of each, and what else to look at."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from typing import Final

from prepstore.planning.batches import Batch
from prepstore.planning.demands import SessionWork
from prepstore.planning.not_counted import not_counted
from prepstore.planning.plan import Plan
from prepstore.planning.states import Lack, SessionPlan, State
from prepstore.report.not_counted_words import beside_in_words
from prepstore.report.option_words import options_in_words
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
    SheetColumn("Day, time", 11),
    SheetColumn("Session", 11),
    SheetColumn("Practical", 31),
    SheetColumn("Room", 10),
    SheetColumn("Stu- dents", 6, CellForm.COUNT),
    SheetColumn("Sets", 5, CellForm.COUNT),
    SheetColumn("What is missing, and what to do", 67),
)
_WORDS: Final = {
    State.DONE: "done",
    State.LATE: "LATE",
    State.ORDER: "ORDER",
    State.MAKE_UP: "MAKE UP",
    State.COVERED: "covered",
}


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
    if plan.behind:
        yield (band(_BEHIND), *(_over(plan, work) for work in plan.behind))
    if plan.warnings:
        yield (band("Look at these as well"), *_warnings(plan))


_BEHIND: Final = (
    "Over, and not booked out: what they were to take (prepstore stock use --until DAY)"
)


def _over(plan: Plan, work: SessionWork) -> SheetRow:
    """Return a session that is over, with all that it was to use up."""
    taken = (
        f"{plan.label(name)} {amount_in_words(amount, plan.materials[name].unit)}"
        for name, amount in work.scale.needs.items()
        if name in plan.stock
    )
    return SheetRow(("over", _when(work), work.session.session, "; ".join(taken)), runs_from=3)


def _summary(plan: Plan) -> str:
    if not plan.sessions:
        return "No session falls in this period."
    counts = Counter(session.state for session in plan.sessions)
    parts = [f"{counts[state]} {_WORDS[state]}" for state in _WORDS if counts[state]]
    return (
        f"{len(plan.sessions)} sessions: {', '.join(parts)}. LATE: something cannot be there in "
        "time. ORDER: something is still to be bought. MAKE UP: solutions are to be made, and "
        "what they are made from is there."
    )


def _session(plan: Plan, session: SessionPlan, batches: list[Batch]) -> Block:
    ways = list(_lacks(plan, session))
    options = "; ".join(options_in_words(plan, session))
    if options:
        ways.append(f"what can be done: {options}")
    if batches:
        ways.append(_make_up(batches))
    look = Look.ALERT if session.state is State.LATE else Look.PLAIN
    in_the_way = "\n".join(ways) or _nothing(session)
    return (SheetRow((*_head(plan, session), in_the_way), look),)


def _head(plan: Plan, session: SessionPlan) -> tuple[Value, ...]:
    work = session.work
    return (
        _WORDS[session.state],
        _when(work),
        work.session.session,
        title_of(plan, work) + _left_out(session),
        work.session.room,
        work.session.students,
        work.scale.sets,
    )


def _when(work: SessionWork) -> str:
    return f"{day_in_words(work.session.date)}\n{times_in_words(work)}".strip()


def _left_out(session: SessionPlan) -> str:
    left_out = session.work.session.leave_out
    return f"\nleft out: {', '.join(left_out)}" if left_out else ""


def _lacks(plan: Plan, session: SessionPlan) -> Iterator[str]:
    """Yield what is to be done, with all that waits for it and how much of each is missing."""
    waiting: dict[str, list[str]] = {}
    for lack in session.lacks:
        amount = amount_in_words(lack.amount, plan.materials[lack.name].unit)
        waiting.setdefault(_to_do(plan, lack), []).append(f"{plan.label(lack.name)} {amount}")
    for to_do, missing in waiting.items():
        yield f"{to_do}: {', '.join(missing)}"


def _to_do(plan: Plan, lack: Lack) -> str:
    word = "LATE" if lack.is_late else "ORDER"
    beside = beside_in_words(not_counted(plan, lack.name))
    return "; ".join(filter(None, (f"{word}, {lack_in_words(lack)}", beside)))


def _make_up(batches: list[Batch]) -> str:
    """Return which solutions are made on which day; how much stands on `Make up`."""
    by_day: dict[date, list[str]] = {}
    for batch in batches:
        by_day.setdefault(batch.day_of_making, []).append(batch.solution.solution)
    made = (f"on {day_in_words(day)} {', '.join(names)}" for day, names in by_day.items())
    return f"make up {'; '.join(made)}"


def _nothing(session: SessionPlan) -> str:
    if session.state is State.DONE:
        return "done before this plan was made"
    if session.work.session.students == 0:
        return "no students"
    return "nothing: stock and deliveries cover it"


def _warnings(plan: Plan) -> Iterator[SheetRow]:
    for one in plan.warnings:
        yield SheetRow(("LOOK", f"{one.about}: {warning_in_words(one)}"), runs_from=1)
