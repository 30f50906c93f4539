"""Whether a solution that is also sold is cheaper made or bought."""

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.cell_types import fold
from prepstore.planning.ahead.term import Term
from prepstore.planning.batches import Batch
from prepstore.planning.ordering.jointly import prices_of, terms_of
from prepstore.planning.ordering.model import Candidate, Cover, Question, Terms
from prepstore.planning.ordering.solve import least_cost
from prepstore.planning.orders import Offer


@dataclass(frozen=True, slots=True)
class MakeOrBuy:
    """What a solution costs over the weeks: its parts, or its packs, each with delivery.

    None where something of it is not sold. `time` is what the work costs, where that is known.
    """

    name: str
    make: Decimal | None
    buy: Decimal | None
    time: Decimal | None = None

    @property
    def made_in_all(self) -> Decimal | None:
        """Return what making costs, the work included as far as it is known."""
        return None if self.make is None else self.make + (self.time or ZERO)


def make_or_buy(term: Term) -> Iterator[MakeOrBuy]:
    """Yield each solution that is made in these weeks and has packs as well.

    Both sides are counted as if nothing of it were there, in whole packs of least cost.
    """
    packs = term.plans[0].packs
    made: dict[str, list[Batch]] = {}
    for plan in term.plans:
        for batch in plan.batches:
            if batch.name in packs:
                made.setdefault(batch.name, []).append(batch)
    for name, batches in made.items():
        parts: dict[str, Decimal] = {}
        for batch in batches:
            for part in batch.parts:
                parts[part.name] = parts.get(part.name, ZERO) + part.amount
        bought = {one: amount for one, amount in parts.items() if _costs_money(term, one)}
        wanted = sum((batch.wanted_ml for batch in batches), ZERO)
        cost = _cost(bought, packs)
        yield MakeOrBuy(name, cost, _cost({name: wanted}, packs), _work(term, batches))


def _work(term: Term, batches: Sequence[Batch]) -> Decimal | None:
    """Return what the work of batches costs; None where the minutes or the hour are not given."""
    minutes = batches[0].solution.minutes_to_make
    an_hour = term.plans[0].catalogue.settings.hour_cost
    if minutes is None or an_hour is None:
        return None
    return sum(batch.makings for batch in batches) * minutes * an_hour / _MINUTES


_MINUTES = 60


def _costs_money(term: Term, name: str) -> bool:
    """Return whether something is bought at all; water from the tap and batches are not."""
    return term.plans[0].catalogue.is_bought(name)


def _cost(amounts: Mapping[str, Decimal], packs: Mapping[str, Sequence[Offer]]) -> Decimal | None:
    candidates: list[Candidate] = []
    covers: list[Cover] = []
    terms: dict[Hashable, Terms] = {}
    for name, amount in amounts.items():
        offers = packs.get(name, ())
        if not offers:
            return None
        places = tuple(range(len(candidates), len(candidates) + len(offers)))
        for offer in offers:
            order = fold(offer.supplier.supplier)
            terms[order] = terms_of(offer.supplier)
            candidates.append(Candidate(offer.code, order, offer.size, tuple(prices_of(offer))))
        covers.append(Cover(places, amount))
    return least_cost(Question(candidates, covers, terms))
