"""All that is short to one order: which packs of which suppliers cost least together."""

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.cell_types import fold
from prepstore.facts import Supplier
from prepstore.planning.days import Days
from prepstore.planning.ordering.limits import limits_for, room_on
from prepstore.planning.ordering.model import (
    Answer,
    Candidate,
    Cover,
    Limit,
    PriceFrom,
    Question,
    Terms,
)
from prepstore.planning.ordering.solve import answer, least_cost
from prepstore.planning.ordering.stands import Most, Stand
from prepstore.planning.orders import (
    Offer,
    OrderRow,
    Shortage,
    WantedDelivery,
    choice,
    rows_of_one,
)

Sold = Mapping[str, Sequence[Offer]]
"""What is sold of each item or solution, by folded name."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One delivery that is wanted, and the packs that it may be covered with."""

    shortage: Shortage
    wanted: WantedDelivery
    offers: tuple[Offer, ...]


@dataclass(frozen=True, slots=True)
class Exceeded:
    """A limit that needs go beyond: what would be there on a day, and by which ordered items."""

    most: Most
    day: date
    held: Decimal
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderedJointly:
    """The rows of all orders, and how they were found: what was asked and what was answered.

    `asked` are the deliveries that are wanted, each with a cover of the question.
    """

    rows: tuple[OrderRow, ...]
    asked: tuple[Asked, ...]
    question: Question
    answer: Answer
    stand: Stand

    @property
    def exceeded(self) -> Iterator[Exceeded]:
        """Yield each limit that cannot be kept since needs go first, on its worst day."""
        worst: dict[str, Exceeded] = {}
        for limit, over in zip(self.question.limits, self.answer.over, strict=True):
            if over > ZERO:
                found = self._exceeded(limit)
                if limit.name not in worst or worst[limit.name].held < found.held:
                    worst[limit.name] = found
        yield from worst.values()

    def _exceeded(self, limit: Limit) -> Exceeded:
        counts = self.answer.counts
        most = next(one for one in self.stand.limits if one.name == limit.name)
        ordered = {place: held * counts[place] for place, held in limit.holds.items()}
        held = most.amount - room_on(most, limit.day, self.stand) + sum(ordered.values(), ZERO)
        of_place = [one.shortage.name for one in self.asked for _ in one.offers]
        names = dict.fromkeys(of_place[place] for place, amount in ordered.items() if amount)
        return Exceeded(most, limit.day, held, tuple(names))

    @property
    def given_up(self) -> Iterator[tuple[str, Decimal]]:
        """Yield what of an item's spare and restock is not ordered, for a limit."""
        for one, amount in zip(self.asked, self.answer.short_of, strict=True):
            if amount > ZERO:
                yield one.shortage.name, amount


def order_jointly(
    shortages: Iterable[Shortage], sold: Sold, days: Days, stand: Stand
) -> OrderedJointly:
    """Return the orders that cost least together: packs and delivery charges.

    Args:
        shortages: Of all items, restocks included.
        sold: All packs of them.
        days: Today, on which the orders can be placed, and the working days.
        stand: What is in the stores from day to day, and what may be.
    """
    asked = tuple(_asked(shortages, sold, days))
    question = question_of(asked, days, stand)
    found = answer(question)
    rows: list[OrderRow] = []
    first = 0
    for one in asked:
        counts = found.counts[first : first + len(one.offers)]
        prices = question.candidates[first : first + len(one.offers)]
        first += len(one.offers)
        picked = [
            (offer, count, candidate.price(count))
            for offer, candidate, count in zip(one.offers, prices, counts, strict=True)
            if count
        ]
        packs = sold[one.shortage.name]
        rows += rows_of_one(one.shortage, one.wanted, picked, packs, days)
    return OrderedJointly(tuple(rows), asked, question, found, stand)


def _asked(shortages: Iterable[Shortage], sold: Sold, days: Days) -> Iterable[Asked]:
    for shortage in shortages:
        packs = sold.get(shortage.name, ())
        for wanted in shortage.deliveries() if packs else ():
            if wanted.amount > ZERO:
                offers = sorted(choice(wanted, packs, days), key=lambda offer: offer.code)
                yield Asked(shortage, wanted, tuple(offers))


def question_of(asked: Sequence[Asked], days: Days, stand: Stand) -> Question:
    """Return what is asked as a question of whole packs: candidates in order, a cover each."""
    candidates: list[Candidate] = []
    covers: list[Cover] = []
    terms: dict[Hashable, Terms] = {}
    for one in asked:
        places = tuple(range(len(candidates), len(candidates) + len(one.offers)))
        candidates += [_candidate(offer) for offer in one.offers]
        for offer in one.offers:
            terms[fold(offer.supplier.supplier)] = terms_of(offer.supplier)
        must = one.wanted.of_needs
        least_price = min(
            price.price / offer.size for offer in one.offers for price in prices_of(offer)
        )
        covers.append(Cover(places, must, one.wanted.amount - must, least_price))
    of_name = [one.shortage.name for one in asked for _ in one.offers]
    arrivals = [days.arrival(offer.lead_days) for one in asked for offer in one.offers]
    limits = limits_for(of_name, [one.size for one in candidates], arrivals, stand)
    return Question(tuple(candidates), tuple(covers), terms, tuple(limits))


def _candidate(offer: Offer) -> Candidate:
    return Candidate(offer.code, fold(offer.supplier.supplier), offer.size, tuple(prices_of(offer)))


def prices_of(offer: Offer) -> list[PriceFrom]:
    """Return the price of a pack from 1 on, and from each number that has a price of its own."""
    breaks = sorted(offer.breaks, key=lambda one: one.from_)
    return [PriceFrom(1, offer.price), *(PriceFrom(one.from_, one.price) for one in breaks)]


def terms_of(supplier: Supplier) -> Terms:
    """Return what an order of a supplier costs beside its goods, and its least value."""
    return Terms(supplier.delivery_charge or Decimal(0), supplier.minimum_order or Decimal(0))


def total_without(ordered: OrderedJointly, code: str) -> Decimal | None:
    """Return what all orders cost without a pack's code; None where something needs that pack."""
    fewer = ordered.question.without(code)
    return None if fewer is None else least_cost(fewer)
