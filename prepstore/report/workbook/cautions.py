"""Cautions: the usual ones, those that this plan calls for, and hazard codes in words."""

from collections.abc import Iterable, Iterator
from typing import Final

from prepstore.cell_types import fold
from prepstore.planning.handled import cautions_of, handled_by, handled_in
from prepstore.planning.plan import Plan
from prepstore.report.workbook.page import (
    UPRIGHT,
    Block,
    Page,
    SheetColumn,
    SheetRow,
    band,
    note,
)
from prepstore.safety.cautions import Handled, hazards_of, usual_cautions

COLUMNS: Final = (SheetColumn("Caution, and why it stands here, or of what", UPRIGHT),)


def cautions_page(plan: Plan) -> Page:
    """Return the sheet of cautions."""
    title = "Cautions: read before anything is opened"
    return Page("Cautions", title, COLUMNS, _blocks(plan), is_upright=True)


def _blocks(plan: Plan) -> Iterator[Block]:
    always = [_row(text) for text in usual_cautions()]
    yield from _list(band("Always"), always)
    yield from _list(band("This plan"), list(_of_plan(plan)))
    yield from _list(band(_BY_SESSION), list(_by_session(plan)))
    yield from _list(band("These hazard codes in words"), list(_codes(plan)))


def _row(text: str) -> SheetRow:
    return SheetRow((text,))


_BY_SESSION: Final = (
    "By session: what its script says, and the hazard codes of each thing where it comes first"
)


def _list(head: SheetRow, rows: list[SheetRow]) -> Iterator[Block]:
    """Yield rows under a head, which stands with the first of them; a page may end after any."""
    if rows:
        yield (head, rows[0])
        yield from ((row,) for row in rows[1:])


def _of_plan(plan: Plan) -> Iterator[SheetRow]:
    found = cautions_of(plan)
    if not found:
        yield note("No rule of prepstore calls for a further caution. That does not make it safe.")
    for caution in found:
        yield _row(f"{caution.text} · {caution.because}")


def _by_session(plan: Plan) -> Iterator[SheetRow]:
    """Yield what each script says, and what comes first there; then what only batches have."""
    told: set[str] = set()
    for session in plan.sessions:
        work = session.work
        practical = plan.catalogue.practicals[fold(work.session.practical)]
        says = "" if practical.practical in told else practical.notes or ""
        things = [one for one in handled_by(plan, work) if one.name not in told]
        told.update((practical.practical, *(one.name for one in things)))
        if says or _with_codes(things):
            text = " · ".join(filter(None, (says, _with_codes(things))))
            yield _row(f"{work.session.session}, {practical.practical}: {text}")
    others = _with_codes(one for one in handled_in(plan) if one.name not in told)
    if others:
        yield _row(f"Only in what is made up: {others}")


def _with_codes(things: Iterable[Handled]) -> str:
    """Return things with their hazard codes; what has none is left out."""
    coded = ((one.name, one.fact.hazards) for one in things)
    return "; ".join(f"{name} {', '.join(codes)}" for name, codes in coded if codes)


def _codes(plan: Plan) -> Iterator[SheetRow]:
    """Yield all codes in words, one after the other."""
    codes = sorted({line.in_words for line in hazards_of(handled_in(plan))})
    if codes:
        yield _row("; ".join(codes))
    else:
        yield note(
            "No hazard codes are entered for what this plan uses: see the safety data sheets."
        )
