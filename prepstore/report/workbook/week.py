"""Week: the sessions, what stands in the way of each, and what else to look at."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from prepstore.planning.batches import Batch
from prepstore.planning.demands import SessionWork
from prepstore.planning.not_counted import not_counted
from prepstore.planning.plan import Plan
from prepstore.planning.states import Lack, SessionPlan, State
from prepstore.planning.warned import Warned
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
    Told,
    Value,
    band,
    note,
)
from prepstore.report.workbook.sources import times_in_words, title_of

COLUMNS: Final = (
    SheetColumn("Stands", 8.1, CellForm.WORD),
    SheetColumn("Day, time", 11.5),
    SheetColumn("Session, room", 11.2),
    SheetColumn("Practical", 18.5),
    SheetColumn("Stu- dents", 5.8, CellForm.COUNT),
    SheetColumn("Sets", 5, CellForm.COUNT),
    SheetColumn("What is missing, and what to do", 43.9),
)
_WORDS: Final = {
    State.DONE: "done",
    State.LATE: "LATE",
    State.ORDER: "ORDER",
    State.MAKE_UP: "MAKE UP",
    State.COVERED: "covered",
}


def week_page(plan: Plan, others: Sequence[Page] = ()) -> Page:
    """Return the sheet of sessions, which names those of the others that take no paper.

    Warnings of what is printed on another page stand below the rest for the screen.
    """
    elsewhere = [one for one in plan.warnings if one.code in _ON_ANOTHER_PAGE]
    return Page(
        "Week",
        period_in_words(plan.period),
        COLUMNS,
        _blocks(plan, others),
        is_upright=True,
        on_screen=_warned(_ELSEWHERE, elsewhere),
    )


def _blocks(plan: Plan, others: Sequence[Page]) -> Iterator[Block]:
    yield (note(" ".join((_summary(plan), *_not_printed(others)))),)
    batches: dict[str, list[Batch]] = {}
    for batch in plan.batches:
        for work in batch.sessions:
            batches.setdefault(work.session.session, []).append(batch)
    for session in plan.sessions:
        yield _session(plan, session, batches.get(session.work.session.session, []))
    if plan.behind:
        yield (band(_BEHIND), *(_over(plan, work) for work in plan.behind))
    yield from _warned(_LOOK, [one for one in plan.warnings if one.code not in _ON_ANOTHER_PAGE])


_LOOK: Final = "Look at these as well"
_ELSEWHERE: Final = (
    "For the screen, and not printed here: on paper these stand on Stock, Waste, Make up, Set out "
    "and Prepare, or above"
)
_ON_ANOTHER_PAGE: Final = frozenset(
    {
        "apparatus-not-computed",
        "apparatus-short",
        "container-too-small",
        "mostly-left-over",
        "must-not-meet",
        "not-booked-out",
        "peroxide-test-due",
        "waste-containers-short",
        "waste-not-included",
    }
)
"""Codes of warnings that are printed where somebody works on what they are about."""


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
        "time. ORDER: something is still to be bought. MAKE UP: solutions are to be made, their "
        "parts are there."
    )


def _not_printed(others: Sequence[Page]) -> Iterator[str]:
    """Yield which sheets take no paper, and why."""
    for why, names in (
        (
            "Nothing on these is to be done this time",
            [page.name for page in others if page.is_blank],
        ),
        ("For the screen", [page.name for page in others if page.is_for_screen]),
    ):
        if names:
            yield f"{why}, so they are not printed: {', '.join(names)}."


def _session(plan: Plan, session: SessionPlan, batches: list[Batch]) -> Block:
    ways = list(_lacks(plan, session))
    options = "; ".join(options_in_words(plan, session))
    if options:
        ways.append(("What can be done", options))
    if batches:
        ways.append(("Make up", _make_up(batches)))
    look = Look.ALERT if session.state is State.LATE else Look.PLAIN
    in_the_way = Told(tuple(ways)) if ways else _nothing(session)
    return (SheetRow((*_head(plan, session), in_the_way), look),)


def _head(plan: Plan, session: SessionPlan) -> tuple[Value, ...]:
    work = session.work
    return (
        _WORDS[session.state],
        _when(work),
        "\n".join(filter(None, (work.session.session, work.session.room))),
        title_of(plan, work) + _left_out(session),
        work.session.students,
        work.scale.sets,
    )


def _when(work: SessionWork) -> str:
    return f"{day_in_words(work.session.date)}\n{times_in_words(work)}".strip()


def _left_out(session: SessionPlan) -> str:
    left_out = session.work.session.leave_out
    return f"; left out: {', '.join(left_out)}" if left_out else ""


def _lacks(plan: Plan, session: SessionPlan) -> Iterator[tuple[str, str]]:
    """Yield what is to be done, with all that waits for it and how much of each is missing."""
    waiting: dict[str, list[str]] = {}
    for lack in session.lacks:
        amount = amount_in_words(lack.amount, plan.materials[lack.name].unit)
        waiting.setdefault(_to_do(plan, lack), []).append(f"{plan.label(lack.name)} {amount}")
    for to_do, missing in waiting.items():
        yield to_do, ", ".join(missing)


def _to_do(plan: Plan, lack: Lack) -> str:
    word = "LATE" if lack.is_late else "ORDER"
    beside = beside_in_words(not_counted(plan, lack.name))
    return "; ".join(filter(None, (f"{word}, {lack_in_words(lack)}", beside)))


def _make_up(batches: list[Batch]) -> str:
    """Return which solutions are made on which day; how much stands on `Make up`."""
    by_day: dict[date, list[str]] = {}
    for batch in batches:
        by_day.setdefault(batch.day_of_making, []).append(batch.solution.solution)
    return "; ".join(f"on {day_in_words(day)} {', '.join(names)}" for day, names in by_day.items())


def _nothing(session: SessionPlan) -> str:
    if session.state is State.DONE:
        return "done before this plan was made"
    if session.work.session.students == 0:
        return "no students"
    return "nothing: stock and deliveries cover it"


def _warned(head: str, warnings: Sequence[Warned]) -> Iterator[Block]:
    """Yield warnings under a head, which stands with the first; a page may end after any."""
    for place, one in enumerate(warnings):
        row = SheetRow(("LOOK", f"{one.about}: {warning_in_words(one)}"), runs_from=1)
        yield (row,) if place else (band(head), row)
