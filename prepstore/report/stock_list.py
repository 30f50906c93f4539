"""The lots of a store as lines, straight from its rows."""

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import Kind, fine_amount_in_words, of_billionths, plain
from prepstore.facts import LotState, StockUnit, fold
from prepstore.planning.draws import earliest_end
from prepstore.problems import nearest
from prepstore.report.errors import ReportError
from prepstore.report.row_lists import as_table
from prepstore.written import WrittenRow

SHOWN: Final = ("lot", "item", "amount", "expiry", "opened", "state", "place")
COLUMNS: Final = (
    *SHOWN, "containers", "received", "tested", "batch_number", "number", "unit",
    "last_day", "minimum",
)  # fmt: skip
"""What other programs are given: cells as written, then figures in the item's unit."""

_DECIMALS_READ: Final = 3

Listed = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Chosen:
    """Which lots are listed; what is None does not matter.

    `lots` are folded labels; `without_lots` folded names of what is listed though no lot holds it.
    """

    item: str | None = None
    place: str | None = None
    state: str | None = None
    lots: Set[str] | None = None
    without_lots: Sequence[str] = ()

    def has(self, row: WrittenRow) -> bool:
        """Return whether a row of stock is listed."""
        state = row.text.get("state", LotState.USABLE)
        return (
            self.is_of(row.text["item"])
            and (self.place is None or fold(row.text.get("place", "")) == fold(self.place))
            and (self.state is None or fold(state) == fold(self.state))
            and (self.lots is None or row.key[0] in self.lots)
        )

    def is_of(self, name: str) -> bool:
        """Return whether lots of an item or solution are asked for."""
        return self.item is None or fold(name) == fold(self.item)

    @property
    def empty_places(self) -> tuple[str, ...]:
        """Return what is listed without a lot; nothing where a place or a state is asked for."""
        if self.place is not None or self.state is not None:
            return ()
        return tuple(name for name in self.without_lots if self.is_of(name))


def stock_rows(
    rows: Mapping[str, Sequence[WrittenRow]], balances: Mapping[str, int], chosen: Chosen
) -> list[dict[str, str]]:
    """Return the lots that are chosen: cells as written, blank where nothing is given.

    `number`, `unit` and `last_day` are worked out; `minimum` is that of the item or solution. What
    has no lot stands at the end, without a label.

    Args:
        rows: The tables stock, items and solutions of the store.
        balances: What each lot holds, in billionths, by folded label.
        chosen: Which.

    Raises:
        ReportError: There is no such item.
    """
    known = {row.key[0]: row for table in ("items", "solutions") for row in rows[table]}
    if chosen.item is not None and fold(chosen.item) not in known:
        names = [row.text[row.table.removesuffix("s")] for row in known.values()]
        what = f"'{chosen.item}' is not a known item or solution. {nearest(chosen.item, names)}"
        raise ReportError(what.rstrip())
    return [
        *(
            _listed(row, known[fold(row.text["item"])], balances.get(row.key[0], 0))
            for row in rows["stock"]
            if chosen.has(row)
        ),
        *(_without_a_lot(known[name]) for name in chosen.empty_places),
    ]


def _listed(row: WrittenRow, of: WrittenRow, billionths: int) -> dict[str, str]:
    figures = {
        "number": plain(of_billionths(billionths)),
        "unit": _unit(of),
        "last_day": _last_day(row, of),
        "minimum": of.text.get("minimum", ""),
    }
    return {column: figures.get(column, row.text.get(column, "")) for column in COLUMNS}


def _without_a_lot(of: WrittenRow) -> dict[str, str]:
    name, unit = of.text[of.table.removesuffix("s")], _unit(of)
    cells = {"item": name, "amount": f"0 {unit}", "number": "0", "unit": unit}
    cells["minimum"] = of.text.get("minimum", "")
    return {column: cells.get(column, "") for column in COLUMNS}


def _unit(of: WrittenRow) -> str:
    """Return what stock is kept in; solutions in mL."""
    written = fold(of.text.get("unit", StockUnit.MILLILITRE))
    return next(str(unit) for unit in StockUnit if fold(unit) == written)


def _last_day(row: WrittenRow, of: WrittenRow) -> str:
    expiry, opened, life = (
        row.text.get("expiry"), row.text.get("opened"), of.text.get("opened_life"),
    )  # fmt: skip
    last = earliest_end(
        date.fromisoformat(expiry) if expiry else None,
        date.fromisoformat(opened) if opened else None,
        int(life) if life else None,
    )
    return last.isoformat() if last else ""


def stock_lines(lots: Sequence[Listed], *, with_empty: bool) -> Iterator[str]:
    """Yield a heading, a line a lot, and how many there are; empty lots only where wanted."""
    labelled = [lot for lot in lots if lot["lot"]]
    shown = [lot for lot in labelled if with_empty or lot["number"] != "0"]
    yield from as_table(SHOWN, [[shown_cell(column, lot) for column in SHOWN] for lot in shown])
    yield f"{len(shown)} lot{'s' if len(shown) != 1 else ''}"
    left_out = len(labelled) - len(shown)
    if left_out:
        is_one = left_out == 1
        are = "1 empty lot is" if is_one else f"{left_out} empty lots are"
        yield f"{are} not shown; --empty shows {'it' if is_one else 'them'}."


def shown_cell(column: str, lot: Listed) -> str:
    """Return a cell as people read it."""
    return _shortened(lot[column]) if column == "amount" else lot[column]


def _shortened(amount: str) -> str:
    """Return an amount in words where it is a worked-out one with more digits than one reads."""
    digits, _, unit = amount.partition(" ")
    if len(digits.partition(".")[2]) <= _DECIMALS_READ or unit not in list(Kind):
        return amount
    return fine_amount_in_words(Decimal(digits), Kind(unit))
