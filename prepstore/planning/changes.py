"""What differs between an earlier plan of a period and the plan now, so that it is acted on."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final, TypeVar

from prepstore.amounts import ZERO
from prepstore.cell_types import fold
from prepstore.planning.differs import (
    ApparatusDiffers,
    BatchDiffers,
    BenchDiffers,
    DeliveryDiffers,
    Differs,
    OrderDiffers,
    SessionChange,
    SessionDiffers,
    ShortDiffers,
    StateDiffers,
    StreamDiffers,
    WarningDiffers,
)
from prepstore.planning.papers import (
    BatchThen,
    BenchThen,
    OrderThen,
    Papers,
    SessionThen,
    StreamThen,
)
from prepstore.planning.plan import Plan
from prepstore.planning.states import State


def changes_between(before: Papers, now: Papers, plan: Plan) -> tuple[Differs, ...]:
    """Return what differs between two plans of one period so that somebody does something else.

    What has been carried out since is no difference: sessions that are over, batches that were
    made, orders that were placed, deliveries that have come.

    Args:
        before: What the earlier plan said.
        now: What the plan says now.
        plan: The plan now, with the timetable and the stores that it was made from.
    """
    since = _Since(before, now, plan)
    return tuple(one for differing in _KINDS for one in differing(since))


@dataclass(frozen=True, slots=True)
class _Since:
    before: Papers
    now: Papers
    plan: Plan

    def is_over(self, name: str) -> bool:
        """Return whether a session is over by now, so that nobody prepares it."""
        then, now = self.before.sessions.get(name), self.now.sessions.get(name)
        if now is not None:
            return now.is_done
        return then is not None and (then.is_done or then.day < self.now.today)

    def received(self, name: str) -> tuple[str, ...]:
        """Return the lots of an item or solution that came or were made since the earlier plan."""
        return tuple(
            held.label
            for held in self.plan.stores.of(fold(name))
            if held.lot.received is not None and held.lot.received >= self.before.today
        )

    def places(self, lots: Iterable[str]) -> dict[str, str]:
        """Return where lots stand that have a place."""
        held = self.plan.stores.holdings
        found = {lot: held[fold(lot)].lot.place for lot in lots if fold(lot) in held}
        return {lot: place for lot, place in found.items() if place}

    def is_carried_out(self, solution: str) -> bool:
        """Return whether all that a solution was to be made up for is over by now."""
        wanted_by = {
            session for session, item in self.before.benches if fold(item) == fold(solution)
        }
        made_into = {
            batch.solution
            for batch in self.before.batches
            if any(fold(part) == fold(solution) for part in batch.parts)
        }
        return all(map(self.is_over, wanted_by)) and all(map(self.is_carried_out, made_into))


def _sessions(since: _Since) -> Iterator[SessionDiffers]:
    names = dict.fromkeys([*since.now.sessions, *since.before.sessions])
    elsewhere = {fold(one.session): one for one in since.plan.timetable.sessions}
    for name in (name for name in names if not since.is_over(name)):
        before, now = since.before.sessions.get(name), since.now.sessions.get(name)
        is_laid = before is not None and before.prepare_by <= since.now.today
        if now is None:
            there = elsewhere.get(fold(name))
            change = SessionChange.OUT_OF_PERIOD if there else SessionChange.CANCELLED
            yield SessionDiffers(change, before, None, is_laid, there)
        elif before is None or (now.students and not before.students):
            if now.students:
                yield SessionDiffers(SessionChange.ADDED, None, now)
        elif before.students and not now.students:
            yield SessionDiffers(SessionChange.CANCELLED, before, now, is_laid)
        elif now.students:
            for change in _differing_in(before, now):
                yield SessionDiffers(change, before, now, is_laid)


def _differing_in(before: SessionThen, now: SessionThen) -> Iterator[SessionChange]:
    if (before.day, before.start, before.end) != (now.day, now.start, now.end):
        yield SessionChange.MOVED
    if fold(before.practical) != fold(now.practical):
        yield SessionChange.SWAPPED
    if fold(before.room or "") != fold(now.room or ""):
        yield SessionChange.ROOM
    if (before.students, before.sets) != (now.students, now.sets):
        yield SessionChange.NUMBERS


def _states(since: _Since) -> Iterator[StateDiffers]:
    for name, now in since.now.sessions.items():
        before = since.before.sessions.get(name)
        if before is not None and not now.is_done and before.state != now.state:
            yield StateDiffers(before, now)
        elif before is None and now.state == State.LATE:
            yield StateDiffers(now, now)


def _benches(since: _Since) -> Iterator[BenchDiffers]:
    """Yield benches by session, in the order of sessions now, those that are gone last."""
    order = {
        name: place for place, name in enumerate([*since.now.sessions, *since.before.sessions])
    }
    keys = dict.fromkeys([*since.now.benches, *since.before.benches])
    for session, item in sorted(keys, key=lambda key: order.get(key[0], len(order))):
        before = since.before.benches.get((session, item))
        now = since.now.benches.get((session, item))
        if since.is_over(session) or before == now:
            continue
        unit = (since.now if now else since.before).units.get(item, "each")
        fact = since.plan.catalogue.items.get(fold(item))
        is_uses = fact is not None and fact.minutes_per_use is not None
        places = since.places(now.lots if now else ())
        differs = BenchDiffers(session, item, unit, before, now, is_uses, places)
        if differs.difference or _is_acted_on(before, now, since.received(item)):
            yield differs


def _is_acted_on(before: BenchThen | None, now: BenchThen | None, new_lots: Iterable[str]) -> bool:
    """Return whether as much in other bottles or from other lots is to be fetched otherwise.

    A lot that came or was made since was expected: the plan named its delivery or batch.
    """
    if before is None or now is None:
        return True
    known = set(now.lots) - set(new_lots)
    is_other_lots = not (known <= set(before.lots) <= set(now.lots))
    return is_other_lots or (before.containers, before.fill) != (now.containers, now.fill)


Thing = TypeVar("Thing")


def _paired(
    before: Iterable[Thing],
    now: Iterable[Thing],
    same: Callable[[Thing], object],
    alike: Callable[[Thing], object],
) -> Iterator[tuple[Thing | None, Thing | None]]:
    """Yield things with what they were: those that are the same, then those that are alike.

    Of several that are alike the first go together; what is left is new or gone.
    """
    then = list(before)
    rest: list[Thing] = []
    for one in now:
        found = next((other for other in then if same(other) == same(one)), None)
        if found is None:
            rest.append(one)
        else:
            then.remove(found)
            yield found, one
    for one in rest:
        found = next((other for other in then if alike(other) == alike(one)), None)
        if found is not None:
            then.remove(found)
        yield found, one
    for other in then:
        yield other, None


def _batches(since: _Since) -> Iterator[BatchDiffers]:
    pairs = _paired(
        since.before.batches,
        since.now.batches,
        lambda one: (one.solution, one.make_on),
        lambda one: one.solution,
    )
    used = {lot for bench in since.now.benches.values() for lot in bench.lots}
    used |= {lot for batch in since.now.batches for _, of in batch.parts.values() for lot in of}
    for before, now in pairs:
        if before is not None and now is None:
            if since.is_carried_out(before.solution):
                continue
            made = since.received(before.solution)
            unused = tuple(lot for lot in made if lot not in used)
            if not made or unused:
                yield BatchDiffers(before, None, unused)
        elif before is None or now is None or _is_made_otherwise(before, now, since):
            yield BatchDiffers(before, now)


def _is_made_otherwise(before: BatchThen, now: BatchThen, since: _Since) -> bool:
    if (before.make_on, before.volume_ml, before.makings) != (
        now.make_on,
        now.volume_ml,
        now.makings,
    ):
        return True
    if before.parts.keys() != now.parts.keys():
        return True
    for item, (amount, lots) in now.parts.items():
        amount_then, lots_then = before.parts[item]
        known = {lot for lot in lots if lot not in since.received(item)}
        if amount != amount_then or (lots and not known <= set(lots_then)):
            return True
    return False


def _orders(since: _Since) -> Iterator[OrderDiffers]:
    pairs = _paired(
        since.before.orders,
        since.now.orders,
        lambda one: (one.pack, one.needed_by),
        lambda one: one.pack,
    )
    placed = _placed_since(since)
    for before, now in pairs:
        if before is None:
            yield OrderDiffers(None, now)
            continue
        done = min(before.packs, placed.get(before.pack, 0))
        placed[before.pack] = placed.get(before.pack, 0) - done
        if now is None:
            if done < before.packs:
                yield OrderDiffers(before, None, done)
        elif now.packs != before.packs - done or _is_pressing(before, now):
            yield OrderDiffers(before, now, done)


def _is_pressing(before: OrderThen, now: OrderThen) -> bool:
    """Return whether an order is to be sent earlier, is late now, or is no longer for spare."""
    sooner = now.order_by is not None and (
        before.order_by is None or now.order_by < before.order_by
    )
    is_late, is_needed = now.is_late > before.is_late, now.is_for_spare < before.is_for_spare
    return sooner or is_late or is_needed


def _placed_since(since: _Since) -> dict[str, int]:
    """Return how many more packs are on order, or have come, than in the earlier plan."""
    packs: dict[str, int] = {}
    for one in since.now.deliveries:
        packs[one.pack] = packs.get(one.pack, 0) + one.packs
    for one in since.before.deliveries:
        packs[one.pack] = packs.get(one.pack, 0) - one.packs
    for order in since.before.orders:
        # What came since was ordered since, or stood among the deliveries.
        if since.received(order.item) and packs.get(order.pack, 0) <= 0:
            packs[order.pack] = order.packs
    return {pack: max(0, count) for pack, count in packs.items()}


def _deliveries(since: _Since) -> Iterator[DeliveryDiffers]:
    wanted = {order.pack for order in since.before.orders}
    missing = {*since.now.short, *(one.item for one in since.now.orders if one.needed_by)}
    pairs = _paired(
        since.before.deliveries,
        since.now.deliveries,
        lambda one: (one.reference, one.pack, one.due),
        lambda one: (one.reference, one.pack),
    )
    for before, now in pairs:
        if before is None and now is not None:
            if now.is_counted or now.pack in wanted:
                yield DeliveryDiffers(None, now)
        elif before is not None and now is None:
            if before.is_counted and not since.received(before.item):
                yield DeliveryDiffers(before, None)
        elif before is not None and now is not None:
            matters = before.is_counted or now.is_counted
            if matters and (before.due, before.packs, before.is_counted) != (
                now.due,
                now.packs,
                now.is_counted,
            ):
                is_missed = before.is_counted and not now.is_counted and now.item in missing
                yield DeliveryDiffers(
                    before,
                    now,
                    is_too_late=is_missed and now.due > before.due,
                    is_overdue=is_missed and now.due < since.now.today,
                )


def _short(since: _Since) -> Iterator[ShortDiffers]:
    """Yield what is short of what nobody orders: orders tell of the rest."""
    ordered = {order.item for order in (*since.now.orders, *since.before.orders)}
    for item in dict.fromkeys([*since.now.short, *since.before.short]):
        before, now = since.before.short.get(item, ZERO), since.now.short.get(item, ZERO)
        if before != now and item not in ordered:
            unit = since.now.units.get(item) or since.before.units.get(item, "each")
            yield ShortDiffers(item, unit, before, now)


def _apparatus(since: _Since) -> Iterator[ApparatusDiffers]:
    short_before, short_now = since.before.apparatus_short, since.now.apparatus_short
    for item in dict.fromkeys([*short_now, *short_before]):
        before, now = short_before.get(item), short_now.get(item)
        if before != now:
            yield ApparatusDiffers(item, before, now)


def _streams(since: _Since) -> Iterator[StreamDiffers]:
    """Yield streams that need other containers; less of what is over by now is no difference."""
    is_over = any(
        since.is_over(name) and not then.is_done for name, then in since.before.sessions.items()
    )
    for stream, now in since.now.streams.items():
        before = since.before.streams.get(stream, StreamThen(0, ()))
        to_come = StreamThen(
            before.containers, tuple(day for day in before.full_on if day >= since.now.today)
        )
        ahead = StreamThen(
            now.containers, tuple(day for day in now.full_on if day >= since.now.today)
        )
        is_less = now.containers <= before.containers and len(ahead.full_on) <= len(to_come.full_on)
        if ahead != to_come and not (is_over and is_less):
            yield StreamDiffers(stream, to_come, ahead)


_TOLD_ELSEWHERE: Final = frozenset({"apparatus-short", "waste-containers-short", "not-sold"})


def _warnings(since: _Since) -> Iterator[WarningDiffers]:
    before, now = since.before.warnings, since.now.warnings
    for key, message in now.items():
        if key not in before and key[0] not in _TOLD_ELSEWHERE:
            yield WarningDiffers(key[1], message, is_new=True)
    for key, message in before.items():
        if key not in now and key[0] not in _TOLD_ELSEWHERE:
            yield WarningDiffers(key[1], message, is_new=False)


_KINDS: Final[tuple[Callable[[_Since], Iterator[Differs]], ...]] = (
    _sessions,
    _states,
    _batches,
    _benches,
    _orders,
    _deliveries,
    _short,
    _apparatus,
    _streams,
    _warnings,
)
