"""Practical line times session: sets, spare, replacements, rounding of counted things."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from functools import cached_property
from typing import TypeVar

from prepstore.amounts import ZERO, Kind, round_up
from prepstore.catalogue import Catalogue
from prepstore.cell_types import NOT_ASSIGNED, ItemKind, Per, Share, Shares, fold
from prepstore.chemistry.conversions import route_in_unit, turned
from prepstore.chemistry.routes import Route
from prepstore.facts import PracticalLine, Session
from prepstore.planning.endings import Endings, endings_of
from prepstore.planning.scaled_lines import ONE, Retention, ScaledLine
from prepstore.settings import Settings

Found = TypeVar("Found")


@dataclass(frozen=True)
class Scale:
    """What one size of session of a practical takes; sessions of one size share it.

    `needs` are by folded name in the item's unit, `spare` what of each is spare; counted things are
    whole. `one_lot` are the names of which all is to come from one lot or batch. Each scale is
    itself alone, so that what follows from it can be looked up by it.
    """

    groups: int
    sets: int
    lines: tuple[ScaledLine, ...]
    needs: Mapping[str, Decimal]
    spare: Mapping[str, Decimal]
    one_lot: frozenset[str]

    @cached_property
    def endings(self) -> Endings:
        """Return where the lines end, and what agents hold back."""
        return endings_of(self.lines)


NOTHING = Scale(0, 0, (), {}, {}, frozenset())


@dataclass(frozen=True, slots=True)
class SessionWork:
    """A session with what it takes. `day_of_need` is when all of it must be in hand.

    `is_promised` tells a session before the period from the period's own.
    """

    session: Session
    scale: Scale
    day_of_need: date
    is_promised: bool = False
    is_done: bool = False

    @property
    def order(self) -> tuple[date, time, str]:
        """Return what sessions are served in order of: day, start, name."""
        return self.session.date, self.session.start or time.min, self.session.session

    @property
    def begins(self) -> datetime:
        """Return its start, or the first moment of its day where it has no times."""
        return datetime.combine(self.session.date, self.session.start or time.min)


def with_their_size(
    works: Iterable[SessionWork], worked_out: Callable[[Scale], Found]
) -> Iterator[tuple[SessionWork, Found]]:
    """Yield each session with what its size comes to, which is worked out once a size."""
    found: dict[int, Found] = {}
    for work in works:
        key = id(work.scale)
        if key not in found:
            found[key] = worked_out(work.scale)
        yield work, found[key]


def by_scale(works: Iterable[SessionWork]) -> list[tuple[Scale, list[SessionWork]]]:
    """Return sessions of one size together, in the order of the first of each."""
    found: dict[int, tuple[Scale, list[SessionWork]]] = {}
    for work in works:
        found.setdefault(id(work.scale), (work.scale, []))[1].append(work)
    return list(found.values())


@dataclass(frozen=True)
class Asker:
    """Who wants something: a session, or a batch of a solution, and for which day of use.

    `name` is the session's or the folded one of the batch's solution; `sessions` are all that it
    serves. `order` sorts what is wanted in the order in which it is served.
    """

    name: str
    day_of_use: date
    order: tuple[date, int, str, tuple[date, time, str]]
    sessions: tuple[SessionWork, ...]
    is_promised: bool
    is_batch: bool

    @cached_property
    def turn(self) -> tuple[bool, tuple[date, int, str, tuple[date, time, str]]]:
        """Return its place in the queue: what is promised first, then in order."""
        return not self.is_promised, self.order


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """An amount of one item or solution wanted by a session or by a batch.

    `spare` of the amount is spare, which a batch has none of. Each demand is itself alone, however
    alike two are, so that what served it can be looked up by it. All demands of one session share
    their `asker`: a year has a hundred thousand demands.
    """

    name: str
    amount: Decimal
    spare: Decimal
    is_one_lot: bool
    day_of_need: date
    asker: Asker

    @property
    def wanted_by(self) -> str:
        """Return the name of the session, or the folded one of the batch's solution."""
        return self.asker.name

    @property
    def day_of_use(self) -> date:
        """Return the day on which it is used."""
        return self.asker.day_of_use

    @property
    def is_promised(self) -> bool:
        """Return whether it serves only sessions before the period."""
        return self.asker.is_promised

    @property
    def is_for_batch(self) -> bool:
        """Return whether a batch wants it, and no session itself."""
        return self.asker.is_batch

    @property
    def order(self) -> tuple[date, int, str, tuple[date, time, str]]:
        """Return what sorts demands in the order in which they are served."""
        return self.asker.order

    @property
    def sessions(self) -> tuple[SessionWork, ...]:
        """Return all sessions that it serves."""
        return self.asker.sessions


def session_demands(work: SessionWork, days_of_need: Mapping[str, date]) -> Iterator[Demand]:
    """Yield what a session itself wants of items and solutions, apparatus too.

    Args:
        work: The session with what it takes.
        days_of_need: The day of need of what must not come on the session's own, by folded name.
    """
    session, scale = work.session, work.scale
    asker = Asker(
        name=session.session,
        day_of_use=session.date,
        order=(session.date, 1, "", work.order),
        sessions=(work,),
        is_promised=work.is_promised,
        is_batch=False,
    )
    for name, amount in scale.needs.items():
        yield Demand(
            name,
            amount,
            scale.spare[name],
            name in scale.one_lot,
            days_of_need.get(name, work.day_of_need),
            asker,
        )


@dataclass(frozen=True, slots=True)
class _Single:
    """A line for one student, group or session; one container of it, if that is apparatus."""

    of: ScaledLine
    container: ScaledLine | None


class Scaler:
    """Scales practicals to sessions; works out each size of session once."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self._scales: dict[tuple[object, ...], Scale] = {}
        self._lines: dict[str, tuple[_Single, ...]] = {}

    def scale(self, session: Session) -> Scale:
        """Return what a session takes; nothing where it has no students."""
        if session.students == 0:
            return NOTHING
        group_size = self._group_size(session)
        left_out = frozenset(fold(stage) for stage in session.leave_out or ())
        practical = fold(session.practical)
        size = (practical, session.students, group_size, session.demonstrator_sets, left_out)
        found = self._scales.get(size)
        if found is None:
            found = self._scales[size] = self._worked_out(session, group_size, left_out)
        return found

    def _group_size(self, session: Session) -> int:
        return session.group_size or self._catalogue.practicals[fold(session.practical)].group_size

    def _worked_out(self, session: Session, group_size: int, left_out: frozenset[str]) -> Scale:
        groups = -(-session.students // group_size)
        sets = groups + session.demonstrator_sets
        counts = {
            Per.STUDENT: session.students + group_size * session.demonstrator_sets,
            Per.GROUP: sets,
            Per.SESSION: 1,
        }
        lines: list[ScaledLine] = []
        for single in self._single_lines(fold(session.practical)):
            line = single.of.line
            if line.optional and fold(line.stage or "") in left_out:
                continue
            lines.append(single.of.times(counts[line.per]))
            if single.container is not None:
                number = shared_containers(line, sets) or own_containers(line, sets)
                lines.append(single.container.times(number))
        needs = self._added_up((line.name, line.amount) for line in lines)
        without_spare = self._added_up((line.name, line.expected) for line in lines)
        return Scale(
            groups,
            sets,
            tuple(lines),
            needs,
            spare={name: amount - without_spare[name] for name, amount in needs.items()},
            one_lot=frozenset(line.name for line in lines if line.line.one_lot),
        )

    def _single_lines(self, practical: str) -> tuple["_Single", ...]:
        """Return the lines of a practical (folded); all its sizes are made from them."""
        found = self._lines.get(practical)
        if found is None:
            lines = map(self._single, self._catalogue.lines.get(practical, ()))
            found = self._lines[practical] = tuple(
                _Single(one, self._container(one)) for one in lines
            )
        return found

    def _single(self, line: PracticalLine) -> ScaledLine:
        chain = self._catalogue.replaced(line.item)
        name = fold(chain[-1].replaced_by if chain else line.item)
        factors = [link.factor for link in chain if link.factor is not None]
        route = route_in_unit(self._catalogue.materials[name], line.amount, factors)
        to = line.to
        for replacement in chain:
            to = replacement.to or to
        return ScaledLine(
            line=line,
            name=name,
            chain=chain,
            route=route,
            count=1,
            spare=self._spare(line, name),
            ends=self._ends(name, to),
            retention=self._retention(line, name),
        )

    def _container(self, filled: ScaledLine) -> ScaledLine | None:
        """Return a container that a line is set out in, where that is a piece of apparatus."""
        line = filled.line
        container = line.container.name if line.container else ""
        name = fold(self._catalogue.used_for(container))
        apparatus = self._catalogue.items.get(name)
        if apparatus is None or apparatus.kind is not ItemKind.APPARATUS:
            return None
        return ScaledLine(
            line=line,
            name=name,
            chain=self._catalogue.replaced(container),
            route=Route(ONE),
            count=1,
            spare=ZERO,
            ends=(),
            holds=self._catalogue.materials[filled.name].name,
        )

    def _ends(self, name: str, to: Shares | None) -> tuple[Share, ...]:
        """Return where what a line uses ends, folded: as it says, else not assigned or nowhere."""
        if to:
            return tuple(Share(fold(share.end), share.fraction) for share in to)
        item = self._catalogue.items.get(name)
        if item is None or item.kind in (ItemKind.REAGENT, ItemKind.SOLVENT):
            return (Share(NOT_ASSIGNED, ONE),)
        return ()

    def _retention(self, line: PracticalLine, name: str) -> Retention | None:
        """Return what the agent or paper of a line holds back, where it says so."""
        agent = self._catalogue.items.get(name)
        if line.holds_back is None or agent is None or agent.retention is None:
            return None
        liquid = fold(self._catalogue.used_for(line.holds_back))
        each = turned(self._catalogue.materials[liquid], Route(agent.retention), Kind.VOLUME)
        return Retention(liquid, each.number, is_counted=agent.unit.kind is Kind.COUNT)

    def _spare(self, line: PracticalLine, name: str) -> Decimal:
        if line.spare is not None:
            return line.spare
        if line.per is Per.SESSION:
            return ZERO
        item = self._catalogue.items.get(name)
        return spare_setting(self._catalogue.settings, item.kind if item else None)

    def _added_up(self, amounts: Iterable[tuple[str, Decimal]]) -> dict[str, Decimal]:
        """Add up the amounts of each item; counted things are then rounded up to whole."""
        needs: dict[str, Decimal] = {}
        for name, amount in amounts:
            needs[name] = needs.get(name, ZERO) + amount
        materials = self._catalogue.materials
        return {
            name: Decimal(round_up(amount)) if materials[name].unit is Kind.COUNT else amount
            for name, amount in needs.items()
        }


def shared_containers(line: PracticalLine, sets: int) -> int:
    """Return how many containers sets share: sets / shared_by, rounded up; 0 if they share none."""
    return -(-sets // line.shared_by) if line.shared_by else 0


def own_containers(line: PracticalLine, sets: int) -> int:
    """Return how many containers a line has that sets do not share: one a set or a session."""
    return 1 if line.per is Per.SESSION else sets


def spare_setting(settings: Settings, kind: ItemKind | None) -> Decimal:
    """Return the department's spare for a kind of item, or for solutions where it is None."""
    match kind:
        case ItemKind.REAGENT:
            return settings.spare_reagent
        case ItemKind.SOLVENT:
            return settings.spare_solvent
        case ItemKind.CONSUMABLE:
            return settings.spare_consumable
        case ItemKind.APPARATUS:
            return settings.spare_apparatus
        case None:
            return settings.spare_solution
