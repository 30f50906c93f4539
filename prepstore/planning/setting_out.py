"""What goes on the benches of each session, and in how many containers."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from prepstore.amounts import ZERO, Kind, round_up
from prepstore.planning.apparatus import wanted_by
from prepstore.planning.batches import Batch
from prepstore.planning.demands import ScaledLine, SessionWork
from prepstore.planning.plan import Plan


@dataclass(frozen=True, slots=True)
class SetOut:
    """What one session has of one item: amount in the item's unit, spare included.

    Lines that share containers stand apart from those that do not; `containers` is 0 for those.
    Of a shared instrument `amount` counts its uses, and `instruments` how many serve them.
    """

    work: SessionWork
    name: str
    amount: Decimal
    containers: int
    lines: tuple[ScaledLine, ...]
    instruments: int | None = None


@dataclass(frozen=True, slots=True)
class Filling:
    """What a session's line has a batch's solution filled into, as its script says.

    `containers` is 0 where no sets share one; `in_each` is then None. `has_stock` tells that
    some of the session's solution comes from stock or a delivery.
    """

    work: SessionWork
    container: str | None
    containers: int
    in_each: Decimal | None
    has_stock: bool


def setting_out(plan: Plan) -> Iterator[SetOut]:
    """Yield what goes on the benches, by session, in the order of the script."""
    for work in plan.works:
        groups: dict[tuple[str, bool], list[ScaledLine]] = {}
        for line in work.scale.lines:
            groups.setdefault((line.name, line.line.shared_by is not None), []).append(line)
        for (name, _), lines in groups.items():
            item = plan.catalogue.items.get(name)
            is_shared = item is not None and item.minutes_per_use is not None
            yield replace(
                _set_out(work, name, lines, plan.materials[name].unit),
                instruments=wanted_by(item, name, work) if item and is_shared else None,
            )


def _set_out(work: SessionWork, name: str, lines: list[ScaledLine], unit: Kind) -> SetOut:
    amount = sum((line.amount for line in lines), ZERO)
    return SetOut(
        work=work,
        name=name,
        amount=Decimal(round_up(amount)) if unit is Kind.COUNT else amount,
        containers=sum(containers_of(line, work.scale.sets) for line in lines),
        lines=tuple(lines),
    )


def containers_of(line: ScaledLine, sets: int) -> int:
    """Return how many containers a line is set out in: sets / shared_by, rounded up."""
    shared_by = line.line.shared_by
    return -(-sets // shared_by) if shared_by else 0


def in_each(line: ScaledLine, sets: int, unit: Kind) -> Decimal | None:
    """Return the amount in each shared container, spare included; None where none is shared.

    Args:
        line: Its amount is in `unit`.
        sets: How many the session has.
        unit: Counted things are rounded up to whole.
    """
    containers = containers_of(line, sets)
    if not containers:
        return None
    each = line.amount / containers
    return Decimal(round_up(each)) if unit is Kind.COUNT else each


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
                        containers=containers_of(line, work.scale.sets),
                        in_each=in_each(line, work.scale.sets, Kind.VOLUME),
                        has_stock=bool(one.draws),
                    )
