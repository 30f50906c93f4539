"""Questions of orders in a line, and questions by chance."""

from collections.abc import Sequence
from decimal import Decimal
from random import Random

from prepstore.planning.ordering.model import Candidate, Cover, PriceFrom, Question, Terms


def pack(code: str, size: object, price: object, by: str = "A", **from_: object) -> Candidate:
    """Return a pack of a supplier; `from_` are its quantity prices, as `from3=8`."""
    prices = [PriceFrom(1, Decimal(str(price)))]
    prices += [
        PriceFrom(int(name.removeprefix("from")), Decimal(str(one))) for name, one in from_.items()
    ]
    return Candidate(code, by, Decimal(str(size)), tuple(prices))


def question(
    *wanted: tuple[object, Sequence[Candidate]], **terms: tuple[object, object]
) -> Question:
    """Return what is wanted of each item with its packs; `terms` are charge and minimum by name."""
    candidates: list[Candidate] = []
    covers = []
    for amount, packs in wanted:
        places = tuple(range(len(candidates), len(candidates) + len(packs)))
        candidates += packs
        least = min(price.price / one.size for one in packs for price in one.prices)
        covers.append(Cover(places, Decimal(str(amount)), least_price=least))
    given = {
        name: Terms(Decimal(str(charge)), Decimal(str(minimum)))
        for name, (charge, minimum) in terms.items()
    }
    every = {candidate.order: given.get(str(candidate.order), Terms()) for candidate in candidates}
    return Question(tuple(candidates), tuple(covers), every)


def by_chance(random: Random, *, suppliers: int = 3, breaks: bool = True) -> Question:
    """Return one to three items of one or two packs, of up to three suppliers."""
    names = "ABC"[: random.randint(1, suppliers)]
    wanted = []
    for item in range(random.randint(1, 3)):
        packs = []
        for number in range(random.randint(1, 2)):
            price = Decimal(random.randint(100, 900)) / 100
            cheaper = {}
            if breaks and random.random() < 0.3:
                factor = Decimal(random.choice(["0.5", "0.8", "0.9", "1.1"]))
                cheaper[f"from{random.randint(2, 4)}"] = round(price * factor, 2)
            size = random.choice([100, 250, 500, 1000])
            packs.append(pack(f"{item}{number}", size, price, random.choice(names), **cheaper))
        wanted.append((random.randint(1, 90) * 10, packs))
    terms = {name: (random.choice([0, 3, "7.5"]), random.choice([0, 0, 5, 12])) for name in names}
    return question(*wanted, **terms)
