"""Where what a session or a batch takes comes from: lots, deliveries, batches; and in words."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import Kind
from prepstore.cell_types import fold
from prepstore.planning.batches import Batch
from prepstore.planning.demands import Demand, SessionWork
from prepstore.planning.draws import Draw, Served
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan
from prepstore.report.wording import amount_in_words, day_in_words

_FEW_SESSIONS: Final = 4


Demands = Mapping[tuple[str, str], Demand]
"""What sessions want themselves, by item or solution (folded) and session."""


def demands_of(plan: Plan) -> Demands:
    """Return what each session wants itself, by item or solution (folded) and session."""
    return {
        (demand.name, demand.wanted_by): demand for demand in plan.served if not demand.is_for_batch
    }


def parts_got(plan: Plan, batch: Batch) -> Iterator[Served]:
    """Yield what each part of a batch got, in their order."""
    return (plan.served_to_batches[demand] for demand in batch.demands)


def drawn_in_words(draws: Iterable[Draw], kind: Kind, *, is_part: bool = False) -> str:
    """Return from where an amount comes, a line a lot or delivery.

    How much is said where it is several, or where the draws are only a part of it.
    """
    drawn = list(draws)
    if len(drawn) == 1 and not is_part:
        return _from(drawn[0])
    return "\n".join(f"{_from(draw)}: {amount_in_words(draw.amount, kind)}" for draw in drawn)


def _from(draw: Draw) -> str:
    if draw.lot is not None:
        place = f" ({draw.lot.place})" if draw.lot.place else ""
        return f"{draw.lot.lot}{place}"
    if draw.delivery is not None:
        told = draw.delivery.order.reference
        reference = f", {told}" if told else ""
        due = day_in_words(draw.delivery.due)
        return f"delivery of {draw.delivery.pack}{reference}, due {due}"
    return "made on site"


def by_place(things: Iterable[tuple[str | None, str]]) -> str:
    """Return things in words, those of one place together under its name.

    Args:
        things: The place of each, if it has one, and the thing in words.
    """
    places: dict[str | None, list[str]] = {}
    for place, thing in things:
        places.setdefault(place, []).append(thing)
    return "; ".join(
        f"{place}: {', '.join(of_place)}" if place else ", ".join(of_place)
        for place, of_place in places.items()
    )


def comes_after(plan: Plan, row: OrderRow) -> Iterator[str]:
    """Yield the deliveries of an order's item that are on their way and come too late for it."""
    for delivery in plan.stores.deliveries:
        if delivery.name == row.name and row.needed_by and delivery.due > row.needed_by:
            told = delivery.order.reference
            reference = f" ({told})" if told else ""
            packs = f"{delivery.order.packs} × {delivery.pack}{reference}"
            yield f"{packs} on order comes {day_in_words(delivery.due)}: ask for it sooner"


def made_up_in_words(batch: Batch) -> str:
    """Return which batch an amount comes from."""
    return f"batch made up on {day_in_words(batch.day_of_making)}"


def short_in_words(amount: Decimal, kind: Kind) -> str:
    """Return what is missing, in words that cannot be missed."""
    return f"SHORT {amount_in_words(amount, kind)}"


def times_in_words(work: SessionWork) -> str:
    """Return from when until when a session runs; nothing where it has no times."""
    session = work.session
    if session.start is None:
        return ""
    until = f"–{session.end:%H:%M}" if session.end else ""
    return f"{session.start:%H:%M}{until}"


def title_of(plan: Plan, work: SessionWork) -> str:
    """Return the code and title of a session's practical."""
    practical = plan.catalogue.practicals[fold(work.session.practical)]
    return f"{practical.practical} {practical.title}"


def session_in_words(work: SessionWork) -> str:
    """Return a session's name, day and start."""
    times = f" {work.session.start:%H:%M}" if work.session.start else ""
    return f"{work.session.session} ({day_in_words(work.session.date)}{times})"


def sessions_in_words(works: Iterable[SessionWork]) -> str:
    """Return sessions with day and start, or, where they are many, their names day by day."""
    listed = list(works)
    if len(listed) <= _FEW_SESSIONS:
        return ", ".join(session_in_words(work) for work in listed)
    days: dict[date, list[str]] = {}
    for work in listed:
        days.setdefault(work.session.date, []).append(work.session.session)
    return "; ".join(f"{day_in_words(day)}: {', '.join(names)}" for day, names in days.items())


def is_missing(plan: Plan, one: Served) -> bool:
    """Return whether a demand is short; what is unserved of a solution is made up."""
    return bool(one.unserved) and not plan.materials[one.demand.name].is_solution
