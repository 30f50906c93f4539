"""The workbook of a term: what to sign, how items stand, what it costs, what waste it makes."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Final

from prepstore.amounts import ZERO, round_up
from prepstore.chemistry.conversions import in_unit
from prepstore.planning.ahead.ahead import Ahead
from prepstore.planning.ahead.balances import ItemAhead
from prepstore.planning.ahead.term_orders import SupplierWeek
from prepstore.planning.costs import costs_by_practical
from prepstore.report.term_words import (
    cost_in_words,
    order_in_words,
    remarks,
    short_in_words,
    term_in_words,
    week_name,
)
from prepstore.report.wording import amount_in_words, far_day_in_words
from prepstore.report.workbook.page import (
    CHARTS_ACROSS,
    Block,
    CellForm,
    Chart,
    Formula,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    Value,
    band,
    in_currency,
    note,
)
from prepstore.report.workbook.workbook import Origin, write_pages
from prepstore.safety.cautions import IN_SHORT


def write_term_workbook(ahead: Ahead, path: Path, origin: Origin) -> None:
    """Write a term as a workbook; the file is whole, or as it was before.

    Raises:
        WorkbookError: The file cannot be written.
    """
    day = far_day_in_words(ahead.term.days.today)
    words = term_in_words(ahead)
    planned = f"Planned on {day} for {words} · prepstore {origin.version} · store {origin.store}"
    foot = f"{words} · planned on {day} · not a risk assessment"
    pages = [of(ahead) for of in (sign_page, balance_page, cost_page, waste_page, slow_page)]
    write_pages(pages, path, f"The term ahead, {words}", (planned, IN_SHORT), foot)


def sign_page(ahead: Ahead) -> Page:
    """Return the page that a manager reads first: what to sign, when, and why."""
    currency = ahead.settings.currency
    columns = (
        SheetColumn("Place on", 16),
        SheetColumn("Pack", 14),
        SheetColumn("Item", 30),
        SheetColumn("Size", 10),
        SheetColumn("Packs", 7, CellForm.COUNT),
        SheetColumn(in_currency("Price of one", currency), 11, CellForm.MONEY),
        SheetColumn(in_currency("Cost", currency), 12, CellForm.MONEY),
        SheetColumn("Comes on", 16),
        SheetColumn("First short in", 14),
        SheetColumn("Signed", 10, CellForm.WRITE),
    )
    return Page("Sign", "What to sign, week by week", columns, _sign(ahead))


def _sign(ahead: Ahead) -> Iterator[Block]:
    yield (note(cost_in_words(ahead)),)
    orders = list(ahead.orders.by_supplier_and_week())
    if not orders:
        yield (note("Nothing is to be ordered in these weeks."),)
    for order in orders:
        yield (band(order_in_words(ahead, order)), *_rows_to_sign(ahead, order))
    looked_at = [SheetRow(("", text), runs_from=1) for text in remarks(ahead)]
    if looked_at:
        yield (band("Look at these as well"), *looked_at)


def _rows_to_sign(ahead: Ahead, order: SupplierWeek) -> Iterator[SheetRow]:
    for row in order.rows:
        pack, item = row.chance.offer.pack, row.chance.item
        short = "" if item.first_short is None else week_name(ahead.term.weeks[item.first_short])
        yield SheetRow(
            (
                far_day_in_words(row.chance.placed),
                pack.pack,
                item.material.name,
                str(pack.size),
                row.packs,
                row.price,
                Formula(lambda at: f"=E{at}*F{at}"),
                far_day_in_words(row.chance.arrives),
                short or "restock",
            )
        )
    count = len(order.rows)
    goods = Formula(lambda at: f"=SUM(G{at - count}:G{at - 1})")
    yield _sum(("Goods", goods))
    if order.charge:
        yield _sum(("Delivery charge", order.charge))
        yield _sum(("Total with delivery", Formula(lambda at: f"=G{at - 2}+G{at - 1}")))


def _sum(row: tuple[str, Value]) -> SheetRow:
    words, cost = row
    return SheetRow((None, None, words, None, None, None, cost), Look.TOTAL)


_WEEKS_ON_A_PAGE: Final = 12
_OF_ITEM: Final = 34


def balance_page(ahead: Ahead) -> Page:
    """Return how each item stands at the end of each week; charts of those that run short."""
    columns = (
        SheetColumn("Item", _OF_ITEM),
        SheetColumn("Now", 11),
        *(SheetColumn(week_name(week), 9.5) for week in ahead.term.weeks),
    )
    title = "Balance at the end of each week; below nothing, sessions would lack it"
    return Page("Balance", title, columns, _balances(ahead))


def _balances(ahead: Ahead) -> Iterator[Block]:
    is_bought = ahead.term.plans[0].catalogue.is_bought
    moving = [
        item
        for item in ahead.items
        if is_bought(item.name) and any(week.use for week in item.weeks)
    ]
    short = [item for item in moving if item.first_short is not None]
    if short:
        yield (band("Short in some week, without the orders of the first sheet"),)
    for item in sorted(short, key=lambda one: (one.first_short or 0, one.name)):
        yield (_balance(item, Look.ALERT), SheetRow(("", short_in_words(ahead, item)), runs_from=1))
    others = [item for item in moving if item.first_short is None]
    if others:
        yield (band("Covered in all weeks"),)
    for item in others:
        yield (_balance(item, Look.PLAIN),)
    yield from _charts(ahead, short)


def _balance(item: ItemAhead, look: Look) -> SheetRow:
    unit = item.material.unit
    now = amount_in_words(item.opening, unit)
    weeks = (_signed(week.balance, item) for week in item.weeks)
    return SheetRow((item.material.name, now, *weeks), look)


def _signed(number: Decimal, item: ItemAhead) -> str:
    amount = amount_in_words(abs(number), item.material.unit)
    return f"−{amount}" if number < 0 else amount


def _charts(ahead: Ahead, short: Sequence[ItemAhead]) -> Iterator[Block]:
    """Yield, for items that have a minimum and run short, their balance as shares of it."""
    shown = [(item, minimum) for item in short if (minimum := _minimum(ahead, item))]
    for first in range(0, len(shown), CHARTS_ACROSS):
        yield tuple(_charts_of(ahead, shown[first : first + CHARTS_ACROSS]))


def _minimum(ahead: Ahead, item: ItemAhead) -> Decimal:
    kept = ahead.term.plans[0].catalogue.kept(item.name)
    return in_unit(item.material, kept.minimum) if kept and kept.minimum else ZERO


def _charts_of(ahead: Ahead, shown: Sequence[tuple[ItemAhead, Decimal]]) -> Iterator[SheetRow]:
    names = [item.material.name for item, _ in shown]
    yield band("Balance as a share of the minimum: at 100 % it is just kept")
    yield SheetRow(("End of", *names), Look.HEADING)
    shares = [[max(ZERO, week.balance / minimum) for week in item.weeks] for item, minimum in shown]
    for place, week in enumerate(ahead.term.weeks):
        yield SheetRow((week_name(week), *(of[place] for of in shares)), form=CellForm.PERCENT)
    yield SheetRow(
        (),
        charts=tuple(
            Chart(name, column, len(ahead.term.weeks), 1, max(1, round_up(max(of))))
            for column, (name, of) in enumerate(zip(names, shares, strict=True), start=1)
        ),
    )


def cost_page(ahead: Ahead) -> Page:
    """Return what the orders cost by supplier, and what sessions use by practical."""
    currency = ahead.settings.currency
    columns = (
        SheetColumn("Supplier or practical", 44),
        SheetColumn(in_currency("Goods", currency), 14, CellForm.MONEY),
        SheetColumn(in_currency("Delivery", currency), 14, CellForm.MONEY),
        SheetColumn("Orders, or sessions", 12, CellForm.COUNT),
        SheetColumn(in_currency("For each session", currency), 14, CellForm.MONEY),
        SheetColumn("Students", 10, CellForm.COUNT),
        SheetColumn(in_currency("For each student", currency), 14, CellForm.MONEY),
    )
    return Page("Cost", "What the term costs", columns, _costs(ahead))


def _costs(ahead: Ahead) -> Iterator[Block]:
    totals: dict[str, list[SupplierWeek]] = {}
    for order in ahead.orders.by_supplier_and_week():
        totals.setdefault(order.supplier.supplier, []).append(order)
    rows = [
        SheetRow(
            (
                supplier,
                sum((one.goods for one in orders), ZERO),
                sum((one.charge for one in orders), ZERO),
                len(orders),
            )
        )
        for supplier, orders in sorted(totals.items())
    ]
    if rows:
        yield (band("By supplier"), *rows)
    yield from _by_practical(ahead)


_CENTS: Final = Decimal("0.01")


def _by_practical(ahead: Ahead) -> Iterator[Block]:
    """Yield what each practical uses up, all its sessions, one and a student of them."""
    found = list(costs_by_practical(ahead.term.plans))
    if not found:
        return
    head = "By practical: what its sessions use up, spare included, at the least price of a unit"
    rows = [
        SheetRow(
            (
                one.practical,
                one.cost.quantize(_CENTS),
                None,
                one.sessions,
                one.of_a_session.quantize(_CENTS),
                one.students,
                None if one.of_a_student is None else one.of_a_student.quantize(_CENTS),
            )
        )
        for one in found
    ]
    yield (band(head), *rows)
    not_priced = sorted({ahead.label(name) for one in found for name in one.not_priced})
    if not_priced:
        yield (note(f"Not counted, since nobody sells it: {' / '.join(not_priced)}"),)


def waste_page(ahead: Ahead) -> Page:
    """Return what goes into each stream in each week: expected, below it with spare."""
    columns = (
        SheetColumn("Stream", _OF_ITEM),
        *(SheetColumn(week_name(week), 10.5) for week in ahead.term.weeks),
    )
    title = "Waste by week: expected and, below it, what to allow for with spare"
    return Page("Waste", title, columns, _waste(ahead))


def _waste(ahead: Ahead) -> Iterator[Block]:
    names = dict.fromkeys(
        (stream.name, stream.kind) for plan in ahead.term.plans for stream in plan.waste.streams
    )
    if not names:
        yield (note("Nothing is collected in these weeks."),)
    for name, kind in names:
        cells: Iterable[str] = (
            "\n".join(
                amount_in_words(amount, kind)
                for stream in plan.waste.streams
                if (stream.name, stream.kind) == (name, kind)
                for amount in (stream.total.expected, stream.total.allow_for)
            )
            for plan in ahead.term.plans
        )
        yield (SheetRow((name, *cells)),)


def slow_page(ahead: Ahead) -> Page:
    """Return the lots that no session uses and nobody has used for long."""
    currency = ahead.settings.currency
    columns = (
        SheetColumn("Last used, or came", 18),
        SheetColumn("Lot", 16),
        SheetColumn("Item or solution", 34),
        SheetColumn("Amount", 12),
        SheetColumn("Place", 28),
        SheetColumn(in_currency("Value", currency), 12, CellForm.MONEY),
        SheetColumn("Kept or discarded", 20, CellForm.WRITE),
    )
    days = ahead.settings.slow_mover
    title = f"Slow movers: used by no session of the term, nor in the last {days} days"
    return Page("Slow movers", title, columns, _slow(ahead))


def _slow(ahead: Ahead) -> Iterator[Block]:
    if not ahead.slow_movers:
        yield (note("There is none."),)
    for one in ahead.slow_movers:
        held = one.held
        yield (
            SheetRow(
                (
                    far_day_in_words(one.since),
                    held.label,
                    held.material.name,
                    amount_in_words(held.amount, held.unit),
                    held.lot.place or "",
                    None if one.value is None else one.value.quantize(_CENTS),
                )
            ),
        )
