"""What holds of every plan, whatever the tables say.

Amounts are Decimals of 28 digits, and a conversion may leave a hair in the last: laws of sums are
held to 10⁻⁹ of a unit, the resolution to which the contract settles figures.
"""

import json
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import ZERO, Kind
from prepstore.cell_types import KNOWN_ENDS, ItemKind, LotState, Per, Supply, fold
from prepstore.chemistry.conversions import Material, in_unit
from prepstore.facts import Item, Lot
from prepstore.planning.balances import balances_of
from prepstore.planning.demands import SessionWork
from prepstore.planning.draws import Draw, Served
from prepstore.planning.endings import Ended, endings_of
from prepstore.planning.make_plan import plan_period
from prepstore.planning.orders import Offer
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.scaled_lines import ScaledLine
from prepstore.planning.setting_out import bottles_of
from prepstore.report.plan_json import plan_json, plan_rows
from prepstore.report.plan_shape import PLAN
from prepstore.report.shape import mistake_in
from tests.planning.shared_cases import freely, law
from tests.planning.small_inventories import Case, Tables, cases, rounded, shuffled

HAIR = Decimal("1e-9")


def _demands(plan: Plan) -> list[Served]:
    return [one for row in plan.stock.values() for one in row.served]


def _is_close(one: Decimal, other: Decimal) -> bool:
    return abs(one - other) <= HAIR


def _last_day(held: Lot, opened_life: int | None) -> date:
    printed = held.expiry or date.max
    if held.opened is None or opened_life is None:
        return printed
    return min(printed, held.opened + timedelta(days=opened_life))


@law
def test_what_a_booking_is_told_to_take_is_what_the_plan_takes(case: Case) -> None:
    plan, made = case.plan(), case.department
    taken = made.taken_by_sessions(plan.period, plan.today)
    assert sorted(taken.works, key=_session_of) == sorted(plan.works, key=_session_of)
    assert {name: _told(of_name) for name, of_name in taken.served.items()} == {
        name: _told(row.served) for name, row in plan.stock.items()
    }
    assert taken.supplies == plan.supplies


def _session_of(work: SessionWork) -> str:
    return work.session.session


def _told(served: Iterable[Served]) -> list[tuple[object, ...]]:
    return [
        ([work.session for work in one.demand.sessions], one.demand.amount, one.draws, one.unserved)
        for one in served
    ]


@law
def test_what_is_drawn_and_what_is_unserved_come_to_what_is_demanded(case: Case) -> None:
    for one in _demands(case.plan()):
        drawn = sum((draw.amount for draw in one.draws), ZERO)
        assert _is_close(drawn + one.unserved, one.demand.amount)
        assert all(draw.amount > 0 for draw in one.draws)


@law
def test_promised_and_needed_balance_with_lots_deliveries_making_and_short(case: Case) -> None:
    for row in case.plan().stock.values():
        drawn = sum((draw.amount for one in row.served for draw in one.draws), ZERO)
        promised_short = sum((one.unserved for one in row.served if one.demand.is_promised), ZERO)
        short = row.short
        if row.material.is_solution:
            short = sum((one.unserved for one in row.served if not one.demand.is_promised), ZERO)
        assert _is_close(row.promised + row.needed, drawn + promised_short + short)


@law
def test_no_lot_goes_below_nothing_is_used_out_of_date_or_out_of_quarantine(case: Case) -> None:
    plan = case.plan()
    taken: dict[str, Decimal] = defaultdict(Decimal)
    for one in _demands(plan):
        known = plan.catalogue.items.get(one.demand.name)
        for draw in one.draws:
            if draw.lot is not None:
                taken[draw.lot.lot] += draw.amount
                assert draw.lot.state is LotState.USABLE
                assert fold(draw.lot.item) == one.demand.name
                last = _last_day(draw.lot, known.opened_life if known else None)
                assert one.demand.day_of_use <= last
    for held in [held.lot for held in plan.stores.holdings.values()]:
        amount = in_unit(plan.materials[fold(held.item)], held.amount)
        assert taken[held.lot] <= amount + HAIR


@law
def test_a_delivery_is_used_only_when_it_is_there_and_only_once(case: Case) -> None:
    taken: dict[str, Decimal] = defaultdict(Decimal)
    for one in _demands(case.plan()):
        for draw in one.draws:
            if draw.delivery is not None:
                assert case.today <= draw.delivery.due <= one.demand.day_of_need
                taken[draw.delivery.order.reference or ""] += draw.amount
                assert taken[draw.delivery.order.reference or ""] <= draw.delivery.amount + HAIR


@law
def test_no_more_is_made_on_site_in_a_day_than_can_be_fetched(case: Case) -> None:
    plan = case.plan()
    made: dict[tuple[str, date], Decimal] = defaultdict(Decimal)
    for one in _demands(plan):
        for draw in one.draws:
            if draw.lot is None and draw.delivery is None:
                assert plan.catalogue.items[one.demand.name].supply is Supply.MADE_ON_SITE
                made[one.demand.name, one.demand.day_of_use] += draw.amount
    for (name, _), amount in made.items():
        capacity = plan.catalogue.items[name].daily_capacity
        assert capacity is None or amount <= in_unit(plan.materials[name], capacity) + HAIR


def _by_pencil(row: StockRow, plan: Plan, today: date) -> list[dict[str, Decimal]]:
    """Serve a row's demands again, the slow way: every lot tried in order for every demand."""
    life = row.fact.opened_life if isinstance(row.fact, Item) else None
    held = [one.lot for one in plan.stores.of(row.name)]
    lots = sorted(held, key=lambda lot: (_last_day(lot, life), lot.opened is None, lot.lot))
    left: dict[str, Decimal] = {lot.lot: in_unit(row.material, lot.amount) for lot in lots}
    due = [
        (
            order.due,
            pack.pack,
            order.reference or "",
            in_unit(row.material, pack.size) * order.packs,
        )
        for order in plan.stores.on_order
        if fold((pack := plan.catalogue.packs[fold(order.pack)]).item) == row.name
    ]
    left.update({reference: amount for _, _, reference, amount in due})
    results = []
    for one in sorted(row.served, key=lambda one: (not one.demand.is_promised, one.demand.order)):
        usable: list[str] = [
            lot.lot
            for lot in lots
            if lot.state is LotState.USABLE and one.demand.day_of_use <= _last_day(lot, life)
        ]
        wanted = one.demand.amount
        enough = [label for label in usable if left[label] >= wanted - HAIR]
        if one.demand.is_one_lot and (enough or row.name in plan.catalogue.parts):
            usable = enough[:1]
        keeps = row.fact.shelf_life if isinstance(row.fact, Item) else None
        usable += [
            reference
            for day, _, reference, _ in sorted(due)
            if today <= day <= one.demand.day_of_need
            and (keeps is None or (one.demand.day_of_use - day).days <= keeps)
        ]
        got: dict[str, Decimal] = {}
        for label in usable:
            taken = min(wanted, left[label])
            left[label] -= taken
            wanted -= taken
            if taken:
                got[label] = taken
        results.append(got)
    return results


def _taken_from(draw: Draw) -> str:
    if draw.lot is not None:
        return draw.lot.lot
    return (draw.delivery.order.reference or "") if draw.delivery is not None else "made on site"


@law
def test_lots_and_deliveries_are_taken_as_a_pencil_would_take_them(case: Case) -> None:
    plan = case.plan()
    for row in plan.stock.values():
        served = sorted(row.served, key=lambda one: (not one.demand.is_promised, one.demand.order))
        ours = [{_taken_from(draw): draw.amount for draw in one.draws} for one in served]
        pencil = _by_pencil(row, plan, case.today)
        for mine, by_hand in zip(ours, pencil, strict=True):
            mine.pop("made on site", None)
            for label in mine.keys() | by_hand.keys():
                assert _is_close(mine.get(label, ZERO), by_hand.get(label, ZERO))


@law
def test_a_batch_covers_its_needs_by_less_than_a_step(case: Case) -> None:
    plan = case.plan()
    for batch in plan.batches:
        wanted = sum((one.unserved for one in batch.served), ZERO)
        step = batch.solution.step
        assert batch.volume_ml >= wanted - HAIR
        if step is not None:
            size = in_unit(plan.materials[batch.name], step)
            assert batch.volume_ml < wanted + size
            assert batch.volume_ml % size == 0


@law
def test_a_batch_keeps_until_its_last_session_and_is_not_made_in_the_past(case: Case) -> None:
    for batch in case.plan().batches:
        days = [one.demand.day_of_use for one in batch.served]
        assert case.today <= batch.make_on <= min(days)
        assert batch.use_by is None or max(days) <= batch.use_by
        if batch.solution.shelf_life == 0:
            assert len(batch.served) == 1


@law
def test_a_batch_fits_its_vessel_unless_one_need_alone_is_larger(case: Case) -> None:
    plan = case.plan()
    for batch in plan.batches:
        largest = batch.solution.largest_batch
        if largest is not None:
            size = in_unit(plan.materials[batch.name], largest)
            assert batch.volume_ml <= size or len(batch.served) == 1
            assert (batch.makings - 1) * size < batch.volume_ml <= batch.makings * size


@law
def test_every_need_of_a_solution_that_stock_does_not_give_is_in_one_batch(case: Case) -> None:
    plan = case.plan()
    made = [id(one) for batch in plan.batches for one in batch.served]
    wanted = [
        id(one)
        for name, row in plan.stock.items()
        if row.material.is_solution and name in plan.catalogue.parts
        for one in row.served
        if one.unserved and not one.demand.is_promised
    ]
    assert len(made) == len(set(made))
    assert set(wanted) <= set(made)


def _arrival(pack: Offer, plan: Plan) -> date:
    """Count the working days from today on the fingers; a closed day counts as the next."""
    arrives, days = plan.today, pack.supplier.lead_days or 0
    while not _works(arrives, plan):
        arrives += timedelta(days=1)
    while days:
        arrives += timedelta(days=1)
        days -= _works(arrives, plan)
    return arrives


def _works(day: date, plan: Plan) -> bool:
    settings = plan.catalogue.settings
    return day.weekday() in settings.working_days and day not in settings.holidays


def _least_cost(packs: list[Offer], wanted: Decimal) -> Decimal:
    """Return the least cost of a cover, every combination tried."""
    counts = [range(int(wanted / pack.size) + 2) for pack in packs]
    return min(
        sum((pack.pack.price * count for pack, count in zip(packs, way, strict=True)), ZERO)
        for way in product(*counts)
        if sum((pack.size * count for pack, count in zip(packs, way, strict=True)), ZERO)
        >= wanted - HAIR
    )


@law
def test_packs_cover_each_delivery_and_no_cover_in_time_for_as_much_is_cheaper(case: Case) -> None:
    plan = case.plan()
    for name, row in plan.stock.items():
        orders = [order for order in plan.orders if order.name == name]
        sold = list(plan.packs.get(name, ()))
        is_bought = name not in plan.catalogue.parts
        if isinstance(row.fact, Item):
            is_bought = row.fact.supply is Supply.BOUGHT
        if not is_bought or not sold or row.short + row.restock <= HAIR:
            assert orders == []
            continue
        deliveries = _deliveries_by_pencil(row)
        assert {order.needed_by for order in orders} == deliveries.keys()
        for needed_by, group in deliveries.items():
            of_one = [order for order in orders if order.needed_by == needed_by]
            is_last = needed_by == list(deliveries)[-1]
            wanted = sum((one.unserved for one in group), row.restock if is_last else ZERO)
            assert sum((order.offer.size * order.packs for order in of_one), ZERO) >= wanted - HAIR
            choice, is_late = _choice_by_pencil(
                [one.demand.day_of_need for one in group], sold, plan
            )
            assert all(order.is_late is is_late for order in of_one)
            assert all(order.offer in choice for order in of_one)
            if wanted <= 9 * min(pack.size for pack in sold):
                cost = sum((order.cost for order in of_one), ZERO)
                assert cost == _least_cost(choice, wanted)


def _deliveries_by_pencil(row: StockRow) -> dict[date | None, list[Served]]:
    """Return the unserved needs that come together, by the day by which they are needed."""
    life = row.fact.shelf_life
    groups: list[list[Served]] = []
    for one in sorted(row.unserved, key=lambda one: one.demand.order):
        together = [*groups[-1], one] if groups else [one]
        soonest = min(other.demand.day_of_need for other in together)
        if groups and (life is None or (one.demand.day_of_use - soonest).days <= life):
            groups[-1] = together
        else:
            groups.append([one])
    return {min(one.demand.day_of_need for one in group): group for group in groups} or {None: []}


def _choice_by_pencil(needs: list[date], sold: list[Offer], plan: Plan) -> tuple[list[Offer], bool]:
    """Return the packs to choose from, and whether they are late."""
    if not needs:
        return sold, False
    for day in sorted(needs):
        in_time = [pack for pack in sold if _arrival(pack, plan) <= day]
        if in_time:
            return in_time, day != min(needs)
    first = min(_arrival(pack, plan) for pack in sold)
    return [pack for pack in sold if _arrival(pack, plan) == first], True


@law
def test_spare_makes_no_state_worse(case: Case) -> None:
    """Whatever a session lacks, its state is late or order only for what is short beyond spare."""
    for session in case.plan().sessions:
        beyond = [lack for lack in session.lacks if lack.amount - lack.of_spare > HAIR]
        assert (session.state in ("late", "order")) is bool(beyond)
        assert all(ZERO <= lack.of_spare <= lack.amount + HAIR for lack in session.lacks)


@law
def test_no_demand_is_needed_before_today_or_before_what_does_not_keep_would_do(case: Case) -> None:
    plan = case.plan()
    for row in plan.stock.values():
        life = row.fact.shelf_life if isinstance(row.fact, Item) else None
        for one in row.served:
            demand = one.demand
            assert plan.today <= demand.day_of_need <= demand.day_of_use
            if life is not None:
                assert (demand.day_of_use - demand.day_of_need).days <= life


@law
def test_a_delivery_of_what_does_not_keep_is_never_used_after_its_date(case: Case) -> None:
    plan = case.plan()
    for one in _demands(plan):
        item = plan.catalogue.items.get(one.demand.name)
        for draw in one.draws:
            if draw.delivery is not None and item is not None and item.shelf_life is not None:
                assert (one.demand.day_of_use - draw.delivery.due).days <= item.shelf_life


@law
def test_what_is_to_be_of_one_lot_comes_from_one_lot_or_one_batch(case: Case) -> None:
    plan = case.plan()
    for one in _demands(plan):
        if one.demand.is_one_lot and one.demand.name in plan.catalogue.parts:
            batch = plan.made_for.get(one.demand)
            assert len(one.draws) + (batch is not None) <= 1
            if batch is not None:
                assert _is_close(one.unserved, one.demand.amount)


@law
def test_bottles_hold_what_their_sets_need_and_all_sets_have_one(case: Case) -> None:
    plan = case.plan()
    for work in plan.works:
        sets = work.scale.sets
        for line in work.scale.lines:
            unit = plan.materials[line.name].unit
            bottles = bottles_of(line, sets, unit)
            if not bottles:
                continue
            assert sum(one.number * one.sets for one in bottles) == sets
            assert max(one.sets for one in bottles) - min(one.sets for one in bottles) <= 1
            held = sum((one.number * one.amount for one in bottles), ZERO)
            assert held >= line.amount - HAIR
            if unit is not Kind.COUNT:
                assert _is_close(held, line.amount)
            if line.line.shared_by:
                assert max(one.sets for one in bottles) <= line.line.shared_by


@law
def test_waste_before_and_in_the_period_fills_the_containers(case: Case) -> None:
    plan = case.plan()
    before = replace(plan.period, first=case.today, last=plan.period.first - timedelta(days=1))
    for stream in plan.waste.streams:
        if stream.container is None or not stream.container.size:
            continue
        filled = stream.part_full + stream.before + stream.total.allow_for
        assert len(stream.full_on) == int((filled + HAIR) / stream.container.size)
        assert list(stream.full_on) == sorted(stream.full_on)
        # What is left of a batch for sessions before the period may be poured away only in it.
        is_poured_before = all(one.date < plan.period.first for one in plan.waste.leftovers_before)
        if case.today < plan.period.first and is_poured_before:
            own = plan_period(plan.catalogue, plan.timetable, plan.stores, before, case.today)
            (same,) = (one for one in own.waste.streams if one.name == stream.name)
            assert _is_close(same.total.allow_for, stream.before)


@law
def test_waste_expected_is_at_most_what_is_allowed_for(case: Case) -> None:
    """Where spare is not used, more is left over of batches, and agents hold back less."""
    plan = case.plan()
    lines = (line for work in plan.works for line in work.scale.lines)
    is_more = bool(plan.waste.leftovers) or any(line.retention for line in lines)
    for stream in plan.waste.streams:
        assert is_more or stream.total.expected <= stream.total.allow_for
        for of_day in stream.by_day.values():
            assert is_more or of_day.expected <= of_day.allow_for
        days = sum((of_day.allow_for for of_day in stream.by_day.values()), ZERO)
        assert _is_close(days, stream.total.allow_for)


@law
def test_the_shares_of_every_line_add_to_its_amount(case: Case) -> None:
    """All that lines use is in a stream, kept, in the air or drain, not assigned, held or named.

    What is left of batches comes to it. Each end is turned back into the item's unit here, so one
    sum holds streams of both measures; an end that cannot be turned must be one that the stream
    names.
    """
    plan = case.plan()
    found: dict[tuple[str, Kind], Decimal] = defaultdict(Decimal)
    for stream in plan.waste.streams:
        found[fold(stream.name), stream.kind] += stream.total.allow_for
    for end, ended in plan.waste.other_ends.items():
        found[end] += ended.allow_for
    named = {fold(one.name): {fold(name) for name in one.uncounted} for one in plan.waste.streams}
    expected: dict[tuple[str, Kind], Decimal] = defaultdict(Decimal)
    for line, held in _lines_and_what_is_held_back(plan):
        ends = _ends_by_hand(line, plan)
        in_streams = sum(part for end, part in ends.items() if end not in KNOWN_ENDS) or 1
        for name, fraction in ends.items():
            kind = _MEASURE.get(name, plan.materials[line.name].unit)
            of_end = ZERO if name in KNOWN_ENDS else held * fraction / in_streams
            left = line.amount * fraction - of_end
            amount = _measured_by_hand(left, plan.materials[line.name], kind)
            expected[name, kind] += ZERO if amount is None else amount
            assert amount is not None or line.name in named[name]
    for leftover in plan.waste.leftovers:
        for share in leftover.ends:
            kind = _MEASURE.get(share.end, Kind.VOLUME)
            material = plan.materials[leftover.name]
            amount = _measured_by_hand(leftover.amount.allow_for, material, kind)
            expected[share.end, kind] += ZERO if amount is None else amount * share.fraction
    for key in found.keys() | expected.keys():
        assert _is_close(found[key], expected[key]), key


def _lines_and_what_is_held_back(plan: Plan) -> Iterator[tuple[ScaledLine, Decimal]]:
    """Yield each line, with what agents hold back of it where spare is used."""
    for work in plan.works:
        for one in work.scale.endings.lines:
            if not one.line.holds:
                yield one.line, one.held_back.allow_for


@law
def test_the_balance_of_every_line_closes_to_the_last_digit(case: Case) -> None:
    for balance in (one for work in case.plan().works for one in balances_of(work.scale)):
        for account in (balance.expected, balance.allow_for):
            assert sum(account.out.values()) == account.goes_in
            assert all(amount >= 0 for amount in account.out.values())


@law
def test_what_lines_lose_is_what_agents_hold_back_and_no_more_than_they_can(case: Case) -> None:
    for work in case.plan().works:
        endings = work.scale.endings
        of_lines: dict[str, Ended] = defaultdict(Ended)
        for one in endings.lines:
            of_lines[one.line.name] += one.held_back
            assert one.held_back.expected <= one.line.expected
            assert one.held_back.allow_for <= one.line.amount
        of_agents: dict[str, Ended] = defaultdict(Ended)
        for held in endings.held_back:
            of_agents[held.liquid] += held.amount
            assert held.agent.retention is not None
            amount = held.agent.amount + 1  # papers are rounded up
            assert held.amount.allow_for <= amount * held.agent.retention.each + HAIR
        for name in of_lines.keys() | of_agents.keys():
            assert _is_close(of_lines[name].expected, of_agents[name].expected)
            assert _is_close(of_lines[name].allow_for, of_agents[name].allow_for)


@law
def test_the_order_of_lines_changes_only_which_line_loses_what_is_held_back(case: Case) -> None:
    for work in case.plan().works:
        totals = []
        for lines in (work.scale.lines, work.scale.lines[::-1]):
            found: dict[tuple[str, str], Ended] = defaultdict(Ended)
            for one in endings_of(lines).lines:
                found["held back", one.line.name] += one.held_back
                found["all of it", one.line.name] += sum(one.ends.values(), one.held_back)
                for end, amount in one.ends.items():
                    found[end if end in KNOWN_ENDS else "streams", one.line.name] += amount
            totals.append(found)
        for key in totals[0].keys() | totals[1].keys():
            assert _is_close(totals[0][key].expected, totals[1][key].expected)
            assert _is_close(totals[0][key].allow_for, totals[1][key].allow_for)


@law
def test_a_composition_sums_to_100_per_cent_where_anything_is_known(case: Case) -> None:
    for composition in case.plan().compositions.values():
        for kind in (Kind.VOLUME, Kind.MASS):
            percents = [composition.percent(one, kind) for one in composition.contained]
            known = [percent for percent in percents if percent is not None]
            assert len(known) in (0, len(percents))
            assert not known or _is_close(sum(known, ZERO), Decimal(100))


@law
def test_what_is_in_a_stream_by_volume_comes_to_the_stream(case: Case) -> None:
    plan = case.plan()
    for stream in plan.waste.streams:
        if stream.kind is Kind.VOLUME:
            composition = plan.composition(stream)
            found = composition.ml + composition.unknown_ml
            assert _is_close(found.expected, stream.total.expected)
            assert _is_close(found.allow_for, stream.total.allow_for)


@law
def test_leftovers_and_what_is_taken_come_to_what_is_made(case: Case) -> None:
    plan = case.plan()
    for leftover in plan.leftovers:
        batch = leftover.batch
        taken = sum((one.unserved for one in batch.served), ZERO)
        assert _is_close(leftover.amount.allow_for + taken, batch.volume_ml)
        spare = sum((one.demand.spare for one in batch.served), ZERO)
        more = leftover.amount.expected - leftover.amount.allow_for
        assert -HAIR <= more <= spare + HAIR
        assert leftover.date >= batch.make_on


_MEASURE = {"solvent": Kind.VOLUME, "solid": Kind.MASS}


def _ends_by_hand(line: ScaledLine, plan: Plan) -> dict[str, Decimal]:
    known = plan.catalogue.items.get(line.name)
    to = next((link.to for link in reversed(line.chain) if link.to), line.line.to)
    if to:
        return {fold(share.end): share.fraction for share in to}
    is_collected = known is None or known.kind in (ItemKind.REAGENT, ItemKind.SOLVENT)
    return {"not assigned": Decimal(1)} if is_collected else {}


def _measured_by_hand(amount: Decimal, of: Material, kind: Kind) -> Decimal | None:
    """Return an amount as mass or volume, None where it is counted or has no density."""
    if kind is of.unit:
        return amount
    if of.density is None or of.unit is Kind.COUNT:
        return None
    return amount * of.density if kind is Kind.MASS else amount / of.density


def _doubled(tables: Tables) -> Tables:
    """Return the same set with twice the groups, every group full."""
    sizes = {row["practical"]: int(row["group_size"]) for row in tables["practicals"]}
    rows = []
    for row in tables["timetable"]:
        size = int(row["group_size"] or sizes[row["practical"]])
        groups = int(row["students"])  # as many groups as there were students
        rows.append({**row, "students": str(2 * groups * size), "demonstrator_sets": ""})
    return {**tables, "timetable": rows}


def _halved(doubled: Tables) -> Tables:
    rows = [{**row, "students": str(int(row["students"]) // 2)} for row in doubled["timetable"]]
    return {**doubled, "timetable": rows}


@law
def test_twice_the_groups_need_twice_of_what_is_measured_by_student_or_group(case: Case) -> None:
    twice = Case(_doubled(case.tables), case.today).plan()
    once = Case(_halved(_doubled(case.tables)), case.today).plan()
    for one, two in zip(once.works, twice.works, strict=True):
        assert two.scale.groups == 2 * one.scale.groups
        for single, double in zip(one.scale.lines, two.scale.lines, strict=True):
            times = 1 if single.line.per is Per.SESSION else 2
            assert single.holds or _is_close(double.amount, times * single.amount)
        for name, amount in one.scale.needs.items():
            lines = [line.line.per for line in one.scale.lines if line.name == name]
            if Per.SESSION not in lines and once.materials[name].unit is not Kind.COUNT:
                assert _is_close(two.scale.needs[name], 2 * amount)


@freely
@given(cases().flatmap(lambda case: st.tuples(st.just(case), shuffled(case.tables))))
def test_the_plan_does_not_depend_on_the_order_of_rows(both: tuple[Case, Tables]) -> None:
    case, other = both
    assert _comparable(case.plan()) == _comparable(Case(other, case.today).plan())


def _comparable(plan: Plan) -> object:
    """Return a plan's rows sorted; a sentence may list names in the order of the script."""
    rows = plan_rows(plan)
    for warning in rows["warnings"]:
        warning["message"] = sorted(re.findall(r"[\w-]+", warning["message"]))
    return rounded(rows)


def _drawn(served: Iterable[Served]) -> dict[str, Decimal]:
    totals: dict[str, Decimal] = defaultdict(Decimal)
    for one in served:
        for draw in one.draws:
            if draw.lot is not None:
                totals[draw.lot.lot] += draw.amount
    return totals


@law
def test_this_week_and_then_next_never_spend_the_same_gram_twice(case: Case) -> None:
    """What this week draws and what next week's plan, made today, draws fit into each lot.

    Held for items that no batch takes: a batch that serves both weeks is listed whole in next
    week's plan and takes all its parts there, so that this week's plan and next week's each
    show it.
    """
    this_week, next_week = case.plan("2027-W05"), case.plan("2027-W06")
    amounts: dict[str, Decimal] = {
        held.label: in_unit(held.material, held.lot.amount)
        for held in next_week.stores.holdings.values()
    }
    for name, row in next_week.stock.items():
        now = this_week.stock[name]
        if any(one.demand.is_for_batch for one in (*row.served, *now.served)):
            continue
        assert _is_close(row.promised, now.promised + now.needed)
        spent = _drawn(now.served)
        before = _drawn([one for one in row.served if one.demand.is_promised])
        own: dict[str, Decimal] = {held.lot: drawn for held, drawn in row.lots}
        for label in spent.keys() | before.keys() | own.keys():
            assert _is_close(spent.get(label, ZERO), before.get(label, ZERO))
            assert spent.get(label, ZERO) + own.get(label, ZERO) <= amounts[label] + HAIR


@law
def test_within_one_plan_the_weeks_before_and_the_week_itself_share_each_lot(case: Case) -> None:
    """Batches included: what is promised and what next week draws fit into each lot together."""
    plan = case.plan("2027-W06")
    for row in plan.stock.values():
        own: dict[str, Decimal] = {held.lot: drawn for held, drawn in row.lots}
        promised = _drawn([one for one in row.served if one.demand.is_promised])
        for held in [held.lot for held in plan.stores.holdings.values()]:
            if fold(held.item) == row.name:
                amount = in_unit(row.material, held.amount)
                total = own.get(held.lot, ZERO) + promised.get(held.lot, ZERO)
                assert total <= amount + HAIR


@law
def test_states_say_what_stands_in_the_way(case: Case) -> None:
    plan = case.plan()
    made = {work.session.session for batch in plan.batches for work in batch.sessions}
    for one in plan.sessions:
        assert (one.state == "done") is (one.work.session.date < case.today)
        # A state is judged without the spare.
        lacks_more = any(lack.amount - lack.of_spare > HAIR for lack in one.lacks)
        assert (one.state in ("late", "order")) is lacks_more
        if one.state == "make up":
            assert one.work.session.session in made
        if one.state == "covered":
            assert one.work.session.session not in made
    short = {name for name, row in plan.stock.items() if row.short}
    lacking = {lack.name for one in plan.sessions for lack in one.lacks}
    assert lacking == short


@law
def test_every_plan_can_be_read_back_as_an_earlier_one(case: Case) -> None:
    rows = json.loads(plan_json(case.plan()), parse_float=Decimal)
    assert mistake_in(rows, PLAN) is None
