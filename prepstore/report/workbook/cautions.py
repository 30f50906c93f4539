"""Cautions: the usual ones, those that this plan calls for, and hazard codes in words."""

from collections.abc import Iterator
from typing import Final

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
    SheetColumn("Code", 10, CellForm.WORD),
    SheetColumn("Caution, or of what", 62),
    SheetColumn("Why it stands here, or statement", 78),
)


def cautions_page(plan: Plan) -> Page:
    """Return the sheet of cautions."""
    title = "Cautions: read before anything is opened"
    return Page("Cautions", title, COLUMNS, _blocks(plan))


def _blocks(plan: Plan) -> Iterator[Block]:
    yield (band("Always"), *(SheetRow(("", text), runs_from=1) for text in usual_cautions()))
    yield (band("This plan"), *_of_plan(plan))
    yield (band("Hazard codes of what this plan uses, in words"), *_hazards(plan))


def _of_plan(plan: Plan) -> Iterator[SheetRow]:
    found = cautions_of(plan)
    if not found:
        yield note("No rule of prepstore calls for a further caution. That does not make it safe.")
    for caution in found:
        yield SheetRow(("", caution.text, caution.because))


def _hazards(plan: Plan) -> Iterator[SheetRow]:
    lines = hazards_of(handled_in(plan))
    if not lines:
        yield note(
            "No hazard codes are entered for what this plan uses: see the safety data sheets."
        )
    else:
        yield SheetRow(("Code", "Item or solution", "Statement"), Look.HEADING)
    for line in lines:
        yield SheetRow((line.code, line.name, line.statement))
