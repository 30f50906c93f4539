"""What goes on the benches of each session, and in how many containers."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import ZERO, Amount, Kind, round_up, settle
from prepstore.cell_types import Container
from prepstore.chemistry.conversions import Material, NoRouteError, measured_as
from prepstore.planning.apparatus import wanted_by
from prepstore.planning.batches import Batch
from prepstore.planning.demands import (
    Scale,
    SessionWork,
    own_containers,
    shared_containers,
    with_their_size,
)
from prepstore.planning.plan import Plan
from prepstore.planning.scaled_lines import ScaledLine


@dataclass(frozen=True, slots=True)
class OnBenches:
    """What a size of session has of one item (folded): amount in its unit, spare included.

    Lines that share containers stand apart from those that do not; for those `containers` and
    `fill`, the most that one of them holds, are 0. Of a shared instrument `amount` counts its uses.
    """

    name: str
    amount: Decimal
    containers: int
    fill: Decimal
    lines: tuple[ScaledLine, ...]


@dataclass(frozen=True, slots=True)
class SetOut(OnBenches):
    """What one session has of one item; `instruments` is how many serve a shared one's uses."""

    work: SessionWork
    instruments: int | None


@dataclass(frozen=True, slots=True)
class Bottles:
    """A number of containers that are filled alike: each serves so many sets and holds so much."""

    number: int
    sets: int
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Filling:
    """What a session's line has a batch's solution filled into, as its script says.

    `has_stock` tells that some of the session's solution comes from stock.
    """

    work: SessionWork
    container: Container | None
    bottles: tuple[Bottles, ...]
    has_stock: bool


def setting_out(plan: Plan) -> Iterator[SetOut]:
    """Yield what goes on the benches, by session, in the order of the script."""
    for work, on_benches in with_their_size(plan.works, lambda scale: set_out_by(scale, plan)):
        for one in on_benches:
            yield SetOut(
                one.name,
                one.amount,
                one.containers,
                one.fill,
                one.lines,
                work,
                _instruments(plan, one.name, work),
            )


def set_out_by(scale: Scale, plan: Plan) -> list[OnBenches]:
    """Return what sessions of a size have on their benches, in the order of the script."""
    groups: dict[tuple[str, bool], list[ScaledLine]] = {}
    for line in scale.lines:
        is_shared = line.holds is None and line.line.shared_by is not None
        groups.setdefault((line.name, is_shared), []).append(line)
    return [
        _on_benches(name, lines, scale.sets, plan.materials[name].unit)
        for (name, _), lines in groups.items()
    ]


def _on_benches(name: str, lines: list[ScaledLine], sets: int, unit: Kind) -> OnBenches:
    return OnBenches(
        name=name,
        amount=_filled(sum((line.amount for line in lines), ZERO), unit),
        containers=sum(containers_of(line, sets) for line in lines),
        fill=max(fill_of(line, sets, unit) for line in lines),
        lines=tuple(lines),
    )


def _instruments(plan: Plan, name: str, work: SessionWork) -> int | None:
    item = plan.catalogue.items.get(name)
    if item is None or item.minutes_per_use is None:
        return None
    return wanted_by(item, name, work)


def containers_of(line: ScaledLine, sets: int) -> int:
    """Return how many containers sets share of a line; 0 where they share none."""
    return 0 if line.holds else shared_containers(line.line, sets)


def bottles_of(line: ScaledLine, sets: int, unit: Kind) -> tuple[Bottles, ...]:
    """Return what a line is set out in, the fullest first; sets are spread evenly over containers.

    Args:
        line: Its amount, spare included, is in `unit`.
        sets: How many the session has.
        unit: Counted things are rounded up to whole.

    Returns:
        One or two kinds of filling. Without sets that share, a container a set (one for a session's
        line) where the line names one; else none. What they hold adds up to the line's amount, save
        for the rounding of counted things.
    """
    number = containers_of(line, sets)
    if not number and line.line.container is not None and not line.holds:
        number = own_containers(line.line, sets)
    if not number:
        return ()
    fewer, more = divmod(sets, number)
    kinds = [(more, fewer + 1), (number - more, fewer)]
    return tuple(
        Bottles(count, served, _filled(line.amount * served / sets, unit))
        for count, served in kinds
        if count
    )


def _filled(amount: Decimal, unit: Kind) -> Decimal:
    return Decimal(round_up(amount)) if unit is Kind.COUNT else amount


def fill_of(line: ScaledLine, sets: int, unit: Kind) -> Decimal:
    """Return the most that one shared container holds, as `bottles_of`; 0 where none is shared."""
    shared = containers_of(line, sets)
    return bottles_of(line, sets, unit)[0].amount if shared else ZERO


def overfilled(plan: Plan) -> Iterator[tuple[SessionWork, ScaledLine, Amount]]:
    """Yield each line of which a container would hold more than its name says, and how much.

    Where the amount cannot be measured as the name measures it, as grams in a `100 mL` bottle
    without a density, nothing is said.
    """
    for work in plan.works:
        for line in work.scale.lines:
            if line.line.container is None or line.holds:
                continue
            material = plan.materials[line.name]
            fullest = bottles_of(line, work.scale.sets, material.unit)[0].amount
            fill = too_much_for(line.line.container, material, fullest)
            if fill is not None:
                yield work, line, fill


def too_much_for(container: Container | None, material: Material, amount: Decimal) -> Amount | None:
    """Return what a container would be filled with if that is more than its name says, else None.

    Args:
        container: As the line names it.
        material: What is filled in.
        amount: In the material's unit.
    """
    if container is None or container.size is None:
        return None
    size = container.size.portions[0]
    try:
        fill = measured_as(material, amount, size.kind or material.unit)
    except NoRouteError:
        return None
    return Amount(fill, size.kind or material.unit) if settle(fill) > size.number else None


def fillings_of(batch: Batch) -> Iterator[Filling]:
    """Yield what a batch is filled into for its sessions, in order of session and script.

    What goes into other batches, and lines that name neither container nor sharing, have none.
    """
    for one in batch.served:
        if one.demand.is_for_batch:
            continue
        for work in one.demand.sessions:
            for line in work.scale.lines:
                if line.name == batch.name and (line.line.shared_by or line.line.container):
                    yield Filling(
                        work=work,
                        container=line.line.container,
                        bottles=bottles_of(line, work.scale.sets, Kind.VOLUME),
                        has_stock=bool(one.draws),
                    )
