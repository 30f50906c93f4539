"""Whether the rows of lots say what their movements come to."""

from collections.abc import Iterator

from prepstore.amounts import in_billionths
from prepstore.chemistry.conversions import NoRouteError, in_unit
from prepstore.shelf.asked import in_words
from prepstore.shelf.shelf import Shelf
from prepstore.shelf.using import quoted


def rows_that_disagree(shelf: Shelf) -> Iterator[str]:
    """Yield a sentence for each lot whose row says another amount than it holds."""
    for held in shelf.lots.values():
        try:
            said = in_billionths(in_unit(held.material, held.lot.amount))
        except NoRouteError:
            continue  # told as a mistake of the row
        if said != in_billionths(held.amount):
            holds = in_words(held.amount, held.material)
            yield (
                f"Lot {held.label}: its row says {held.lot.amount}, its movements come to {holds}. "
                f'Count it: prepstore stock count {quoted(held.label)} "AMOUNT"'
            )
