"""Apparatus: what is in use at the same time, what is held, and who has it at the peak.

The sheet is for the screen. What of it asks for something stands on the page of `Stock` as well.
"""

from collections.abc import Iterator
from datetime import datetime, time
from typing import Final

from prepstore.amounts import plain
from prepstore.planning.apparatus import ApparatusPlan
from prepstore.planning.plan import Plan
from prepstore.report.wording import day_in_words
from prepstore.report.workbook.page import Block, CellForm, Look, Page, SheetColumn, SheetRow, note

COLUMNS: Final = (
    SheetColumn("Alert", 8, CellForm.WORD),
    SheetColumn("Apparatus", 32),
    SheetColumn("Most in use at once", 9, CellForm.COUNT),
    SheetColumn("Held", 7, CellForm.COUNT),
    SheetColumn("Short", 7, CellForm.COUNT),
    SheetColumn("From", 16),
    SheetColumn("Who has it then", 38),
    SheetColumn("Washing, drying: minutes", 11, CellForm.COUNT),
    SheetColumn("Where", 22),
)


def apparatus_page(plan: Plan) -> Page:
    """Return the sheet of apparatus; what nothing uses is left out and counted."""
    title = "Apparatus: what is in use at the same time"
    return Page("Apparatus", title, COLUMNS, _blocks(plan), is_filtered=True, is_for_screen=True)


def apparatus_to_look_at(plan: Plan) -> Iterator[SheetRow]:
    """Yield what is short or not worked out: what, its place, and who has it at the peak."""
    for one in plan.apparatus:
        word = _word(one)
        if word:
            place = " · ".join(filter(None, (one.item.item, one.item.storage)))
            many = f" {plain(one.short)}" if one.short > 0 else ""
            told = "; ".join((_at_once(one), *_told(one)))
            yield SheetRow((f"{word}{many}", f"{place}: {told}"), Look.ALERT, runs_from=1)


def _at_once(one: ApparatusPlan) -> str:
    since = f" from {_moment(one.at)}" if one.at else ""
    return f"{one.peak} in use at once{since}, {plain(one.held)} held"


def _blocks(plan: Plan) -> Iterator[Block]:
    shown = [one for one in plan.apparatus if one.peak or one.not_computed]
    for one in sorted(shown, key=lambda one: (one.short <= 0, not one.not_computed)):
        yield (_row(one),)
    left_out = len(plan.apparatus) - len(shown)
    yield (note(f"Left out: {left_out} kinds of apparatus that no session of the period uses."),)


def _row(one: ApparatusPlan) -> SheetRow:
    word = _word(one)
    return SheetRow(
        (
            word,
            one.item.item,
            one.peak,
            one.held,
            one.short or None,
            _moment(one.at) if one.at else "",
            "\n".join(_told(one)),
            one.item.turnaround,
            one.item.storage,
        ),
        Look.ALERT if word else Look.PLAIN,
    )


def _moment(at: datetime) -> str:
    """Return a day and time; the day alone where a session without times has it all day."""
    return day_in_words(at) if at.time() == time.min else f"{day_in_words(at)} {at:%H:%M}"


def _word(one: ApparatusPlan) -> str:
    if one.short > 0:
        return "SHORT"
    return "LOOK" if one.not_computed else ""


def _told(one: ApparatusPlan) -> Iterator[str]:
    """Yield who has it at the peak, and for whom it is not worked out."""
    for use in one.holders_at_peak:
        yield f"{use.work.session.session}: {use.number}"
    for work in one.not_computed:
        yield f"{work.session.session}: not worked out: neither within nor times are given"
