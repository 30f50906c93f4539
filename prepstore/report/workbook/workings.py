"""Workings: how each figure came about, one list to filter; figures here are exact."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from prepstore.amounts import Kind, is_more_than_nothing, plain, settle
from prepstore.planning.batches import Batch
from prepstore.planning.demands import ScaledLine, SessionWork
from prepstore.planning.draws import Draw, Served
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.waste import StreamPlan
from prepstore.report.route_words import steps_in_words
from prepstore.report.wording import money_in_words
from prepstore.report.workbook.page import Block, CellForm, Page, SheetColumn, SheetRow, note

COLUMNS: Final = (
    SheetColumn("Step", 11, CellForm.WORD),
    SheetColumn("Item, solution or stream", 32),
    SheetColumn("For", 22),
    SheetColumn("From, stage or day", 26),
    SheetColumn("As written", 18),
    SheetColumn("One, in unit", 12, CellForm.NUMBER),
    SheetColumn("Count", 8, CellForm.NUMBER),
    SheetColumn("Spare", 7, CellForm.PERCENT),
    SheetColumn("Comes to", 14, CellForm.NUMBER),
    SheetColumn("Unit", 6, CellForm.MIDDLE),
    SheetColumn("How", 32),
)
_HOW_LINE: Final = "one × count × (1 + spare)"


@dataclass(frozen=True, slots=True)
class _Figure:
    """One figure of the plan: what step gave it, for whom, from what, and how."""

    step: str
    name: str
    number: Decimal
    unit: str
    wanted_by: str = ""
    source: str = ""
    written: str = ""
    how: str = ""

    def row(self) -> SheetRow:
        number = Decimal(plain(settle(self.number)))
        names = (self.step, self.name, self.wanted_by, self.source, self.written)
        return SheetRow((*names, None, None, None, number, self.unit, self.how))


def workings_page(plan: Plan) -> Page:
    """Return the sheet of workings."""
    title = "Workings: how each figure came about"
    return Page("Workings", title, COLUMNS, _blocks(plan), is_filtered=True)


def _blocks(plan: Plan) -> Iterator[Block]:
    is_empty = True
    for work in plan.works:
        for row in _needs(plan, work):
            is_empty = False
            yield (row,)
    for kind in _KINDS:
        for figure in kind(plan):
            is_empty = False
            yield (figure.row(),)
    if is_empty:
        yield (note("Nothing was worked out: nothing is needed, and nothing is to restock."),)


def _needs(plan: Plan, work: SessionWork) -> Iterator[SheetRow]:
    for line in work.scale.lines:
        yield _line(plan, work, line)
    for name, need in work.scale.needs.items():
        unit = plan.materials[name].unit
        yield _Figure(
            "need",
            plan.label(name),
            need,
            unit,
            wanted_by=work.session.session,
            how="lines added, up to whole" if unit is Kind.COUNT else "lines added",
        ).row()


def _line(plan: Plan, work: SessionWork, line: ScaledLine) -> SheetRow:
    material = plan.materials[line.name]
    return SheetRow(
        (
            "line",
            material.name,
            work.session.session,
            line.line.stage,
            f"{line.line.amount} a {line.line.per}",
            Decimal(plain(settle(line.each))),
            line.count,
            line.spare,
            Decimal(plain(settle(line.amount))),
            str(material.unit),
            "; ".join((*_one(line), _HOW_LINE, *_replaced(line))),
        )
    )


def _one(line: ScaledLine) -> Iterator[str]:
    """Yield how one came about, where it is not as written."""
    if line.route.steps:
        yield f"one: {steps_in_words(line.route.steps)}"


def _replaced(line: ScaledLine) -> Iterator[str]:
    for link in line.chain:
        yield f"{link.item} replaced by {link.replaced_by}"


def _batches(plan: Plan) -> Iterator[_Figure]:
    for batch in plan.batches:
        name, day = batch.solution.solution, f"batch of {batch.make_on}"
        for one in batch.served:
            wanted_by = _wanted_by(plan, one)
            yield _Figure("batch wants", name, one.unserved, Kind.VOLUME, wanted_by, day)
        yield _Figure("batch in all", name, batch.wanted_ml, Kind.VOLUME, source=day, how="added")
        how = _rounding(batch)
        yield _Figure("batch made", name, batch.volume_ml, Kind.VOLUME, source=day, how=how)
        for part in batch.parts:
            of = f" of {part.ingredient.of.formula}" if part.ingredient.of else ""
            yield _Figure(
                "batch part",
                part.ingredient.material.name,
                part.amount,
                part.ingredient.material.unit,
                wanted_by=name,
                source=day,
                written=f"{part.ingredient.amount}{of}",
                how=steps_in_words(part.route.steps),
            )


def _rounding(batch: Batch) -> str:
    step = batch.solution.step
    up_to = f"whole steps of {step}" if step else "50, 100, 250, 500 mL or whole litres"
    vessel = batch.solution.largest_batch
    largest = f" of at most {vessel}" if vessel else ""
    return f"rounded up to {up_to}; makings{largest}: {batch.makings}"


def _wanted_by(plan: Plan, one: Served) -> str:
    demand = one.demand
    if demand.is_for_batch:
        return f"{plan.label(demand.wanted_by)}, batch of {demand.day_of_use}"
    return demand.wanted_by


def _draws(plan: Plan) -> Iterator[_Figure]:
    for row in plan.stock.values():
        for one in row.served:
            promised = "promised before the period" if one.demand.is_promised else ""
            wanted_by = _wanted_by(plan, one)
            for draw in one.draws:
                yield _Figure(
                    "draw",
                    row.material.name,
                    draw.amount,
                    row.material.unit,
                    wanted_by,
                    _drawn_from(draw),
                    how=promised,
                )
            if one.unserved:
                yield _unserved(row, one, wanted_by)


def _unserved(row: StockRow, one: Served, wanted_by: str) -> _Figure:
    step = "made up" if row.material.is_solution else "SHORT"
    source = f"needed on {one.demand.day_of_need}"
    how = "what stock does not give" if row.material.is_solution else "not served"
    return _Figure(
        step, row.material.name, one.unserved, row.material.unit, wanted_by, source, "", how
    )


def _drawn_from(draw: Draw) -> str:
    if draw.lot is not None:
        return f"lot {draw.lot.lot}"
    if draw.delivery is not None:
        return f"delivery {draw.delivery.pack} due {draw.delivery.due}"
    return "made on site"


def _restocks(plan: Plan) -> Iterator[_Figure]:
    for row in plan.stock.values():
        if is_more_than_nothing(row.restock):
            up_to = row.fact.restock_to or row.fact.minimum
            how = f"left after use is below the minimum of {row.fact.minimum}: up to {up_to}"
            yield _Figure("restock", row.material.name, row.restock, row.material.unit, how=how)


def _orders(plan: Plan) -> Iterator[_Figure]:
    currency = plan.catalogue.settings.currency
    for order in plan.orders:
        row, pack = plan.stock[order.name], order.offer.pack
        unit = row.material.unit
        short, restock = (plain(settle(number)) for number in (row.short, row.restock))
        yield _Figure(
            "order",
            row.material.name,
            order.cost,
            currency or "",
            source=f"{pack.pack}, {pack.supplier}",
            written=f"{order.packs} × {pack.size}",
            how=f"covers short {short} {unit} and restock {restock} {unit} at least cost; "
            f"{order.packs} × {money_in_words(pack.price, currency)}",
        )


def _waste(plan: Plan) -> Iterator[_Figure]:
    for stream in plan.waste.streams:
        for day, ended in stream.by_day.items():
            shares = "shares of the day's lines"
            on = day.isoformat()
            yield _Figure(
                "expected", stream.name, ended.expected, stream.kind, source=on, how=shares
            )
            how = f"{shares}, with spare"
            yield _Figure(
                "allow for", stream.name, ended.allow_for, stream.kind, source=on, how=how
            )
        if stream.filling:
            yield _containers(stream)


def _containers(stream: StreamPlan) -> _Figure:
    filling, part_full, allow_for = (
        plain(settle(number))
        for number in (stream.filling or stream.part_full, stream.part_full, stream.total.allow_for)
    )
    how = f"({part_full} in it now + {allow_for}) / {filling} {stream.kind} a filling, rounded up"
    return _Figure("containers", stream.name, Decimal(stream.containers), "each", how=how)


_KINDS: Final = (_batches, _draws, _restocks, _orders, _waste)
