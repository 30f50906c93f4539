"""Make up: each batch, what to weigh or measure and from where, and what its label says."""

from collections.abc import Iterator
from typing import Final

from prepstore.amounts import Basis, Kind
from prepstore.chemistry.conversions import Material
from prepstore.planning.batches import Batch, PartNeed
from prepstore.planning.draws import Served
from prepstore.planning.plan import Plan
from prepstore.planning.setting_out import Filling, fillings_of
from prepstore.planning.tasks import TaskKind, tasks_of
from prepstore.planning.waste import waste_ends
from prepstore.report.making_words import hazards_in_words, instructions_in_words
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
    note,
    told,
)
from prepstore.report.workbook.sources import (
    drawn_in_words,
    is_missing,
    parts_got,
    sessions_in_words,
    short_in_words,
)
from prepstore.safety.hazard_statements import in_words
from prepstore.settings import Settings

COLUMNS: Final = (
    SheetColumn("Weigh or measure", 33),
    SheetColumn("For", 12),
    SheetColumn("How much", 12),
    SheetColumn("From lot (place): amount", 36),
    SheetColumn("Taken", 11, CellForm.WRITE),
)
_HOW_MUCH, _SIGNED_FROM = 2, 3
_SIGNED: Final = "Made by ____ on _____ lot _______ checked ____"


def make_up_page(plan: Plan) -> Page:
    """Return the sheet of batches."""
    title = "Make up: solutions, in order of the day"
    is_blank = not plan.batches
    return Page("Make up", title, COLUMNS, _blocks(plan), is_upright=True, is_blank=is_blank)


_COMMANDS: Final = (
    "Put your initials on each label. Record each batch: prepstore stock make NAME --week {week}. "
    "Where no hazards are entered, prepstore labels --week {week} calculates them."
)


def _blocks(plan: Plan) -> Iterator[Block]:
    if not plan.batches:
        yield (note("No solution is to be made up."),)
    elif plan.period.week is not None:
        yield (note(_COMMANDS.format(week=plan.period.week)),)
    for task in tasks_of(plan):
        if isinstance(task.of, Batch) and task.kind is TaskKind.MAKE_UP:
            yield tuple(_batch(plan, task.of))


def _batch(plan: Plan, batch: Batch) -> Iterator[SheetRow]:
    yield _head(batch)
    for part, one in zip(batch.parts, parts_got(plan, batch), strict=True):
        yield _part(plan, batch, part, one)
    made = (
        ("Parts", "" if batch.parts else _NO_PARTS),
        ("How", instructions_in_words(plan, batch)),
        ("Hazards", hazards_in_words(plan, batch)),
    )
    parts = tuple((word, text) for word, text in made if text)
    if parts:
        yield told(*parts)
    yield told(("For", _purpose(plan, batch)), ("Label", _label(plan, batch)))


_NO_PARTS: Final = "None are in the table solution_parts: ask how it is made."


def _record(plan: Plan, batch: Batch) -> str:
    """Return the option by which a batch is recorded where a solution has several."""
    is_one_of_several = sum(other.name == batch.name for other in plan.batches) > 1
    if plan.period.week is None or not is_one_of_several:
        return ""
    return f"record it with --planned-for {batch.make_on}"


def _head(batch: Batch) -> SheetRow:
    """Return the batch's band: what is made and when, and beside it the room to sign."""
    makings = ""
    if batch.makings > 1:
        vessel = batch.solution.largest_batch
        each = amount_in_words(batch.making_ml, Kind.VOLUME)
        makings = f", in {batch.makings} makings of {each} (at most {vessel})"
    volume = amount_in_words(batch.volume_ml, Kind.VOLUME)
    day = far_day_in_words(batch.day_of_making)
    made = f"{day} · {batch.solution.solution} · {volume}{makings}"
    values = (made, *[None] * (_SIGNED_FROM - 1), _SIGNED)
    return SheetRow(values, Look.BAND, runs_from=0, then_from=_SIGNED_FROM, is_written_in=True)


def _part(plan: Plan, batch: Batch, part: PartNeed, one: Served) -> SheetRow:
    """Return a part's row; what makes up to volume has the room of how much beside its name."""
    material, settings = part.ingredient.material, plan.catalogue.settings
    is_short = is_missing(plan, one)
    short = short_in_words(one.unserved, material.unit) if is_short else ""
    told_from = ("\n".join(filter(None, (_from(plan, one), short))), _room_to_write(batch))
    look = Look.ALERT if is_short else Look.PLAIN
    if _is_to_volume(part):
        what = f"{material.name}: {_to_the_mark(batch, part, settings)}"
        return SheetRow((what, None, None, *told_from), look, runs_from=0, runs_to=_HOW_MUCH)
    how_much = _how_much(batch, part, settings)
    return SheetRow((material.name, _wanted(part), how_much, *told_from), look)


def _is_to_volume(part: PartNeed) -> bool:
    return part.ingredient.amount.basis is Basis.TO_VOLUME


def _wanted(part: PartNeed) -> str:
    of = f" of {part.ingredient.of.formula}" if part.ingredient.of else ""
    return f"{part.ingredient.amount}{of}"


def _how_much(batch: Batch, part: PartNeed, settings: Settings) -> str:
    unit = part.ingredient.material.unit
    amount = practical_amount(part.amount, unit, settings)
    if batch.makings == 1:
        return amount
    each = practical_amount(batch.per_making(part), unit, settings)
    return f"{amount} in all; {each} each making"


def _to_the_mark(batch: Batch, part: PartNeed, settings: Settings) -> str:
    volume = amount_in_words(batch.making_ml, Kind.VOLUME)
    each = ", each making" if batch.makings > 1 else ""
    to = (
        f"to the mark of a {volume} flask"
        if batch.making_ml in settings.flasks
        else f"up to {volume}"
    )
    return f"{to}{each} (about {_how_much(batch, part, settings)})"


def _room_to_write(batch: Batch) -> str | None:
    """Return a number to write after for each making, lines apart; nothing where there is one."""
    if batch.makings == 1:
        return None
    return "\n\n".join(f"{number}:" for number in range(1, batch.makings + 1))


def _from(plan: Plan, one: Served) -> str:
    drawn = drawn_in_words(one.draws, plan.materials[one.demand.name].unit)
    batch = plan.made_for.get(one.demand)
    rest = "from the batch made up for it" if batch else ""
    return "\n".join(text for text in (drawn, rest) if text)


def _purpose(plan: Plan, batch: Batch) -> str:
    """Return what a batch is for, in which bottles, and how it is recorded if that is not plain."""
    wanted = amount_in_words(batch.wanted_ml, Kind.VOLUME)
    others = dict.fromkeys(
        plan.label(one.demand.wanted_by) for one in batch.served if one.demand.is_for_batch
    )
    inside = f" (made into {', '.join(others)})" if others else ""
    material, settings = plan.materials[batch.name], plan.catalogue.settings
    is_for_one = len(batch.sessions) == 1
    bottles = "; ".join(
        ("" if is_for_one else f"for {one.work.session.session}: ")
        + _bottles(one, material, settings)
        for one in fillings_of(batch)
    )
    parts = (
        f"{wanted} wanted: {sessions_in_words(batch.sessions)}{inside}",
        f"bottles {bottles}" if bottles else "",
        _record(plan, batch),
    )
    return " · ".join(part for part in parts if part)


def _bottles(one: Filling, material: Material, settings: Settings) -> str:
    stock = "; part of it comes from stock" if one.has_stock else ""
    filled = "; ".join(
        bottles_in_words(bottles, one.container, material, settings) for bottles in one.bottles
    )
    return f"{filled}{stock}"


def _label(plan: Plan, batch: Batch) -> str:
    solution = batch.solution
    hazards = "; ".join(f"{code} {in_words(code)}" for code in solution.hazards or ())
    parts = (
        solution.solution,
        f"made on {far_day_in_words(batch.day_of_making)}",
        _keeps(batch),
        f"hazards: {hazards or 'none entered'}",
        f"store: {solution.storage or 'no place entered'}",
        f"waste to: {_waste(plan, batch)}",
    )
    return " · ".join(parts)


def _waste(plan: Plan, batch: Batch) -> str:
    """Return the streams; with the practicals where they do not all use the same."""
    ends = waste_ends(batch.name, batch.sessions, plan.catalogue.streams)
    if not ends:
        is_part = all(one.demand.is_for_batch for one in batch.served)
        return "see what is made from it" if is_part else "no stream: none is left"
    if len(set(ends.values())) == 1:
        return ", ".join(ends)
    return "; ".join(f"{end} ({', '.join(practicals)})" for end, practicals in ends.items())


def _keeps(batch: Batch) -> str:
    if batch.use_by is None:
        return "keeps: no last day is given"
    same_day = " (the same day)" if batch.use_by == batch.day_of_making else ""
    return f"keep until {far_day_in_words(batch.use_by)}{same_day}"
