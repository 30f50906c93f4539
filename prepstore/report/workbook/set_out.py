"""Set out: by session, what goes on the benches, in how many containers, and from where."""

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import Final

from prepstore.amounts import Kind
from prepstore.cell_types import Name
from prepstore.planning.demands import Demand, ScaledLine, SessionWork
from prepstore.planning.plan import Plan
from prepstore.planning.setting_out import SetOut, containers_of, in_each, setting_out
from prepstore.planning.states import SessionPlan, State
from prepstore.report.wording import amount_in_words, far_day_in_words
from prepstore.report.workbook.page import (
    Block,
    CellForm,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    band,
    note,
)
from prepstore.report.workbook.sources import (
    Demands,
    demands_of,
    drawn_in_words,
    is_missing,
    made_up_in_words,
    short_in_words,
    times_in_words,
    title_of,
)

COLUMNS: Final = (
    SheetColumn("Done", 5, CellForm.MIDDLE),
    SheetColumn("Alert", 9, CellForm.WORD),
    SheetColumn("Item or solution", 25),
    SheetColumn("In all, with spare", 10),
    SheetColumn("As the script has it", 26),
    SheetColumn("Set out in", 25),
    SheetColumn("From lot (place): amount", 34),
    SheetColumn("Instead of, why; notes", 22),
    SheetColumn("Came back", 9, CellForm.WRITE),
)
BOX: Final = "☐"


def set_out_page(plan: Plan) -> Page:
    """Return the sheet of what goes on the benches."""
    return Page("Set out", "Set out: what goes on the benches", COLUMNS, _blocks(plan))


def _blocks(plan: Plan) -> Iterator[Block]:
    demands = demands_of(plan)
    states = {session.work.session.session: session for session in plan.sessions}
    nothing = True
    for _, rows in groupby(setting_out(plan), key=lambda row: row.work.order):
        nothing = False
        yield tuple(_session(plan, demands, states, list(rows)))
    if nothing:
        yield (note("Nothing is to be set out."),)


def _session(
    plan: Plan, demands: Demands, states: Mapping[Name, SessionPlan], rows: list[SetOut]
) -> Iterator[SheetRow]:
    work = rows[0].work
    yield band(_head(plan, states[work.session.session]))
    if work.session.leave_out:
        yield note(f"Left out: {', '.join(work.session.leave_out)}.")
    seen: set[str] = set()
    for row in rows:
        yield _row(plan, demands, row, is_first=row.name not in seen)
        seen.add(row.name)


def _head(plan: Plan, session: SessionPlan) -> str:
    work = session.work
    scale = work.scale
    parts = (
        far_day_in_words(work.session.date),
        times_in_words(work),
        work.session.room or "",
        work.session.session,
        title_of(plan, work),
        f"{work.session.students} students, {scale.groups} groups, {scale.sets} sets",
        "LATE" if session.state is State.LATE else "",
    )
    return " · ".join(part for part in parts if part)


def _row(plan: Plan, demands: Demands, row: SetOut, *, is_first: bool) -> SheetRow:
    material = plan.materials[row.name]
    demand = demands.get((row.name, row.work.session.session))
    short = ""
    if demand is not None and is_missing(plan, plan.served[demand]):
        short = short_in_words(plan.served[demand].unserved, material.unit)
    return SheetRow(
        (
            BOX,
            short,
            material.name,
            _in_all(row, material.unit),
            "\n".join(_as_written(line) for line in row.lines),
            "\n".join(_set_out_in(row, material.unit)),
            _from(plan, demand) if is_first else "as above",
            "\n".join(dict.fromkeys(_remarks(row.lines))),
            "",
        ),
        Look.ALERT if short else Look.PLAIN,
    )


def _in_all(row: SetOut, unit: Kind) -> str:
    """Return the amount, or, of a shared instrument, how many serve how many uses."""
    words = amount_in_words(row.amount, unit)
    if row.instruments is None:
        return words
    return f"{row.instruments or 'not computed'}, for {words} uses"


def _as_written(line: ScaledLine) -> str:
    stage = f"{line.line.stage}: " if line.line.stage else ""
    per = f"a {line.line.per}" if line.count != 1 else f"for the {line.line.per}"
    return f"{stage}{line.line.amount} {per}"


def _set_out_in(row: SetOut, unit: Kind) -> Iterator[str]:
    """Yield each line's containers; with its stage where several lines have some."""
    if not row.containers:
        yield from dict.fromkeys(line.line.container for line in row.lines if line.line.container)
        return
    for line in row.lines:
        stage = f"{line.line.stage}: " if line.line.stage and len(row.lines) > 1 else ""
        yield f"{stage}{_containers(row.work, line, unit)}"


def _containers(work: SessionWork, line: ScaledLine, unit: Kind) -> str:
    sets = work.scale.sets
    count = containers_of(line, sets)
    each = in_each(line, sets, unit)
    amount = f", {amount_in_words(each, unit)} in each" if each is not None else ""
    shared = f"one for {line.line.shared_by} sets"
    return f"{count} × {line.line.container or 'container'}{amount}, {shared}"


def _from(plan: Plan, demand: Demand | None) -> str:
    if demand is None:
        return ""
    drawn = drawn_in_words(plan.served[demand].draws, plan.materials[demand.name].unit)
    batch = plan.made_for.get(demand)
    made = made_up_in_words(batch) if batch else ""
    return "\n".join(text for text in (drawn, made) if text)


def _remarks(lines: tuple[ScaledLine, ...]) -> Iterator[str]:
    for line in lines:
        if line.chain:
            reasons = "; ".join(link.reason for link in line.chain if link.reason)
            yield f"instead of {line.line.item}" + (f": {reasons}" if reasons else "")
        if line.line.notes:
            yield line.line.notes
