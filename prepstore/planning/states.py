"""What stands in the way of each session, and so its state."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from prepstore.amounts import is_more_than_nothing
from prepstore.cell_types import Supply
from prepstore.planning.batches import Batch
from prepstore.planning.demands import SessionWork
from prepstore.planning.draws import Served


class State(StrEnum):
    """How a session stands; the first that holds."""

    DONE = "done"
    LATE = "late"
    ORDER = "order"
    MAKE_UP = "make up"
    COVERED = "covered"


class Why(StrEnum):
    """Why an item is short for a session."""

    NOT_SOLD = "nobody sells it"
    TOO_LATE = "an order placed today arrives too late"
    OVER_CAPACITY = "more than can be made on site in the day"
    TO_ORDER = "to be ordered"


@dataclass(frozen=True, slots=True)
class Lack:
    """An item short for a session, in the item's unit, by when it is needed, and why.

    `of_spare` of the amount is the session's own spare. `arrives` is the first day on which an
    order placed today can be there.
    """

    name: str
    amount: Decimal
    of_spare: Decimal
    needed_by: date
    why: Why
    arrives: date | None = None

    @property
    def is_late(self) -> bool:
        """Return whether no order placed today can mend it."""
        return self.why is not Why.TO_ORDER

    @property
    def is_only_spare(self) -> bool:
        """Return whether only spare is missing, so that the session can run."""
        return not is_more_than_nothing(self.amount - self.of_spare)


@dataclass(frozen=True, slots=True)
class SessionPlan:
    """A session of the period: what it takes, what it lacks, and its state."""

    work: SessionWork
    state: State
    lacks: tuple[Lack, ...]


@dataclass(frozen=True, slots=True)
class Source:
    """How an item comes: bought, arriving at the earliest on a day (None: nobody sells it)."""

    supply: Supply
    arrives: date | None


def lacks_by_session(
    unserved: Iterable[Served], sources: Mapping[str, Source]
) -> dict[str, tuple[Lack, ...]]:
    """Return what each session lacks, by its name, one entry an item.

    What a batch cannot have counts in full for each session that the batch serves.
    """
    lacking: dict[str, dict[str, list[Served]]] = {}
    for one in unserved:
        for work in one.demand.sessions:
            of_session = lacking.setdefault(work.session.session, {})
            of_session.setdefault(one.demand.name, []).append(one)
    return {
        session: tuple(_lack(name, ones, sources[name]) for name, ones in items.items())
        for session, items in lacking.items()
    }


def _lack(name: str, ones: list[Served], source: Source) -> Lack:
    first, *others = ones
    amount, of_spare, needed_by = first.unserved, first.of_spare, first.demand.day_of_need
    if others:
        amount = sum((one.unserved for one in others), amount)
        of_spare = sum((one.of_spare for one in others), of_spare)
        # Where more than spare is missing, that decides the day: spare keeps nobody waiting.
        short = [one for one in ones if one.is_short]
        needed_by = min(one.demand.day_of_need for one in short or ones)
    return Lack(name, amount, of_spare, needed_by, _why(source, needed_by), source.arrives)


def _why(source: Source, needed_by: date) -> Why:
    if source.supply is Supply.MADE_ON_SITE:
        return Why.OVER_CAPACITY
    if source.arrives is None:
        return Why.NOT_SOLD
    return Why.TOO_LATE if source.arrives > needed_by else Why.TO_ORDER


def session_plans(
    works: Iterable[SessionWork],
    lacks: Mapping[str, tuple[Lack, ...]],
    batches: Iterable[Batch],
) -> tuple[SessionPlan, ...]:
    """Return each session with its state, in order of day, start and name."""
    made_up_for: set[str] = {work.session.session for batch in batches for work in batch.sessions}
    return tuple(
        SessionPlan(work, _state(work, lacks, made_up_for), lacks.get(work.session.session, ()))
        for work in sorted(works, key=lambda work: work.order)
    )


def _state(
    work: SessionWork, lacks: Mapping[str, tuple[Lack, ...]], made_up_for: set[str]
) -> State:
    of_session = [lack for lack in lacks.get(work.session.session, ()) if not lack.is_only_spare]
    if work.is_done:
        return State.DONE
    if any(lack.is_late for lack in of_session):
        return State.LATE
    if of_session:
        return State.ORDER
    return State.MAKE_UP if work.session.session in made_up_for else State.COVERED
