"""The lots of a store as lines, straight from its rows."""

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, Final

from prepstore.amounts import Kind, fine_amount_in_words, of_billionths, plain
from prepstore.cell_types import LotState, StockUnit, fold
from prepstore.problems import not_known
from prepstore.report.row_lists import number_in_json
from prepstore.report.text_table import as_table
from prepstore.stores import earliest_end
from prepstore.written import WrittenRow

SHOWN: Final = ("lot", "item", "amount", "expiry", "opened", "state", "place")
COLUMNS: Final = (
    *SHOWN, "containers", "received", "tested", "batch_number", "number", "unit",
    "last_day", "minimum",
)  # fmt: skip
"""What other programs are given: cells as written, then figures in the item's unit."""

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
        RefusedError: There is no such item.
    """
    known = {row.key[0]: row for table in ("items", "solutions") for row in rows[table]}
    if chosen.item is not None and fold(chosen.item) not in known:
        names = [row.text[row.table.removesuffix("s")] for row in known.values()]
        raise not_known(chosen.item, "item or solution", names)
    return [
        *(
            _listed(row, known.get(fold(row.text["item"])), balances.get(row.key[0], 0))
            for row in rows["stock"]
            if chosen.has(row)
        ),
        *(_without_a_lot(known[name]) for name in chosen.empty_places),
    ]


def refuse_unknown_place(place: str | None, rows: Sequence[WrittenRow]) -> None:
    """Refuse a place at which no lot of a store stands.

    Raises:
        RefusedError: It is one; names the nearest.
    """
    places = {row.text["place"] for row in rows if "place" in row.text}
    if place is not None and fold(place) not in map(fold, places):
        raise not_known(place, "place", places)


def _listed(row: WrittenRow, of: WrittenRow | None, billionths: int) -> dict[str, str]:
    figures = {
        "number": plain(of_billionths(billionths)),
        # An item that another program has taken out says neither.
        "unit": _unit(of) if of is not None else "",
        "last_day": _last_day(row, of) if of is not None else "",
        "minimum": of.text.get("minimum", "") if of is not None else "",
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
    return next((str(unit) for unit in StockUnit if fold(unit) == written), "")


def _last_day(row: WrittenRow, of: WrittenRow) -> str:
    """Return the last day of use; blank where there is none, or a cell cannot be read."""
    expiry, opened, life = (
        row.text.get("expiry"), row.text.get("opened"), of.text.get("opened_life"),
    )  # fmt: skip
    try:
        last = earliest_end(
            date.fromisoformat(expiry) if expiry else None,
            date.fromisoformat(opened) if opened else None,
            int(life) if life else None,
        )
    except (ValueError, OverflowError):
        return ""
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
    """Return a cell as people read it: what a lot holds is in words."""
    if column != "amount" or not lot["unit"]:
        return lot[column]
    return fine_amount_in_words(Decimal(lot["number"]), Kind(lot["unit"]))


def numbers_of(lot: Listed) -> dict[str, Any]:
    """Return a lot for other programs: what it holds and how many containers are numbers."""
    return {
        **lot,
        "number": number_in_json(Decimal(lot["number"])),
        "containers": int(lot["containers"] or 1) if lot["lot"] else 0,
    }


YEAR_DAYS: Final = 365
"""How long an empty lot stays in the lists. Common practice, no source."""


def without_old(
    lots: Sequence[dict[str, str]], emptied: Mapping[str, date], day: date
) -> list[dict[str, str]]:
    """Return lots without those that have been empty for more than a year.

    Args:
        lots: All of them.
        emptied: The day of the last movement of each empty lot, by folded label.
        day: The day of the list.
    """
    oldest = day - timedelta(days=YEAR_DAYS)
    return [lot for lot in lots if emptied.get(fold(lot["lot"]), day) >= oldest]
