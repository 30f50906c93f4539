"""Workings: how each figure came about, a sentence a row, as `trace` says it. For the screen."""

from collections.abc import Iterator
from typing import Final

from prepstore.amounts import is_more_than_nothing, plain, settle
from prepstore.planning.demands import SessionWork
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.waste import StreamPlan
from prepstore.report.trace import (
    batch_in_words,
    held_back_in_words,
    leftovers_in_words,
    line_in_words,
    outcome_in_words,
    served_in_words,
    together_in_words,
)
from prepstore.report.workbook.page import Block, CellForm, Page, SheetColumn, SheetRow, note

COLUMNS: Final = (
    SheetColumn("For", 18, CellForm.WORD),
    SheetColumn("Item, solution or stream", 34),
    SheetColumn("How it came about; figures here are exact", 88),
)


def workings_page(plan: Plan) -> Page:
    """Return the sheet of workings, which is filtered on the screen and not printed."""
    title = "Workings: how each figure came about"
    return Page("Workings", title, COLUMNS, _blocks(plan), is_filtered=True, is_for_screen=True)


def _blocks(plan: Plan) -> Iterator[Block]:
    is_empty = True
    for row in _rows(plan):
        is_empty = False
        yield (row,)
    if is_empty:
        yield (note("Nothing was worked out: nothing is needed, and nothing is to restock."),)


def _rows(plan: Plan) -> Iterator[SheetRow]:
    for work in plan.works:
        yield from _session(plan, work)
    for batch in plan.batches:
        name = batch.solution.solution
        for sentence in batch_in_words(plan, batch):
            yield SheetRow((f"batch of {batch.make_on}", name, sentence.strip()))
        for sentence in leftovers_in_words(plan, batch):
            yield SheetRow((f"batch of {batch.make_on}", name, sentence))
    for row in plan.stock.values():
        if any(map(is_more_than_nothing, (row.needed, row.promised, row.short, row.restock))):
            yield from _stock(plan, row)
    for stream in plan.waste.streams:
        yield from _waste(stream)


def _session(plan: Plan, work: SessionWork) -> Iterator[SheetRow]:
    name = work.session.session
    of_item: dict[str, int] = {}
    for line in work.scale.lines:
        material = plan.materials[line.name]
        words = "; ".join(line_in_words(line, material))
        yield SheetRow((name, material.name, words))
        of_item[line.name] = of_item.get(line.name, 0) + 1
    for folded in of_item:
        material = plan.materials[folded]
        for sentence in together_in_words(work, folded, material):
            yield SheetRow((name, material.name, sentence))
    for held, sentence in held_back_in_words(plan, work):
        yield SheetRow((name, plan.label(held.liquid), sentence))


def _stock(plan: Plan, row: StockRow) -> Iterator[SheetRow]:
    for one in row.served:
        yield SheetRow(("stock", row.material.name, served_in_words(plan, one)))
    for sentence in outcome_in_words(plan, row):
        yield SheetRow(("stock", row.material.name, sentence))


def _waste(stream: StreamPlan) -> Iterator[SheetRow]:
    for day, ended in stream.by_day.items():
        expected, allowed = plain(settle(ended.expected)), plain(settle(ended.allow_for))
        words = f"shares of the day's lines: {expected} {stream.kind}, {allowed} with spare"
        yield SheetRow((f"waste {day}", stream.name, words))
    if stream.filling:
        yield SheetRow(("waste", stream.name, _containers(stream)))


def _containers(stream: StreamPlan) -> str:
    filling, part_full, before, allow_for = (
        plain(settle(number))
        for number in (
            stream.filling or stream.part_full,
            stream.part_full,
            stream.before,
            stream.total.allow_for,
        )
    )
    return (
        f"({part_full} in it now + {before} before these days + {allow_for}) / {filling} "
        f"{stream.kind} a filling, rounded up: {stream.containers} containers"
    )
