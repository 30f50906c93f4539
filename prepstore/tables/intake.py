"""A set of tables over what the store holds: all of it right, or every mistake told."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import settle
from prepstore.chemistry.conversions import Material, NoRouteError, in_unit
from prepstore.columns import TABLES
from prepstore.facts import fold
from prepstore.problems import Problem, ProblemsError, at
from prepstore.tables.crosscheck import checked
from prepstore.tables.merge import Changes, clears, merge, repeated_names
from prepstore.tables.understand import understand
from prepstore.tables.units import LARGEST_AMOUNT, read_amount
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow, WrittenSet


@dataclass(frozen=True, slots=True)
class LotChange:
    """What a load does to a lot's amount: a new lot's opening amount, or a count's difference.

    `number` is in the item's unit, `written` the amount as typed.
    """

    lot: str
    is_new: bool
    number: Decimal
    unit: str
    written: str


@dataclass(frozen=True, slots=True)
class Intake:
    """What the store holds after a load, what that changes, and what happens to lots."""

    rows: Mapping[str, list[WrittenRow]]
    changes: Changes
    lots: tuple[LotChange, ...]


def intake(
    new: WrittenSet, stored: WrittenSet, of_files: Sequence[Problem], *, count: bool
) -> Intake:
    """Return what the store holds after a set is loaded.

    Args:
        new: Rows of the set.
        stored: Rows of the store.
        of_files: What is wrong with the files themselves.
        count: Whether stock amounts that differ from the store's are recorded as a count.

    Raises:
        ProblemsError: Anything is wrong; it carries every mistake.
    """
    merged, changes = merge(stored, new)
    result = checked(merged, of_files)
    held = {row.key: row for row in stored.get("stock", [])}
    problems = [*of_files, *repeated_names(stored, new), *result.problems]
    problems += _changed_units(stored, merged)
    problems += understand({"on_order": [row for row in new.get("on_order", []) if clears(row)]})[1]
    lots = []
    for row in new.get("stock", []):
        change = _lot_change(row, held.get(row.key), result.materials)
        if change is None or (not change.is_new and not settle(change.number)):
            continue
        lots.append(change)
        if not change.is_new and not count:
            problems.append(_differs(row, held[row.key]))
    if problems:
        raise ProblemsError(sorted(dict.fromkeys(problems), key=_by_place))
    return Intake(merged, changes, tuple(lots))


def _by_place(problem: Problem) -> tuple[int, str, int]:
    """Return what problems are told in order of: those of files, then by table and row."""
    tables = list(TABLES)
    table = problem.place.table
    return (tables.index(table) if table in tables else -1), problem.place.source, problem.place.row


def _lot_change(
    row: WrittenRow, old: WrittenRow | None, materials: Mapping[str, Material]
) -> LotChange | None:
    """Return what a stock row does to its lot; None where it cannot be told or does nothing."""
    material = materials.get(fold(row.text.get("item", "")))
    if material is None:
        return None
    try:
        now = in_unit(material, read_amount(row.text.get("amount", "")))
        before = in_unit(material, read_amount(old.text["amount"])) if old else Decimal(0)
    except (UnreadableError, NoRouteError):
        return None  # told with the cell
    if max(now, before) >= LARGEST_AMOUNT:
        return None  # told with the cell
    lot = row.text.get("lot", "")
    return LotChange(lot, old is None, now - before, str(material.unit), row.text["amount"])


def _differs(row: WrittenRow, old: WrittenRow) -> Problem:
    what = f"is not what the store holds of this lot, {old.text['amount']}."
    remedy = "Write that amount, or record the difference as a count with load --count."
    return at(row, "amount", "stock-differs", what, remedy)


def _changed_units(stored: WrittenSet, merged: WrittenSet) -> Iterator[Problem]:
    """Yield a problem for each item whose unit changes while the store has lots of it."""
    before = {row.key: row.text["unit"] for row in stored.get("items", [])}
    with_lots = {fold(row.text["item"]) for row in stored.get("stock", [])}
    for row in merged.get("items", []):
        unit = before.get(row.key)
        now = row.text.get("unit", unit)
        if unit is not None and fold(now or "") != fold(unit) and row.key[0] in with_lots:
            what = f"is another unit than {unit}, in which the store keeps lots of this item."
            yield at(row, "unit", "unit-changed", what, f"Leave it at {unit}.")


def summary(changes: Changes) -> Iterator[str]:
    """Yield a line a table that a load changed: what was added, changed, moved and removed."""
    counted = (
        (changes.added, "added"),
        (changes.changed, "changed"),
        (changes.moved, "moved"),
        (changes.removed, "removed"),
    )
    tables = dict.fromkeys(table for counter, _ in counted for table in counter if counter[table])
    for table in tables:
        words = [f"{counter[table]} {word}" for counter, word in counted if counter[table]]
        yield f"{table}: {', '.join(words)}"
