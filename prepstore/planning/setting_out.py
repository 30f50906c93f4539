"""What goes on the benches of each session, and in how many containers."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from prepstore.amounts import ZERO, Kind, round_up
from prepstore.planning.apparatus import wanted_by
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


def setting_out(plan: Plan) -> Iterator[SetOut]:
    """Yield what goes on the benches, by session, in the order of the script."""
    for work in plan.works:
        groups: dict[tuple[str, bool], list[ScaledLine]] = {}
        for line in work.scale.lines:
            groups.setdefault((line.name, line.line.shared_by is not None), []).append(line)
        for (name, _), lines in groups.items():
            item = plan.inventory.items.get(name)
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
