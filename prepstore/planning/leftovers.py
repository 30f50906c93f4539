"""What of a batch is left over on its last day, and where that goes."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from prepstore.amounts import ZERO, is_more_than_nothing
from prepstore.cell_types import Share, Shares, fold
from prepstore.planning.batches import Batch
from prepstore.planning.endings import Ended


@dataclass(frozen=True, slots=True)
class Leftover:
    """What a batch holds beyond what is taken of it, in mL, on its last day of use.

    `to` is as the solution says (None: it does not say).
    """

    batch: Batch
    date: date
    amount: Ended
    to: Shares | None

    @property
    def name(self) -> str:
        """Return the folded name of the solution."""
        return self.batch.name

    @property
    def ends(self) -> tuple[Share, ...]:
        """Return where it ends, folded; nowhere where the solution does not say."""
        return tuple(Share(fold(share.end), share.fraction) for share in self.to or ())


def leftovers_of(batches: Iterable[Batch]) -> tuple[Leftover, ...]:
    """Return what is left of each batch on its last day, in the order of batches.

    One that keeps leaves nothing. *Expected* is the volume less what is taken of it without spare,
    *allow for* the volume less all that is: of what is not used as spare, more is left over.
    """
    return tuple(
        Leftover(batch, batch.use_by, amount, batch.solution.to)
        for batch in batches
        if batch.use_by is not None
        if is_more_than_nothing((amount := _amount(batch)).expected)
    )


def _amount(batch: Batch) -> Ended:
    # What stock gives a demand goes first, so that its spare is the last that the batch gives.
    without_spare = sum((one.unserved - one.of_spare for one in batch.served), ZERO)
    return Ended(batch.volume_ml - without_spare, batch.left_ml)
