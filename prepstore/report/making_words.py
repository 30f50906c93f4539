"""How a batch is made, in words: as its instructions say, else in the usual order of addition."""

import re
from collections.abc import Iterator
from decimal import Decimal

from prepstore.amounts import Basis, Kind
from prepstore.planning.batches import Batch
from prepstore.planning.handled import handled_named
from prepstore.planning.plan import Plan
from prepstore.report.wording import amount_in_words
from prepstore.safety.cautions import (
    hazards_together,
    is_acid,
    is_concentrated_acid,
    is_solid_base,
)

_SHARE = re.compile(r"\{\s*([0-9]+(?:\.[0-9]+)?)\s*%\s*\}")


def instructions_in_words(plan: Plan, batch: Batch) -> str:
    """Return how a batch is made; a share in braces is that share of each making's volume.

    Where nothing is written it is the usual order: most of the solvent first, acid into water.
    """
    written = batch.solution.instructions
    if not written:
        return " ".join(_usual_order(plan, batch))

    def share(found: re.Match[str]) -> str:
        return amount_in_words(batch.making_ml * Decimal(found[1]) / 100, Kind.VOLUME)

    return _SHARE.sub(share, written)


def _usual_order(plan: Plan, batch: Batch) -> Iterator[str]:
    """Yield the usual order of addition, sentence by sentence; common practice, no source."""
    to_the_mark = [part for part in batch.parts if part.ingredient.amount.basis is Basis.TO_VOLUME]
    others = [part for part in batch.parts if part not in to_the_mark]
    if not to_the_mark or not others:
        return
    solvent = to_the_mark[0].ingredient.material.name
    names = ", ".join(part.ingredient.material.name for part in others)
    handled = [handled_named(plan, part.name) for part in others]
    most = amount_in_words(batch.making_ml * Decimal("0.6"), Kind.VOLUME)
    yield f"Most of the {solvent} first (about {most}), then {names} into it, stirring."
    if any(is_acid(one) for one in handled):
        yield "Acid into water, slowly; never water into acid."
    if any(is_concentrated_acid(one) or is_solid_base(one) for one in handled):
        yield "It gets hot: a little at a time, cool it, and only then make up to the mark."
    else:
        yield f"At room temperature make up to the mark with {solvent}."


def hazards_in_words(plan: Plan, batch: Batch) -> str:
    """Return the hazard codes, in words, of what a batch is made from; blank where none is entered.

    Each code stands once, with all that has it. Those of the product stand on its label.
    """
    return " · ".join(hazards_together(handled_named(plan, part.name) for part in batch.parts))
