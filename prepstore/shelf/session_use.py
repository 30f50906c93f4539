"""What a session took: what its plan set out, from the lots it chose, or what really was used."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, in_billionths, of_billionths
from prepstore.cell_types import ItemKind, Supply, fold
from prepstore.chemistry.conversions import Material
from prepstore.facts import Session
from prepstore.movements import Booking, Movement, Recorded, SessionUse, What
from prepstore.planning.calendar import Period
from prepstore.planning.demands import SessionWork
from prepstore.planning.draws import Draw
from prepstore.planning.make_plan import TakenBySessions
from prepstore.problems import RefusedError, not_known
from prepstore.shelf.asked import in_words, of_number
from prepstore.shelf.shelf import Department, Shelf, first_to_expire
from prepstore.shelf.using import quoted, taken_from
from prepstore.stores import Holding
from prepstore.timetable import Timetable


@dataclass(frozen=True, slots=True)
class Really:
    """What a session really did with an item, in its unit: used so much, or brought so much back.

    Exactly one of the two is given.
    """

    used: Decimal | None = None
    back: Decimal | None = None

    def of(self, set_out: Decimal) -> Decimal:
        """Return what was used of what had been set out."""
        return self.used if self.used is not None else set_out - (self.back or ZERO)


RealUse = Mapping[str, Really]
"""By folded name of an item or solution."""


def session_named(timetable: Timetable, name: str) -> Session:
    """Return a session of the timetable.

    Raises:
        RefusedError: There is none of that name; names the nearest.
    """
    for session in timetable.sessions:
        if fold(session.session) == fold(name):
            return session
    names = [session.session for session in timetable.sessions]
    raise not_known(name, "session", names)


def is_booked_out(so_far: Iterable[SessionUse]) -> bool:
    """Return whether what a session was planned to use is recorded, and not undone."""
    return sum(use.planned for use in so_far) > 0


def further_use(shelf: Department, session: Session, booking: Booking) -> Booking:
    """Return a booking of single items as one for a session, beside what is planned for it."""
    used: dict[str, int] = {}
    for movement in booking.movements:
        name = shelf.lot(movement.lot).material.name
        used[name] = used.get(name, 0) - movement.billionths
    uses = tuple(
        _use(shelf, session, shelf.material(name), _Figures(planned=0, used=billionths))
        for name, billionths in used.items()
    )
    return replace(booking, uses=uses, session=session.session)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Figures:
    """What a session was to take of an item, took and did not find, in billionths."""

    planned: int
    used: int
    lacked: int = 0


def _use(shelf: Department, session: Session, material: Material, figures: _Figures) -> SessionUse:
    return SessionUse(
        session=session.session,
        session_date=session.date,
        practical=shelf.catalogue.practicals[fold(session.practical)].practical,
        item=material.name,
        unit=material.unit,
        planned=figures.planned,
        used=figures.used,
        lacked=figures.lacked,
    )


def _taken_in_the_week(department: Department, day: date) -> TakenBySessions:
    """Return what the sessions of a day's week take as of that day, from the shelf alone.

    Of the week and not the day, since batches made on the day for later sessions take before it.
    """
    on_the_shelf = replace(department, stores=replace(department.stores, deliveries=()))
    return on_the_shelf.taken_by_sessions(_week_of(day), day)


def _week_of(day: date) -> Period:
    year, week, _ = day.isocalendar()
    return Period.of_week(f"{year}-W{week:02}")


def session_used(
    shelf: Department,
    session: Session,
    really: RealUse,
    so_far: Iterable[SessionUse] = (),
    *,
    as_far_as_there_is: bool = False,
) -> Booking:
    """Return what a session took, an item after the other in the order of its script.

    Args:
        shelf: The lots, beside all facts.
        session: The session, which is not booked out yet.
        really: What differs from what was set out.
        so_far: Single uses recorded for it already, which count towards it.
        as_far_as_there_is: Whether what the lots do not have is left out instead of refused.

    Raises:
        RefusedError: The session takes nothing, the lots hold less than it took, or more came back
            than was set out; a sentence for each item.
    """
    of_week = _taken_in_the_week(shelf, session.date)
    work = next(one for one in of_week.works if fold(one.session.session) == fold(session.session))
    needs = {name: amount for name, amount in work.scale.needs.items() if amount}
    needs = {name: amount for name, amount in needs.items() if _is_used_up(shelf, name)}
    if not needs and not really:
        raise RefusedError(f"Session {session.session} has nothing set out, so it used nothing.")
    taking = _Taking(shelf, of_week, work, as_far_as_there_is=as_far_as_there_is)
    taking.so_far = _used_so_far(so_far)
    for name in [*needs, *(name for name in really if name not in needs)]:
        taking.take(name, needs.get(name, ZERO), really.get(name))
    if taking.reasons:
        raise RefusedError(*taking.reasons, *([_how_to_go_on(session)] if taking.lacks else []))
    return Booking(
        movements=tuple(taking.movements), uses=tuple(taking.uses), session=session.session
    )


def _used_so_far(uses: Iterable[SessionUse]) -> dict[str, Decimal]:
    used: dict[str, Decimal] = {}
    for use in uses:
        used[fold(use.item)] = used.get(fold(use.item), ZERO) + of_billionths(use.used)
    return used


def _is_used_up(shelf: Shelf, name: str) -> bool:
    item = shelf.goods.items.get(name)
    return item is None or item.kind is not ItemKind.APPARATUS


def _how_to_go_on(session: Session) -> str:
    return (
        f"Make, receive or count what is missing, say what really was used with --used, or book "
        f"out what there is: prepstore stock use --session {quoted(session.session)} "
        f"--as-far-as-there-is"
    )


class _Taking:
    """Takes one item after the other for a session, and notes what is missing."""

    def __init__(
        self,
        shelf: Department,
        of_week: TakenBySessions,
        work: SessionWork,
        *,
        as_far_as_there_is: bool,
    ) -> None:
        self._shelf = shelf
        self._of_week = of_week
        self._work = work
        self._as_far_as_there_is = as_far_as_there_is
        self.so_far: Mapping[str, Decimal] = {}
        self.movements: list[Movement] = []
        self.uses: list[SessionUse] = []
        self.reasons: list[str] = []
        self.lacks = False

    def take(self, name: str, planned: Decimal, really: Really | None) -> None:
        """Take what was used of an item: as planned, or as it really was."""
        material = self._shelf.materials[name]
        used = of_billionths(in_billionths(really.of(planned) if really else planned))
        if used < 0:
            set_out = in_words(planned, material)
            what = f"More {material.name} came back than was set out, {set_out}."
            self.reasons.append(f"{what} Receive it as a lot, or count the lot it went into.")
            return
        so_far = self.so_far.get(name, ZERO)
        if really is not None and used < so_far:
            self.reasons.append(self._stands_already(material, so_far))
            return
        used = max(used - so_far, ZERO)
        taken, missing = self._from_lots(name, used, is_told=really is not None)
        if missing > 0 and not self._as_far_as_there_is:
            self.lacks = True
            self.reasons.append(self._is_missing(material, missing))
            return
        self.movements += [taken_from(held, of_number(number)) for held, number in taken]
        figures = _Figures(
            planned=in_billionths(planned),
            used=in_billionths(used - missing),
            lacked=in_billionths(missing),
        )
        self.uses.append(_use(self._shelf, self._work.session, material, figures))

    def _from_lots(
        self, name: str, used: Decimal, *, is_told: bool
    ) -> tuple[list[tuple[Holding, Decimal]], Decimal]:
        """Return what is taken from which lot, those the plan chose first, and what is missing.

        What a person tells was taken goes beyond what the plan chose; else what sessions before
        this one are to take stays theirs.
        """
        left, taken, spoken_for = used, [], dict[str, Decimal]()
        for draw in self._draws(name):
            some = min(left, of_billionths(in_billionths(draw.amount)))
            left -= some
            if draw.lot is not None and some > 0:
                taken.append((self._shelf.lot(draw.lot.lot), some))
                spoken_for[fold(draw.lot.lot)] = some
        if is_told:
            lots, day = self._shelf.lots_of(name), self._work.session.date
            more, left = first_to_expire(lots, left, day, spoken_for)
            taken += more
        return _one_a_lot(taken), self._made_on_site(name, left)

    def _draws(self, name: str) -> Sequence[Draw]:
        """Return what the plan of that day draws for this session itself."""
        return [
            draw
            for one in self._of_week.served.get(name, ())
            if not one.demand.is_for_batch and one.demand.sessions == (self._work,)
            for draw in one.draws
        ]

    def _made_on_site(self, name: str, missing: Decimal) -> Decimal:
        """Return what is missing once what is made on site without a limit has made it up."""
        is_made = self._of_week.supplies[name].daily_capacity is not None
        return ZERO if is_made else missing

    def _stands_already(self, material: Material, so_far: Decimal) -> str:
        session = self._work.session.session
        return (
            f"Other entries say that this session used {in_words(so_far, material)} of "
            f"{material.name}. Undo those first: prepstore stock history --session "
            f"{quoted(session)}"
        )

    def _is_missing(self, material: Material, missing: Decimal) -> str:
        lacks = in_words(missing, material)
        what = f"{material.name}: {lacks} are not on the shelf, or sessions before it take them."
        if material.is_solution:
            week = _week_of(self._work.session.date).week
            making = f"prepstore stock make {quoted(material.name)} --week {week}"
            return f"{what} Book what was made: {making}"
        return what


def _one_a_lot(taken: Iterable[tuple[Holding, Decimal]]) -> list[tuple[Holding, Decimal]]:
    by_lot: dict[str, tuple[Holding, Decimal]] = {}
    for held, number in taken:
        _, before = by_lot.get(held.label, (held, ZERO))
        by_lot[held.label] = held, before + number
    return list(by_lot.values())


def session_corrected(
    shelf: Shelf, so_far: Sequence[SessionUse], taken: Sequence[Recorded], really: RealUse
) -> Booking:
    """Return what sets right a session that is booked out: more taken, or brought back.

    Args:
        shelf: The lots.
        so_far: All uses recorded for the session.
        taken: All movements recorded for the session.
        really: What differs from what is recorded.

    Raises:
        RefusedError: Nothing differs, more came back than is recorded as used, or the lots hold
            less than was used.
    """
    movements: list[Movement] = []
    uses: list[SessionUse] = []
    for name, what in really.items():
        rows = [use for use in so_far if fold(use.item) == name]
        used = of_billionths(sum(use.used for use in rows))
        now = of_billionths(in_billionths(what.of(used)))
        material = shelf.materials[name]
        if now < 0:
            raise RefusedError(
                f"More {material.name} came back than session {so_far[0].session} is recorded to "
                f"have used, {in_words(used, material)}."
            )
        first = rows[0] if rows else replace(so_far[0], item=material.name, unit=material.unit)
        movements += _difference(shelf, material, now - used, taken, first.session_date)
        # What somebody tells was used is what it used, so it lacks nothing any more.
        lacked = -sum(use.lacked for use in rows)
        uses.append(replace(first, planned=0, used=in_billionths(now - used), lacked=lacked))
    if not any(use.used or use.lacked for use in uses):
        raise RefusedError(
            f"Session {so_far[0].session} is booked out already. Say what differs from what is "
            "recorded with --used or --back, or undo its entry first."
        )
    return Booking(
        movements=tuple(movements),
        uses=tuple(use for use in uses if use.used or use.lacked),
        session=so_far[0].session,
    )


def _difference(
    shelf: Shelf, material: Material, more: Decimal, taken: Sequence[Recorded], day: date
) -> list[Movement]:
    if more <= 0:
        return _brought_back(shelf, material, -more, taken)
    lots, missing = first_to_expire(shelf.lots_of(material.name), more, day)
    item = shelf.goods.items.get(fold(material.name))
    is_made_on_site = item is not None and item.supply is Supply.MADE_ON_SITE
    if missing > 0 and not is_made_on_site:
        lacks = in_words(missing, material)
        raise RefusedError(f"{material.name}: {lacks} are not on the shelf. Count it first.")
    return [taken_from(held, of_number(number)) for held, number in lots]


def _brought_back(
    shelf: Shelf, material: Material, back: Decimal, taken: Sequence[Recorded]
) -> list[Movement]:
    """Return what goes back into the lots it came from, the last one first.

    What was made on site came from no lot, and goes back into none.
    """
    net: dict[str, int] = {}
    for one in taken:
        held = shelf.lot(one.movement.lot)
        if fold(held.lot.item) == fold(material.name):
            net[held.label] = net.get(held.label, 0) - one.movement.billionths
    movements = []
    left = in_billionths(back)
    for label, came_from in reversed(net.items()):
        some = min(left, came_from)
        if some > 0:
            left -= some
            movements.append(
                Movement(lot=label, what=What.RETURNED, billionths=some, unit=material.unit)
            )
    return movements
