"""Make up: each batch, what to weigh or measure and from where, and what its label says."""

from collections.abc import Iterator
from typing import Final

from prepstore.amounts import Basis, Kind
from prepstore.planning.batches import Batch, PartNeed
from prepstore.planning.draws import Served
from prepstore.planning.plan import Plan
from prepstore.report.hazard_statements import in_words
from prepstore.report.wording import amount_in_words, far_day_in_words
from prepstore.report.workbook.page import Block, Column, Form, Look, Page, Row, band, note
from prepstore.report.workbook.sources import (
    drawn_in_words,
    is_missing,
    served_parts,
    session_in_words,
    short_in_words,
)

COLUMNS: Final = (
    Column("Alert", 12, Form.WORD),
    Column("Weigh or measure", 34),
    Column("Wanted", 14),
    Column("How much", 20),
    Column("From lot (place): amount", 44),
    Column("Mass or volume taken", 15, Form.WRITE),
    Column("Initials", 10, Form.WRITE),
)
_BLANK: Final = "______________"


def make_up_page(plan: Plan) -> Page:
    """Return the sheet of batches."""
    return Page("Make up", "Make up: solutions, in order of the day", COLUMNS, _blocks(plan))


def _blocks(plan: Plan) -> Iterator[Block]:
    if not plan.batches:
        yield (note("No solution is to be made up."),)
    for batch, parts in served_parts(plan):
        yield tuple(_batch(plan, batch, parts))


def _batch(plan: Plan, batch: Batch, served: tuple[Served | None, ...]) -> Iterator[Row]:
    yield band(_head(batch))
    for part, one in zip(batch.parts, served, strict=True):
        yield _part(plan, batch, part, one)
    if not batch.parts:
        yield _line("Parts", "None are in the table solution_parts: ask how it is made.")
    if batch.solution.instructions:
        yield _line("How", batch.solution.instructions)
    yield _line("For", _purpose(plan, batch))
    yield _line("Label", _label(batch))
    yield _line("Made by", f"{_BLANK}  on {_BLANK}  lot {_BLANK}  checked by {_BLANK}")


def _line(word: str, text: str) -> Row:
    return Row((word, text), runs_from=1)


def _head(batch: Batch) -> str:
    makings = ""
    if batch.makings > 1:
        vessel = batch.solution.largest_batch
        makings = f", in {batch.makings} makings of at most {vessel}"
    volume = amount_in_words(batch.volume_ml, Kind.VOLUME)
    return f"{far_day_in_words(batch.make_on)} · {batch.solution.solution} · {volume}{makings}"


def _part(plan: Plan, batch: Batch, part: PartNeed, one: Served | None) -> Row:
    material = part.ingredient.material
    amount = amount_in_words(part.amount, material.unit)
    is_short = one is not None and is_missing(plan, one)
    return Row(
        (
            short_in_words(one.unserved, material.unit) if one and is_short else "",
            material.name,
            _wanted(part),
            _to_the_mark(batch, amount) if _is_to_volume(part) else amount,
            _from(plan, one),
        ),
        Look.ALERT if is_short else Look.PLAIN,
    )


def _is_to_volume(part: PartNeed) -> bool:
    return part.ingredient.amount.basis is Basis.TO_VOLUME


def _wanted(part: PartNeed) -> str:
    of = f" of {part.ingredient.of.formula}" if part.ingredient.of else ""
    return f"{part.ingredient.amount}{of}"


def _to_the_mark(batch: Batch, amount: str) -> str:
    volume = amount_in_words(batch.volume_ml, Kind.VOLUME)
    each = " in all" if batch.makings > 1 else ""
    return f"make up to the mark in {volume}{each} (about {amount})"


def _from(plan: Plan, one: Served | None) -> str:
    if one is None:
        return ""
    drawn = drawn_in_words(one.draws, plan.materials[one.demand.name].unit)
    made = one.unserved and plan.materials[one.demand.name].is_solution
    rest = "from the batch made up for it" if made else ""
    return "\n".join(text for text in (drawn, rest) if text)


def _purpose(plan: Plan, batch: Batch) -> str:
    wanted = amount_in_words(batch.wanted_ml, Kind.VOLUME)
    others = dict.fromkeys(
        plan.label(one.demand.wanted_by) for one in batch.served if one.demand.is_for_batch
    )
    inside = f" (made into {', '.join(others)})" if others else ""
    sessions = ", ".join(session_in_words(work) for work in batch.sessions)
    return f"{wanted} wanted: {sessions}{inside}"


def _label(batch: Batch) -> str:
    solution = batch.solution
    hazards = "; ".join(f"{code} {in_words(code)}" for code in solution.hazards or ())
    lines = (
        f"{solution.solution} · made on {far_day_in_words(batch.make_on)} · {_keeps(batch)}",
        f"hazards: {hazards or 'none entered; see the safety data sheets'}",
        f"store: {solution.storage or 'no place entered'} · initials ______",
    )
    return "\n".join(lines)


def _keeps(batch: Batch) -> str:
    if batch.use_by is None:
        return "keeps: no last day is given"
    same_day = " (the same day)" if batch.use_by == batch.make_on else ""
    return f"keep until {far_day_in_words(batch.use_by)}{same_day}"
