"""How an item's figures came about, in sentences that a calculator can follow."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from prepstore.amounts import plain, settle
from prepstore.cell_types import ItemKind, Per, fold
from prepstore.chemistry.conversions import Material
from prepstore.chemistry.solutions import Ingredient
from prepstore.facts import Item, Solution
from prepstore.planning.apparatus import ApparatusPlan
from prepstore.planning.batches import Batch, PartNeed
from prepstore.planning.demands import SessionWork
from prepstore.planning.draws import Draw, Served
from prepstore.planning.endings import HeldBack
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.scaled_lines import ScaledLine
from prepstore.problems import not_known
from prepstore.report.order_words import why_this_pack
from prepstore.report.route_words import steps_in_words
from prepstore.report.wording import (
    day_in_words,
    far_day_in_words,
    money_in_words,
    percent_in_words,
    period_in_words,
    shares_in_words,
    vessels_in_words,
)


def trace_of(plan: Plan, item: str) -> Iterator[str]:
    """Yield how the figures of one item or solution came about.

    Raises:
        RefusedError: There is no such item or solution.
    """
    name = fold(item)
    if name not in plan.materials:
        known = [material.name for material in plan.materials.values()]
        raise not_known(item, "item or solution", known)
    material = plan.materials[name]
    yield f"{material.name}, kept in {material.unit}"
    yield f"{period_in_words(plan.period)}, planned on {day_in_words(plan.today)}"
    yield from _what_is_known(material, plan.catalogue.kept(name))
    yield from _needs(plan, name)
    fact = plan.catalogue.items.get(name)
    if fact is not None and fact.kind is ItemKind.APPARATUS:
        yield from _apparatus(next(one for one in plan.apparatus if one.item is fact))
        return
    row = plan.stock[name]
    yield from _batches(plan, name)
    yield from _served(plan, row)
    yield from _not_counted(plan, row)
    yield from _outcome(plan, row)


def exact(number: Decimal, unit: str) -> str:
    """Return an amount with all its figures down to the resolution."""
    return f"{plain(settle(number))} {unit}"


def _section(heading: str, lines: Iterable[str]) -> Iterator[str]:
    yield ""
    yield heading
    found = False
    for line in lines:
        found = True
        yield f"  {line}"
    if not found:
        yield "  none"


def _what_is_known(material: Material, fact: Item | Solution | None) -> Iterator[str]:
    facts = []
    if material.formula:
        mass = plain(material.molar_mass_g_per_mol)
        facts.append(f"formula {material.formula}, {mass} g/mol")
    if material.strength:
        facts.append(f"strength {material.strength}")
    if material.density:
        facts.append(f"density {plain(material.density)} g/mL")
    if fact is not None and fact.measures:
        sizes = (f"{word} = {size}" for word, size in fact.measures.items())
        facts.append(f"measures {', '.join(sizes)}")
    if facts:
        yield f"Known about it: {'; '.join(facts)}."


def _needs(plan: Plan, name: str) -> Iterator[str]:
    lines: list[str] = []
    for work in plan.works:
        of_item = [line for line in work.scale.lines if line.name == name]
        if of_item:
            lines += _session_needs(work, of_item, plan.materials[name])
            lines += (
                f"  {words}"
                for held, words in held_back_in_words(plan, work)
                if name in (held.liquid, held.agent.name)
            )
    lines += _replaced_in(plan, name)
    yield from _section("Used by sessions of the period", lines)


def _replaced_in(plan: Plan, name: str) -> Iterator[str]:
    """Yield what is used where a script asks for an item that this laboratory has replaced."""
    for work in plan.works:
        for line in work.scale.lines:
            if name != line.name and name in {fold(link.item) for link in line.chain}:
                yield (
                    f"{work.session.session} ({work.session.practical}): its script asks for "
                    f"{line.chain[0].item}; {plan.label(line.name)} is used instead"
                )


def _session_needs(work: SessionWork, lines: list[ScaledLine], material: Material) -> Iterator[str]:
    session, scale = work.session, work.scale
    further = session.demonstrator_sets
    demonstrators = f" + {further} for demonstrators = {scale.sets} sets" if further else ""
    yield (
        f"{session.session} ({session.practical}, {day_in_words(session.date)}): "
        f"{session.students} students = {scale.groups} groups{demonstrators}"
    )
    for line in lines:
        yield from (f"  {sentence}" for sentence in line_in_words(line, material))
    for sentence in together_in_words(work, lines[0].name, material):
        yield f"  {sentence}"


def together_in_words(work: SessionWork, name: str, material: Material) -> Iterator[str]:
    """Yield what the lines of an item (folded) come to in a session, where that is not plain."""
    lines = [line for line in work.scale.lines if line.name == name]
    total = work.scale.needs[name]
    unrounded = sum((line.amount for line in lines), Decimal(0))
    if settle(total) != settle(unrounded):
        yield f"rounded up to whole: {exact(total, material.unit)}"
    elif len(lines) > 1:
        yield f"together {exact(total, material.unit)}"


def line_in_words(line: ScaledLine, material: Material) -> Iterator[str]:
    """Yield how one line of a script came to its amount."""
    written = line.line
    stage = f"{written.stage}: " if written.stage else ""
    for replacement in line.chain:
        factor = f" x {plain(replacement.factor)}" if replacement.factor else ""
        reason = f" ({replacement.reason})" if replacement.reason else ""
        yield f"{replacement.item} is replaced by {replacement.replaced_by}{factor}{reason}"
    if line.holds:
        shared = f", one for {written.shared_by} sets" if written.shared_by else ""
        yield f"{stage}{line.count} as containers of {line.holds}{shared}"
        return
    one = f"{stage}{written.amount} per {written.per}"
    if str(written.amount) != exact(line.each, material.unit):
        one += f" = {exact(line.each, material.unit)}"
        one += f" ({steps_in_words(line.route.steps)})" if line.route.steps else ""
    counted = f" x {line.count} {_counted(written.per, line.count)}"
    spare = f" x (1 + {percent_in_words(line.spare)} spare)" if line.spare else ""
    yield f"{one}{counted}{spare} = {exact(line.amount, material.unit)}"


def held_back_in_words(plan: Plan, work: SessionWork) -> Iterator[tuple[HeldBack, str]]:
    """Yield what agents and papers of a session hold back, and how it came to its amount."""
    for held in work.scale.endings.held_back:
        if held.agent.retention is not None:
            liquid, agent = plan.materials[held.liquid], plan.materials[held.agent.name]
            each = exact(held.agent.retention.each, liquid.unit)
            of_each = "piece" if held.agent.retention.is_counted else agent.unit
            expected, allow_for = held.amount.expected, held.amount.allow_for
            yield (
                held,
                f"{agent.name} holds back {liquid.name}, {each} in each {of_each}, at most all "
                f"that goes to streams: {exact(expected, liquid.unit)}, with its spare "
                f"{exact(allow_for, liquid.unit)}",
            )


def leftovers_in_words(plan: Plan, batch: Batch) -> Iterator[str]:
    """Yield what is left of a batch on its last day, and where that goes; nothing if it keeps."""
    for leftover in plan.leftovers:
        if leftover.batch is batch:
            volume, expected = exact(batch.volume_ml, "mL"), leftover.amount.expected
            to = f"to {shares_in_words(leftover.to)}" if leftover.to else "no stream is given"
            yield (
                f"left over on {far_day_in_words(leftover.date)}: {volume} - "
                f"{exact(batch.volume_ml - expected, 'mL')} = {exact(expected, 'mL')}, where spare "
                f"is used {exact(leftover.amount.allow_for, 'mL')}: {to}"
            )


def _counted(per: Per, count: int) -> str:
    words = {Per.STUDENT: "student", Per.GROUP: "set", Per.SESSION: "session"}
    return words[per] if count == 1 else f"{words[per]}s"


def _batches(plan: Plan, name: str) -> Iterator[str]:
    lines: list[str] = []
    for batch in plan.batches:
        if batch.name == name:
            lines += batch_in_words(plan, batch)
            lines += (f"  {words}" for words in leftovers_in_words(plan, batch))
        for part in batch.parts:
            if part.name == name:
                lines.append(_part_of(batch, part))
    yield from _section("Batches made up of it, and with it", lines)


def batch_in_words(plan: Plan, batch: Batch) -> Iterator[str]:
    """Yield how a batch came to its volume, for whom it is, and what each part takes."""
    needs = " + ".join(exact(one.unserved, "mL") for one in batch.served)
    makings = f" in {batch.makings} makings" if batch.makings > 1 else ""
    step = batch.solution.step
    to = f"multiples of {step}" if step else vessels_in_words(plan.catalogue.settings.flasks)
    yield (
        f"made on {day_in_words(batch.make_on)}: {needs} still needed = "
        f"{exact(batch.wanted_ml, 'mL')}, rounded up to {to}: "
        f"{exact(batch.volume_ml, 'mL')}{makings}"
    )
    yield f"  for {', '.join(work.session.session for work in batch.sessions)}"
    for part in batch.parts:
        amount = exact(part.amount, plan.materials[part.name].unit)
        wanted = f"{_wanted(part.ingredient)}{_part_route(part)}"
        yield f"  {plan.label(part.name)}, {wanted}: {amount}"


def _part_of(batch: Batch, part: PartNeed) -> str:
    ingredient = part.ingredient
    return (
        f"{_wanted(ingredient)} in {exact(batch.volume_ml, 'mL')} of {batch.solution.solution}, "
        f"made on {day_in_words(batch.make_on)}{_part_route(part)}: "
        f"{exact(part.amount, ingredient.material.unit)}"
    )


def _part_route(part: PartNeed) -> str:
    """Return the steps from a part's concentration to its amount, as a calculator takes them."""
    return f" ({steps_in_words(part.route.steps)})" if part.route.steps else ""


def _wanted(ingredient: Ingredient) -> str:
    of = ingredient.of
    if of is None:
        return str(ingredient.amount)
    count = f"{plain(of.count)} " if of.count != 1 else ""
    return f"{ingredient.amount} as {count}{of.formula}"


def _served(plan: Plan, row: StockRow) -> Iterator[str]:
    lines = [served_in_words(plan, one) for one in row.served]
    heading = "In the order served: who wants how much, and what it comes from"
    yield from _section(heading, lines)


def served_in_words(plan: Plan, one: Served) -> str:
    """Return who wants how much of something, and what it comes from."""
    demand = one.demand
    unit = plan.materials[demand.name].unit
    who = demand.wanted_by
    if demand.is_for_batch:
        who = f"batch of {plan.label(who)} made on {day_in_words(demand.day_of_use)}"
    promised = ", before the period" if demand.is_promised else ""
    draws = [_draw(draw, unit, demand.day_of_use.isoformat()) for draw in one.draws]
    if one.unserved:
        is_made = plan.stock[demand.name].is_made
        draws.append(f"{exact(one.unserved, unit)} {'to be made' if is_made else 'SHORT'}")
    return f"{who}{promised}: {exact(demand.amount, unit)} = {' + '.join(draws)}"


def _draw(draw: Draw, unit: str, day: str) -> str:
    amount = exact(draw.amount, unit)
    if draw.lot is not None:
        place = f", {draw.lot.place}" if draw.lot.place else ""
        return f"{amount} from lot {draw.lot.lot}{place}"
    if draw.delivery is not None:
        due = day_in_words(draw.delivery.due)
        return f"{amount} from the delivery of {draw.delivery.pack} due {due}"
    return f"{amount} made on site on {day}"


def _not_counted(plan: Plan, row: StockRow) -> Iterator[str]:
    """Yield the lots and deliveries that do not count for some or all of the days of use."""
    lines = [
        f"lot {held.label}, {exact(held.amount, held.unit)}: {held.lot.state}"
        for held in plan.stores.of(row.name)
        if not held.is_usable
    ]
    last_use = max((one.demand.day_of_use for one in row.served), default=plan.period.first)
    supplies = plan.supplies[row.name]
    lines += [
        f"lot {held.label}, {exact(held.amount, held.unit)}: last day "
        f"{far_day_in_words(held.last_day)}"
        for held in supplies.lots
        if held.last_day is not None and held.last_day < last_use
    ]
    last_need = max((one.demand.day_of_need for one in row.served), default=plan.period.first)
    lines += [
        f"delivery of {delivery.pack}, {exact(delivery.amount, row.material.unit)}: due "
        f"{far_day_in_words(delivery.due)}"
        for delivery in supplies.deliveries
        if delivery.due > last_need
    ]
    if lines:
        yield from _section("Not counted, or not for every day", lines)


def _outcome(plan: Plan, row: StockRow) -> Iterator[str]:
    yield from _section("So", outcome_in_words(plan, row))


def outcome_in_words(plan: Plan, row: StockRow) -> list[str]:
    """Return what an item or solution comes to: needed, usable, short, to restock, to order."""
    unit = row.material.unit
    lines = [
        f"promised to sessions before the period: {exact(row.promised, unit)}",
        f"needed: {exact(row.needed, unit)}",
        f"usable on the earliest day of need: {exact(row.usable, unit)}",
    ]
    if not row.is_made:
        lines.append(f"short: {exact(row.short, unit)}")
    if row.restock:
        shelf = f"minimum {row.fact.minimum}, up to {row.fact.restock_to or row.fact.minimum}"
        lines.append(f"restock ({shelf}): {exact(row.restock, unit)}")
    for order in plan.orders:
        if order.name == row.name:
            pack = order.offer.pack
            cost = money_in_words(order.cost, plan.catalogue.settings.currency)
            by = f", order by {day_in_words(order.order_by)}" if order.order_by else ""
            late = ", LATE" if order.is_late else ""
            lines.append(f"order {order.packs} x {pack.size} ({pack.pack}), {cost}{by}{late}")
            lines += why_this_pack(plan, order)
    return lines


def _apparatus(planned: ApparatusPlan) -> Iterator[str]:
    lines = [
        f"{use.work.session.session}: {use.number} from {use.begins:%Y-%m-%d %H:%M} "
        f"to {use.ends:%H:%M}"
        for use in planned.uses
    ]
    lines.append(f"held: {plain(planned.held)}")
    at = f" from {planned.at:%Y-%m-%d %H:%M}" if planned.at else ""
    lines.append(f"most in use at once: {planned.peak}{at}; short: {plain(planned.short)}")
    yield from _section("In use at the same time, washing and drying included", lines)
