"""A Plan: all that a period needs, and where each figure came from."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import cached_property

from prepstore.amounts import ZERO, written_exactly
from prepstore.catalogue import Catalogue
from prepstore.cell_types import Name, fold
from prepstore.chemistry.conversions import Material
from prepstore.containers import Pour
from prepstore.facts import Item, Lot, Solution
from prepstore.planning.acidity import Acidities, Gas, StreamAcidity
from prepstore.planning.acidity_of_containers import AcidityOfContainer, acidity_of_containers
from prepstore.planning.apparatus import ApparatusPlan
from prepstore.planning.batches import Batch
from prepstore.planning.calendar import Period
from prepstore.planning.collections import (
    Call,
    CallFor,
    Expected,
    collections_to_call,
    expected_collections,
    must_look_ahead,
)
from prepstore.planning.composition import NOTHING_IN_IT, Composition, compositions_of
from prepstore.planning.days import Days
from prepstore.planning.demands import Demand, SessionWork
from prepstore.planning.draws import Served, Supplies, drawn_from_deliveries, drawn_from_lots
from prepstore.planning.leftovers import Leftover
from prepstore.planning.meetings import Meetings, meetings_of
from prepstore.planning.ordering.order_choice import OrderChoice
from prepstore.planning.orders import Offer, OrderRow
from prepstore.planning.pours import pours_of
from prepstore.planning.states import SessionPlan
from prepstore.planning.warned import Warned
from prepstore.planning.waste import End, Leaving, StreamPlan, WastePlan
from prepstore.stores import Delivery, Stores
from prepstore.timetable import Timetable


@dataclass(frozen=True, slots=True)
class StockRow:
    """How one item or solution stands over the period; amounts in its unit.

    `promised` is what sessions before the period want; `usable` what is in date on the earliest
    day of need after that; `left` what is there, and in date, on the period's last day after use;
    `lots` what the period draws from each. `served` holds every demand. What stock does not give of
    it is made up where it `is_made`.
    """

    name: str
    material: Material
    fact: Item | Solution
    promised: Decimal
    needed: Decimal
    usable: Decimal
    left: Decimal
    short: Decimal
    restock: Decimal
    lots: tuple[tuple[Lot, Decimal], ...]
    served: tuple[Served, ...]
    is_made: bool = False

    @property
    def unserved(self) -> tuple[Served, ...]:
        """Return the period's demands that are not served in full; a solution's are made up."""
        return () if self.is_made else self._unserved(promised=False)

    @property
    def unserved_before(self) -> tuple[Served, ...]:
        """Return the demands before the period that are not served in full, as `unserved`."""
        return () if self.is_made else self._unserved(promised=True)

    def _unserved(self, *, promised: bool) -> tuple[Served, ...]:
        return tuple(
            one for one in self.served if one.unserved and one.demand.is_promised is promised
        )


@dataclass(frozen=True)
class Plan:
    """A period's sessions, batches, stock, orders, waste and apparatus.

    Mappings go by folded name; `stock` has every item and solution but apparatus. `batches` are
    those that serve the period, in order of make-day, each after what it is made from;
    `promised_batches` those that serve only sessions before it. `leftovers` are what is left of
    `batches` on their last day, be it after the period. `behind` are sessions of the last
    weeks that are over and not booked out, with what they were to take. `waste_until` works out
    what all sessions from today up to a day leave behind, where that is asked.
    """

    period: Period
    days: Days
    catalogue: Catalogue
    timetable: Timetable
    stores: Stores
    supplies: Mapping[str, Supplies]
    packs: Mapping[str, tuple[Offer, ...]]
    sessions: tuple[SessionPlan, ...]
    batches: tuple[Batch, ...]
    promised_batches: tuple[Batch, ...]
    stock: Mapping[str, StockRow]
    ordering: OrderChoice
    waste: WastePlan
    apparatus: tuple[ApparatusPlan, ...]
    waste_until: Callable[[date], WastePlan] = field(compare=False, repr=False)
    leftovers: tuple[Leftover, ...] = ()
    behind: tuple[SessionWork, ...] = ()
    warnings: tuple[Warned, ...] = ()

    @property
    def today(self) -> date:
        """Return the day on which the plan is made."""
        return self.days.today

    @property
    def materials(self) -> Mapping[str, Material]:
        """Return every item and solution as a material."""
        return self.catalogue.materials

    @property
    def works(self) -> tuple[SessionWork, ...]:
        """Return what each session of the period takes."""
        return tuple(session.work for session in self.sessions)

    @property
    def orders(self) -> tuple[OrderRow, ...]:
        """Return what is to be ordered: late rows first, then by the last day, then by pack."""
        return self.ordering.rows

    def with_warnings(self, warnings: Iterable[Warned]) -> "Plan":
        """Return the plan with these warnings; what has been worked out of it is kept."""
        # No figure rests on them. Working them out may work out more of the plan.
        told = tuple(warnings)
        plan = copy(self)
        object.__setattr__(plan, "warnings", told)
        return plan

    def label(self, name: str) -> str:
        """Return the spelling of a folded item or solution name."""
        return self.materials[name].name

    @property
    def each_served(self) -> Iterator[Served]:
        """Yield every demand, before the period and of it, with what it got."""
        for row in self.stock.values():
            yield from row.served

    @cached_property
    def served(self) -> Mapping[Demand, Served]:
        """Return what each demand got."""
        return {one.demand: one for one in self.each_served}

    @cached_property
    def served_to_batches(self) -> Mapping[Demand, Served]:
        """Return what the demands of batches got: few of all."""
        return {one.demand: one for one in self.each_served if one.demand.is_for_batch}

    @cached_property
    def compositions(self) -> Mapping[End, Composition]:
        """Return what is in each stream, by folded stream and the kind it is measured in."""
        return compositions_of(Leaving(self.works, self.waste.leftovers), self.catalogue)

    def composition(self, stream: StreamPlan) -> Composition:
        """Return what is in one stream of the plan."""
        return self.compositions.get((fold(stream.name), stream.kind), NOTHING_IN_IT)

    @cached_property
    def meetings(self) -> Meetings:
        """Return which substances meet in the streams, or stand at one place, and must not."""
        return meetings_of(self.works, self.waste, self.compositions, self.stores, self.catalogue)

    @cached_property
    def gas_of_sessions(self) -> tuple[Gas, ...]:
        """Return the sessions that may give off carbon dioxide, and how much at most."""
        return tuple(self._acidities.gas_of_sessions(self.works))

    @cached_property
    def gas_of_streams(self) -> tuple[Gas, ...]:
        """Return the streams that may give off carbon dioxide, and how much at most."""
        return tuple(self._acidities.gas_of_streams(self.waste.streams, self.compositions))

    @cached_property
    def acidity_of_streams(self) -> tuple[StreamAcidity, ...]:
        """Return the acids and bases of each stream that has any."""
        return tuple(self._acidities.of_streams(self.waste.streams, self.compositions))

    @cached_property
    def acidity_of_containers(self) -> tuple[AcidityOfContainer, ...]:
        """Return the acids and bases of each open container that has any, and the gas of them."""
        return tuple(
            acidity_of_containers(self.works, self.waste, self.compositions, self.catalogue)
        )

    @cached_property
    def _acidities(self) -> Acidities:
        return Acidities(self.catalogue)

    @cached_property
    def made_for(self) -> Mapping[Demand, Batch]:
        """Return the batch that makes what a demand on a solution did not get from stock."""
        batches = (*self.batches, *self.promised_batches)
        return {one.demand: batch for batch in batches for one in batch.served}

    @cached_property
    def last_use(self) -> Mapping[str, date]:
        """Return the last day on which each item or solution that is wanted is used."""
        return {
            name: max(one.demand.day_of_use for one in row.served)
            for name, row in self.stock.items()
            if row.served
        }

    @cached_property
    def batches_by_session(self) -> Mapping[str, list[Batch]]:
        """Return the period's batches that serve each session, by its name, as they are made."""
        found: dict[str, list[Batch]] = {}
        for batch in self.batches:
            for work in batch.sessions:
                found.setdefault(work.session.session, []).append(batch)
        return found

    @cached_property
    def collections(self) -> tuple[Call, ...]:
        """Return the waste collections that must be called, or come, by the period's last day.

        Those that were called already are among them. What sessions after the period bring counts
        too, since a collection is called days before.
        """
        settings, calendar = self.catalogue.settings, self.days.calendar
        soonest: dict[tuple[str, CallFor], Call] = {}
        wastes = [self.waste]
        if must_look_ahead(self.waste, settings):
            wastes.append(self.waste_to_come)
        for waste in wastes:
            for call in collections_to_call(waste, settings, calendar, self.today):
                key = call.stream, call.why
                soonest[key] = min(soonest.get(key, call), call, key=lambda one: one.by)
        calls = (call for call in soonest.values() if (call.call_by or call.by) <= self.last_day)
        return tuple(sorted(calls, key=lambda call: (call.by, call.stream, call.why)))

    @cached_property
    def collections_called(self) -> Mapping[str, Expected]:
        """Return the collections that were called and have not come, by stream (as spelled)."""
        settings, calendar = self.catalogue.settings, self.days.calendar
        return expected_collections(self.waste.streams, settings, calendar)

    @cached_property
    def waste_to_come(self) -> WastePlan:
        """Return what sessions from today on leave behind, as far ahead as collections are called.

        That is the day of which a collection must be called by the period's last day.
        """
        lead = self.catalogue.settings.collection_lead or 0
        until = self.days.calendar.after(self.last_day, lead)
        return self.waste_until(max(until, self.today))

    # What carrying it out takes from the stores and brings into them: see `stores.CarriedOut`.

    @property
    def last_day(self) -> date:
        """Return the last day of the period."""
        return self.period.last

    @cached_property
    def taken(self) -> Mapping[str, Decimal]:
        """Return what is drawn from each lot, by folded label."""
        return drawn_from_lots(self.each_served)

    @cached_property
    def of_deliveries(self) -> Mapping[Delivery, Decimal]:
        """Return what is drawn from each delivery."""
        return drawn_from_deliveries(self.each_served)

    @property
    def made(self) -> Iterator[tuple[Lot, Decimal]]:
        """Yield each batch as a lot that still wants a label, and what is left of it, in mL.

        What is left over on a day of the period has gone to its stream by then.
        """
        poured = (*self.waste.leftovers, *self.waste.leftovers_before)
        gone = {id(leftover.batch) for leftover in poured}
        for batch in (*self.promised_batches, *self.batches):
            left = ZERO if id(batch) in gone else batch.left_ml
            yield (
                Lot(
                    lot=Name(""),
                    item=batch.solution.solution,
                    amount=written_exactly(left, self.materials[batch.name].unit),
                    expiry=batch.use_by,
                    place=batch.solution.storage,
                    received=batch.make_on,
                ),
                left,
            )

    @property
    def pours(self) -> Mapping[str, Sequence[Pour]]:
        """Return what goes into each stream, spare included, by folded stream, in order."""
        return pours_of(self.waste, self.catalogue)
