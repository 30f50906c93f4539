"""Cautions: the usual ones, those that this plan calls for, and hazard codes in words."""

from collections.abc import Iterator
from typing import Final

from prepstore.cell_types import fold
from prepstore.planning.handled import cautions_of, handled_in
from prepstore.planning.plan import Plan
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
from prepstore.safety.cautions import hazards_of, usual_cautions

COLUMNS: Final = (
    SheetColumn("Code", 9, CellForm.WORD),
    SheetColumn("Caution, or statement", 62),
    SheetColumn("Why it stands here, or of what", 70),
)


def cautions_page(plan: Plan) -> Page:
    """Return the sheet of cautions."""
    title = "Cautions: read before anything is opened"
    return Page("Cautions", title, COLUMNS, _blocks(plan))


def _blocks(plan: Plan) -> Iterator[Block]:
    always = [SheetRow(("", text), runs_from=1) for text in usual_cautions()]
    yield from _list(band("Always"), always)
    yield from _list(band("This plan"), list(_of_plan(plan)))
    yield from _list(band("What the scripts say, by session"), list(_by_practical(plan)))
    first = "Hazard codes of what this plan uses, in words"
    yield from _list(band(first), list(_hazards(plan)))


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
        yield SheetRow(("", caution.text, caution.because))


def _by_practical(plan: Plan) -> Iterator[SheetRow]:
    """Yield what the script of each practical says, with the sessions that do it."""
    sessions: dict[str, list[str]] = {}
    for work in plan.works:
        sessions.setdefault(fold(work.session.practical), []).append(work.session.session)
    for name, of_practical in sessions.items():
        practical = plan.catalogue.practicals[name]
        if practical.notes:
            yield SheetRow(
                ("", practical.notes, f"{practical.practical}: {', '.join(of_practical)}")
            )


def _hazards(plan: Plan) -> Iterator[SheetRow]:
    """Yield each code in words, with all that has it."""
    names: dict[tuple[str, str], list[str]] = {}
    for line in hazards_of(handled_in(plan)):
        names.setdefault((line.code, line.statement), []).append(line.name)
    if not names:
        yield note(
            "No hazard codes are entered for what this plan uses: see the safety data sheets."
        )
    else:
        yield SheetRow(("Code", "Statement", "Items and solutions"), Look.HEADING)
    for (code, statement), of_code in sorted(names.items()):
        yield SheetRow((code, statement, ", ".join(of_code)))
