"""What differs between an earlier plan of a period and the plan now."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Generic, TypeVar

from prepstore.amounts import RESOLUTION, ZERO
from prepstore.planning.plan import Plan

Key = TypeVar("Key")


@dataclass(frozen=True, slots=True)
class Figures:
    """The figures of a plan that people act on.

    `benches` are amounts by session and item in the item's unit, `batches` mL by solution and
    make-day, `short` what is short of each item in its unit, `packs` counts by pack code and item,
    `containers` counts by stream. Names are as spelled.
    """

    first: date
    last: date
    students: Mapping[str, int]
    benches: Mapping[tuple[str, str], Decimal]
    batches: Mapping[tuple[str, date], Decimal]
    short: Mapping[str, Decimal]
    packs: Mapping[tuple[str, str], int]
    containers: Mapping[str, int]
    units: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Difference(Generic[Key]):
    """One figure before and now; 0 where it was not there or is no more."""

    key: Key
    before: Decimal
    now: Decimal

    @property
    def difference(self) -> Decimal:
        """Return how much more it is now; below zero where it is less."""
        return self.now - self.before


@dataclass(frozen=True, slots=True)
class Changes:
    """All that differs, each list in the order of its keys."""

    students: tuple[Difference[str], ...]
    benches: tuple[Difference[tuple[str, str]], ...]
    batches: tuple[Difference[tuple[str, date]], ...]
    short: tuple[Difference[str], ...]
    packs: tuple[Difference[tuple[str, str]], ...]
    containers: tuple[Difference[str], ...]
    units: Mapping[str, str]

    @property
    def is_empty(self) -> bool:
        """Return whether nothing differs."""
        return not (
            self.students
            or self.benches
            or self.batches
            or self.short
            or self.packs
            or self.containers
        )


def figures_of(plan: Plan) -> Figures:
    """Return the figures of a plan that people act on."""
    batches: dict[tuple[str, date], Decimal] = {}
    for batch in plan.batches:
        key = (str(batch.solution.solution), batch.make_on)
        batches[key] = batches.get(key, ZERO) + batch.volume_ml
    return Figures(
        first=plan.period.first,
        last=plan.period.last,
        students={work.session.session: work.session.students for work in plan.works},
        benches={
            (work.session.session, plan.label(name)): amount
            for work in plan.works
            for name, amount in work.scale.needs.items()
        },
        batches=batches,
        short={row.material.name: row.short for row in plan.stock.values() if row.short},
        packs={(order.offer.code, plan.label(order.name)): order.packs for order in plan.orders},
        containers={
            stream.name: stream.containers
            for stream in plan.waste.streams
            if stream.stream is not None
        },
        units={material.name: str(material.unit) for material in plan.materials.values()},
    )


def changes_between(before: Figures, now: Figures) -> Changes:
    """Return what differs between two plans of one period; equal figures are left out."""
    return Changes(
        students=tuple(_differing(_exact(before.students), _exact(now.students))),
        benches=tuple(_differing(before.benches, now.benches)),
        batches=tuple(_differing(before.batches, now.batches)),
        short=tuple(_differing(before.short, now.short)),
        packs=tuple(_differing(_exact(before.packs), _exact(now.packs))),
        containers=tuple(_differing(_exact(before.containers), _exact(now.containers))),
        units={**before.units, **now.units},
    )


def _exact(counts: Mapping[Key, int]) -> dict[Key, Decimal]:
    return {key: Decimal(count) for key, count in counts.items()}


def _differing(
    before: Mapping[Key, Decimal], now: Mapping[Key, Decimal]
) -> Iterator[Difference[Key]]:
    keys: Iterable[Key] = dict.fromkeys([*before, *now])
    for key in keys:
        change = Difference(key, before.get(key, ZERO), now.get(key, ZERO))
        # An earlier plan is read from JSON, whose numbers hold some sixteen figures.
        if abs(change.difference) > _read_back(change):
            yield change


def _read_back(change: Difference[Key]) -> Decimal:
    """Return the difference that writing a figure as JSON and reading it back can make."""
    return max(abs(change.before), abs(change.now)) * Decimal("1e-14") + RESOLUTION
