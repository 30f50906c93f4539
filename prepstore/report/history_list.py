"""The history of lots and waste containers as lines, and as rows for other programs."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Final

from prepstore.amounts import fine_amount_in_words, of_billionths
from prepstore.cell_types import fold
from prepstore.containers import RecordedContainer
from prepstore.movements import Recorded
from prepstore.report.booking_list import movement_in_words
from prepstore.report.container_list import change_in_words
from prepstore.report.row_lists import number_in_json
from prepstore.report.text_table import as_table
from prepstore.report.wording import user_in_words, why_in_words

HISTORY_COLUMNS: Final = (
    "entry", "day", "at_utc", "by", "what", "lot", "item", "change", "unit", "written", "changed",
    "was", "now", "session", "stream", "order", "reason", "note", "paid", "supplier",
    "delivery_note", "undone_by", "container", "database_user", "taken_in",
    "taken_from",
)  # fmt: skip

_HEADING: Final = ("entry", "day", "lot", "item", "what", "left", "by", "for or because")


@dataclass(frozen=True, slots=True)
class LotNames:
    """What lots are called, by folded label: the label as it is spelled, and what is in the lot.

    `began` are the movements that lots of a label used several times began with, and their items.
    """

    names: Mapping[str, tuple[str, str]]
    began: Mapping[str, Sequence[tuple[int, str]]] = field(default_factory=dict)

    def labels_of(self, item: str) -> list[str]:
        """Return the folded labels of lots that have or had an item in them, by its folded name."""
        return [
            label
            for label, (_, now) in self.names.items()
            if item in {fold(now), *(fold(of) for _, of in self.began.get(label, ()))}
        ]

    def of(self, one: Recorded) -> tuple[str, str]:
        """Return the label and the item of the lot that a movement is of."""
        label, item = self.names[one.movement.lot]
        earlier = [of for first, of in self.began.get(one.movement.lot, ()) if first <= one.number]
        return label, earlier[-1] if earlier else item


def history_rows(
    history: Sequence[Recorded],
    lots: LotNames,
    containers: Sequence[RecordedContainer] = (),
) -> list[dict[str, Any]]:
    """Return a row a movement, and a change of a waste container, entry after entry.

    `change` is a number in the item's unit, or the stream's; days are ISO dates.
    """
    rows = [
        *(_row(one, *lots.of(one)) for one in history),
        *(_container_row(one) for one in containers),
    ]
    return sorted(rows, key=lambda row: int(row["entry"]))


def _container_row(one: RecordedContainer) -> dict[str, Any]:
    change = one.change
    is_of_state = change.now is not None
    return {
        "entry": one.entry,
        "day": one.on_day.isoformat(),
        "at_utc": one.at_utc,
        "by": one.by,
        "what": str(change.what),
        "lot": change.lot,
        "item": change.item,
        "change": number_in_json(change.number),
        "unit": str(change.unit),
        "written": change.written or None,
        "changed": "state" if is_of_state else None,
        "was": change.was,
        "now": change.now,
        "session": one.session,
        "stream": change.stream,
        "reason": one.reason,
        "undone_by": one.undone_by,
        "container": change.container or None,
        "database_user": one.database_user,
        "taken_in": one.taken_in,
        "taken_from": one.taken_from,
    }


def _row(one: Recorded, lot: str, item: str) -> dict[str, Any]:
    movement = one.movement
    change = movement.change
    return {
        "entry": one.entry,
        "day": one.on_day.isoformat(),
        "at_utc": one.at_utc,
        "by": one.by,
        "what": str(movement.what),
        "lot": lot,
        "item": item,
        "change": number_in_json(movement.number),
        "unit": str(movement.unit),
        "written": movement.written or None,
        "changed": change and change.column,
        "was": change and change.was,
        "now": change and change.now,
        "session": one.session,
        "stream": movement.stream,
        "order": movement.order_line,
        "reason": one.reason,
        "note": movement.note,
        "paid": number_in_json(Decimal(movement.paid)) if movement.paid else None,
        "supplier": movement.supplier,
        "delivery_note": movement.delivery_note,
        "undone_by": one.undone_by,
        "container": None,
        "database_user": one.database_user,
        "taken_in": one.taken_in,
        "taken_from": one.taken_from,
    }


def history_lines(
    history: Sequence[Recorded],
    lots: LotNames,
    left_at_end: Mapping[str, int],
    containers: Sequence[RecordedContainer] = (),
) -> Iterator[str]:
    """Yield a heading and a line a movement or change of a waste container, the latest last.

    Args:
        history: The movements, in the order they were recorded.
        lots: What the lots are called.
        left_at_end: What each lot holds after its last movement here, in billionths, by folded
            label, where none is left out in between; nothing of others.
        containers: The changes of waste containers, in the order they were recorded.
    """
    left = _left_after_each(history, left_at_end)
    cells = [_cells(one, lots, after) for one, after in zip(history, left, strict=True)]
    cells += [_container_cells(one) for one in containers]
    yield from as_table(_HEADING, sorted(cells, key=lambda row: int(row[0])))
    movements = f"{len(history)} movement{'s' if len(history) != 1 else ''}"
    of_containers = f", {len(containers)} of waste containers" if containers else ""
    yield f"{movements}{of_containers}"


def _container_cells(one: RecordedContainer) -> tuple[str, ...]:
    change = one.change
    words = change_in_words(change)
    why = [one.session or "", why_in_words(one)]
    why += [f"undone by entry {one.undone_by}"] if one.undone_by is not None else []
    day, label = one.on_day.isoformat(), change.container
    return str(one.entry), day, label, change.stream, words, "", user_in_words(one), _joined(why)


def _left_after_each(history: Sequence[Recorded], at_end: Mapping[str, int]) -> list[str]:
    left = dict(at_end)
    after: list[str] = []
    for one in reversed(history):
        lot = one.movement.lot
        known = left.get(lot)
        if known is None:
            after.append("")
            continue
        after.append(fine_amount_in_words(of_billionths(known), one.movement.unit))
        left[lot] = known - one.movement.billionths
    return after[::-1]


def _cells(one: Recorded, lots: LotNames, left: str) -> tuple[str, ...]:
    lot, item = lots.of(one)
    return (
        str(one.entry),
        one.on_day.isoformat(),
        lot,
        item,
        movement_in_words(one.movement),
        left,
        user_in_words(one),
        _why(one),
    )


def _why(one: Recorded) -> str:
    parts = [one.session or "", why_in_words(one), one.movement.note or ""]
    if one.undone_by is not None:
        parts.append(f"undone by entry {one.undone_by}")
    return _joined(parts)


def _joined(parts: Sequence[str]) -> str:
    return "; ".join(part for part in parts if part)
