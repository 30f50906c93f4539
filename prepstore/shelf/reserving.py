"""Labels reserved for the batches of a plan, as they are printed; and the undoing of that."""

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from prepstore.cell_types import fold
from prepstore.lot_labels import LabelChange, LabelWhat, RecordedLabel, ReservedLabels
from prepstore.planning.batches import Batch
from prepstore.planning.plan import Plan
from prepstore.problems import RefusedError
from prepstore.shelf.undoing import later_entries


def labelled_batches(plan: Plan) -> Iterator[tuple[Batch, str]]:
    """Yield the batches of a plan in their order, each with the label that it gets when it is made.

    It is the label that is reserved for it, or else the one that printing reserves.
    """
    lots = set(plan.stores.holdings)
    for batch in plan.batches:
        day = batch.make_on
        label = plan.stores.reserved.of_batch(batch.name, day, day, lots)
        lots.add(fold(label))
        yield batch, label


def labels_to_reserve(plan: Plan) -> tuple[LabelChange, ...]:
    """Return what reserves a label for each batch of a plan that has none yet."""
    return tuple(
        LabelChange(
            what=LabelWhat.RESERVED,
            label=label,
            solution=batch.solution.solution,
            make_on=batch.make_on,
        )
        for batch, label in labelled_batches(plan)
        if fold(label) not in plan.stores.reserved.of
    )


def refuse_taken(
    changes: Iterable[LabelChange], lots: Container[str], reserved: ReservedLabels
) -> None:
    """Check that labels are still free that are about to be reserved.

    Args:
        changes: What reserves them.
        lots: The folded labels of lots as they are now.
        reserved: The labels that are reserved by now.

    Raises:
        RefusedError: A lot has one of them, or it was reserved, in the meantime.
    """
    taken = [one.label for one in changes if _is_taken(fold(one.label), lots, reserved)]
    if taken:
        what = (
            f"{', '.join(taken)} {'was' if len(taken) == 1 else 'were'} given out in the meantime"
        )
        raise RefusedError(f"{what}, so nothing was printed. Give the command again.")


def _is_taken(label: str, lots: Container[str], reserved: ReservedLabels) -> bool:
    return label in lots or label in reserved.of


def label_changes_undone(entry: int, history: Sequence[RecordedLabel]) -> tuple[LabelChange, ...]:
    """Return what takes back the labels that an entry reserved or freed.

    Args:
        entry: Its number.
        history: All changes of labels, in the order of recording.

    Raises:
        RefusedError: One of its labels was reserved or freed again later; names that entry.
    """
    mine = [one.change for one in history if one.entry == entry]
    labels = {fold(change.label) for change in mine}
    of_labels = {one.entry: one.reason or "" for one in history if fold(one.change.label) in labels}
    later = later_entries(of_labels.items(), entry)
    if later:
        what = f"The labels of entry {entry} were reserved or freed again by entry {later[-1]}."
        raise RefusedError(f"{what} Undo that first: prepstore stock undo {later[-1]}")
    return tuple(replace(change, what=_OPPOSITE[change.what]) for change in mine[::-1])


_OPPOSITE: Final = {LabelWhat.RESERVED: LabelWhat.FREED, LabelWhat.FREED: LabelWhat.RESERVED}
