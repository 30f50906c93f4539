"""Set out: a page a session, for its trolley: what goes on the benches, in what, and from where."""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from prepstore.amounts import Kind, is_more_than_nothing
from prepstore.cell_types import ItemKind, fold
from prepstore.chemistry.conversions import Material
from prepstore.planning.demands import Demand, SessionWork
from prepstore.planning.draws import Served
from prepstore.planning.endings import Ended
from prepstore.planning.handled import handled_by
from prepstore.planning.plan import Plan
from prepstore.planning.scaled_lines import ScaledLine
from prepstore.planning.setting_out import SetOut, bottles_of, setting_out
from prepstore.planning.states import SessionPlan, State
from prepstore.planning.waste import Leaving, collected_of
from prepstore.report.meeting_words import reactions_of_session
from prepstore.report.wording import (
    amount_in_words,
    bottles_in_words,
    far_day_in_words,
    practical_amount,
)
from prepstore.report.workbook.page import (
    Block,
    CellForm,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    Told,
    band,
    note,
    told,
)
from prepstore.report.workbook.sources import (
    Demands,
    by_place,
    demands_of,
    drawn_in_words,
    is_missing,
    made_up_in_words,
    times_in_words,
    title_of,
)
from prepstore.safety.cautions import hazards_together
from prepstore.settings import Settings
from prepstore.shelf.using import quoted
from prepstore.stores import is_to_be_dated

COLUMNS: Final = (
    SheetColumn("Done", 5.6, CellForm.MIDDLE),
    SheetColumn("Item or solution", 25),
    SheetColumn("With spare", 8, CellForm.MIDDLE),
    SheetColumn("Set out in", 35),
    SheetColumn("From lot (place): amount; note", 25),
    SheetColumn("Back", 5.4, CellForm.WRITE),
)
_LONG_NOTE: Final = 30
"""How many letters a note has at most that stands beside where a thing comes from."""
BOX: Final = "☐"


def set_out_page(plan: Plan) -> Page:
    """Return the sheet of what goes on the benches."""
    title = "Set out: what goes on the benches, a page a session"
    is_blank = next(setting_out(plan), None) is None
    return Page(
        "Set out",
        title,
        COLUMNS,
        _blocks(plan),
        is_upright=True,
        has_a_page_each=True,
        repeats_bands=True,
        is_blank=is_blank,
    )


def _blocks(plan: Plan) -> Iterator[Block]:
    demands = demands_of(plan)
    states = {session.work.session.session: session for session in plan.sessions}
    nothing = True
    for _, group in groupby(setting_out(plan), key=lambda row: row.work.order):
        nothing = False
        rows = list(group)
        session = states[rows[0].work.session.session]
        yield tuple(_session(plan, demands, session, rows))
    if nothing:
        yield (note("Nothing is to be set out."),)


def _session(
    plan: Plan, demands: Demands, session: SessionPlan, rows: list[SetOut]
) -> Iterator[SheetRow]:
    yield band(_head(plan, session))
    first = tuple(_told_first(plan, session))
    if first:
        yield told(*first)
    seen: set[str] = set()
    for row in rows:
        if not _comes_back(plan, row):
            yield from _rows(plan, demands, row, is_first=row.name not in seen)
            seen.add(row.name)
    comes_back = by_place(_with_remarks(plan, row) for row in rows if _comes_back(plan, row))
    if comes_back:
        yield SheetRow((BOX, Told(((_APPARATUS, comes_back),))), runs_from=1)
    for word, text in _told_last(plan, session.work):
        yield told((word, text))


def _head(plan: Plan, session: SessionPlan) -> str:
    work = session.work
    scale = work.scale
    parts = (
        far_day_in_words(work.session.date),
        times_in_words(work),
        work.session.room or "no room given",
        work.session.session,
        title_of(plan, work),
        f"{work.session.students} students, {scale.groups} groups, {scale.sets} sets",
        "LATE" if session.state is State.LATE else "",
    )
    return " · ".join(part for part in parts if part)


def _told_first(plan: Plan, session: SessionPlan) -> Iterator[tuple[str, str]]:
    """Yield what stands above the list: stages left out, what is short, the script's cautions."""
    if session.work.session.leave_out:
        yield "Left out", ", ".join(session.work.session.leave_out)
    short = "; ".join(_short(plan, session))
    if short:
        yield "SHORT", short
    notes = plan.catalogue.practicals[fold(session.work.session.practical)].notes
    if notes:
        yield "The script says", notes


def _short(plan: Plan, session: SessionPlan) -> Iterator[str]:
    settings = plan.catalogue.settings
    for lack in session.lacks:
        amount = practical_amount(
            lack.amount, plan.materials[lack.name].unit, settings, is_least=True
        )
        of_spare = " (of its spare alone)" if lack.is_only_spare else ""
        yield f"{plan.label(lack.name)} {amount}{of_spare}"


_APPARATUS: Final = "Apparatus: it comes back"


def _told_last(plan: Plan, work: SessionWork) -> Iterator[tuple[str, str]]:
    """Yield what stands below the list and is not to be set out: waste containers, hazards."""
    streams = "; ".join(_streams(plan, work))
    if streams:
        yield "Waste containers to stand by", streams
    reacts = "; ".join(reactions_of_session(plan, work))
    if reacts:
        yield "Take care", reacts
    hazards = " · ".join(hazards_together(handled_by(plan, work)))
    if hazards:
        yield "Hazards", hazards


def _comes_back(plan: Plan, row: SetOut) -> bool:
    item = plan.catalogue.items.get(row.name)
    return item is not None and item.kind is ItemKind.APPARATUS


def _with_remarks(plan: Plan, row: SetOut) -> tuple[str | None, str]:
    """Return a piece of apparatus' place, and how many, what for, and what is remarked of it."""
    settings = plan.catalogue.settings
    remarked = [f"{line.count} for {line.holds}" for line in row.lines if line.holds]
    remarked += dict.fromkeys(_remarks(row.lines))
    remarks = f" ({'; '.join(remarked)})" if remarked else ""
    place = plan.catalogue.items[row.name].storage
    return place, f"{_in_all(row, Kind.COUNT, settings)} {plan.label(row.name)}{remarks}"


def _streams(plan: Plan, work: SessionWork) -> Iterator[str]:
    """Yield the streams that a session's waste goes to, and the most that each may get of it."""
    sent = collected_of(Leaving((work,)), plan.catalogue).ended
    for end in dict.fromkeys(share.end for line in work.scale.lines for share in line.ends):
        stream = plan.catalogue.streams.get(end)
        if stream is not None:
            amount = sent.get((end, stream.measure.kind), Ended())
            most = max(amount.expected, amount.allow_for)
            up_to = f", up to {amount_in_words(most, stream.measure.kind)}" if most else ""
            yield f"{stream.stream}{up_to}"


def _rows(plan: Plan, demands: Demands, row: SetOut, *, is_first: bool) -> Iterator[SheetRow]:
    """Yield a thing's row, and below it its long notes, which have the width of the page."""
    material, settings = plan.materials[row.name], plan.catalogue.settings
    demand = demands.get((row.name, row.work.session.session))
    is_short = demand is not None and is_missing(plan, plan.served[demand])
    notes = dict.fromkeys(_notes(plan, demand if is_first else None, row))
    short = [note for note in notes if len(note) <= _LONG_NOTE]
    yield SheetRow(
        (
            BOX,
            material.name,
            _in_all(row, material.unit, settings),
            "\n".join(_set_out_in(row, material, settings)),
            "\n".join(filter(None, (_from(plan, demand) if is_first else "as above", *short))),
            "",
        ),
        Look.ALERT if is_short else Look.PLAIN,
    )
    for text in notes:
        if text not in short:
            yield SheetRow(("", text), runs_from=1, is_tied=True)


def _notes(plan: Plan, demand: Demand | None, row: SetOut) -> Iterator[str]:
    yield from _remarks(row.lines)
    if demand is not None:
        yield from _to_be_opened(plan, plan.served[demand])


def _in_all(row: SetOut, unit: Kind, settings: Settings) -> str:
    """Return the amount, or, of a shared instrument, how many serve how many uses."""
    words = practical_amount(row.amount, unit, settings, is_least=True)
    if row.instruments is None:
        return words
    return f"{row.instruments or 'not worked out'}, for {words} uses"


def _set_out_in(row: SetOut, material: Material, settings: Settings) -> Iterator[str]:
    """Yield each line's containers; with its stage where several lines have some."""
    for line in row.lines:
        stage = f"{line.line.stage}: " if line.line.stage and len(row.lines) > 1 else ""
        for bottles in bottles_of(line, row.work.scale.sets, material.unit):
            yield f"{stage}{bottles_in_words(bottles, line.line.container, material, settings)}"


def _from(plan: Plan, demand: Demand | None) -> str:
    if demand is None:
        return ""
    served, unit = plan.served[demand], plan.materials[demand.name].unit
    batch = plan.made_for.get(demand) if is_more_than_nothing(served.unserved) else None
    made = made_up_in_words(batch) if batch else ""
    if made and served.draws:
        made += f": {amount_in_words(served.unserved, unit)}"
    drawn = drawn_in_words(served.draws, unit, is_part=bool(made))
    return "\n".join(filter(None, (drawn, made, _missing(plan, served))))


def _to_be_opened(plan: Plan, served: Served) -> Iterator[str]:
    """Yield each container that has never been opened and ages once it is: it is to be dated."""
    for draw in served.draws:
        held = plan.stores.holdings.get(fold(draw.lot.lot)) if draw.lot else None
        if held is not None and is_to_be_dated(held, plan.catalogue):
            command = f"prepstore stock open {quoted(held.label)}"
            yield f"{held.label} is unopened: write the day on it; {command}"


def _missing(plan: Plan, served: Served) -> str:
    """Return how much is there from nowhere; blank where nothing is short."""
    if not is_missing(plan, served):
        return ""
    unit, settings = plan.materials[served.demand.name].unit, plan.catalogue.settings
    return f"SHORT {practical_amount(served.unserved, unit, settings, is_least=True)}"


def _remarks(lines: tuple[ScaledLine, ...]) -> Iterator[str]:
    for line in lines:
        if line.chain:
            reasons = "; ".join(link.reason for link in line.chain if link.reason)
            yield f"instead of {line.chain[0].item}" + (f": {reasons}" if reasons else "")
        if line.line.notes and not line.holds:
            yield line.line.notes
