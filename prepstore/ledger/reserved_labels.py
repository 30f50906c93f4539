"""Labels that a print reserved for batches: changes only ever added."""

from collections.abc import Iterable
from datetime import date
from typing import Any, Final

from sqlalchemy import Connection, Select, insert

from prepstore.cell_types import fold
from prepstore.ledger.entries import told_of, with_entries
from prepstore.ledger.light import light_table
from prepstore.ledger.names import Renames, recorded_names
from prepstore.lot_labels import LabelChange, LabelWhat, RecordedLabel, ReservedLabels

LABEL_CHANGES: Final = light_table(
    "label_changes", "label_change entry what label solution make_on"
)


def record_labels(connection: Connection, changes: Iterable[LabelChange], entry: int) -> None:
    """Record labels reserved or freed with an entry of the running transaction."""
    rows = [
        {
            "entry": entry,
            "what": str(change.what),
            "label": change.label,
            "solution": change.solution,
            "make_on": change.make_on.isoformat(),
        }
        for change in changes
    ]
    if rows:
        connection.execute(insert(LABEL_CHANGES), rows)


def recorded_labels(connection: Connection) -> list[RecordedLabel]:
    """Return all changes of labels, in the order of recording; solutions bear their present names.

    Labels are few: a term of weeks has some hundreds.
    """
    found = connection.execute(all_labels()).all()
    renames = Renames(recorded_names(connection) if found else ())
    return [
        RecordedLabel(
            **told_of(row),
            change=LabelChange(
                what=LabelWhat(row.what),
                label=row.label,
                solution=renames.now(row.solution, row.entry, "solutions"),
                make_on=date.fromisoformat(row.make_on),
            ),
        )
        for row in found
    ]


def all_labels() -> Select[Any]:
    """Return what `recorded_labels` asks."""
    return with_entries(LABEL_CHANGES).order_by(LABEL_CHANGES.c.label_change)


def reserved_labels(connection: Connection) -> ReservedLabels:
    """Return the labels that are reserved, whether a lot has them by now or not."""
    reserved: dict[str, LabelChange] = {}
    for one in recorded_labels(connection):
        label = fold(one.change.label)
        reserved.pop(label, None)
        if one.change.what is LabelWhat.RESERVED:
            reserved[label] = one.change
    return ReservedLabels(reserved)
