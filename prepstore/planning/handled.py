"""What people handle in a period, and what of it meets in one waste stream."""

from prepstore.planning.demands import SessionWork
from prepstore.planning.plan import Plan
from prepstore.safety.cautions import Caution, Handled, cautions_for


def handled_in(plan: Plan) -> tuple[Handled, ...]:
    """Return what the period's sessions and batches use, parts included, by name."""
    names = {name for work in plan.works for name in work.scale.needs}
    for batch in plan.batches:
        names.add(batch.name)
        names.update(part.name for part in batch.parts)
    return tuple(handled_named(plan, name) for name in sorted(names))


def handled_by(plan: Plan, work: SessionWork) -> tuple[Handled, ...]:
    """Return what stands on a session's benches, by name."""
    return tuple(handled_named(plan, name) for name in sorted(work.scale.needs))


def handled_named(plan: Plan, name: str) -> Handled:
    """Return an item or solution (folded) as something that people handle."""
    fact = plan.catalogue.items.get(name) or plan.catalogue.solutions[name]
    return Handled(plan.materials[name], fact)


def in_streams(plan: Plan) -> dict[str, tuple[Handled, ...]]:
    """Return what ends in each waste stream, by the stream's spelling, in order of use."""
    streams: dict[str, dict[str, None]] = {}
    for work in plan.works:
        for line in work.scale.lines:
            for share in line.ends:
                stream = plan.catalogue.streams.get(share.end)
                if stream is not None:
                    streams.setdefault(stream.stream, {})[line.name] = None
    return {
        stream: tuple(handled_named(plan, name) for name in names)
        for stream, names in streams.items()
    }


def cautions_of(plan: Plan) -> tuple[Caution, ...]:
    """Return the cautions that this plan's materials call for, beside the usual ones."""
    return cautions_for(handled_in(plan), in_streams(plan))
