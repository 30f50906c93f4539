"""What each session sends to each stream on its day, and what is left of each batch."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import RESOLUTION, ZERO, Kind, settle
from prepstore.cell_types import fold
from prepstore.planning.composition import Composition, Compositions, Contained
from prepstore.planning.demands import SessionWork
from prepstore.planning.endings import Ended
from prepstore.planning.leftovers import Leftover
from prepstore.planning.plan import Plan
from prepstore.planning.waste import End, Leaving, StreamPlan, collected_of

Source = SessionWork | Leftover


@dataclass(frozen=True, slots=True)
class Sent:
    """What a session, or what is left of a batch, sends to one stream on its day.

    `amount` is in the unit of the stream's kind; `composition` is what is in it, in mL and g. Both
    are settled. `uncounted` are the things in it that the stream's measure cannot count, which add
    nothing to the amount.
    """

    of: Source
    stream: StreamPlan
    amount: Ended
    composition: Composition
    uncounted: tuple[str, ...]

    @property
    def day(self) -> date:
        """Return the day on which it is poured."""
        return _day_of(self.of)


def sent_to_streams(plan: Plan) -> Iterator[Sent]:
    """Yield what each session of a plan, and what is left of each batch, sends to each stream.

    Sessions and batches are in the order of their days, streams in that of the plan; what no script
    assigns has a row by unit. To the last digit, a stream's rows of a day add up to its figure of
    that day in `by_day`, and their compositions to that of the plan, both settled.
    """
    sources = sorted(_sources(plan), key=_day_of)
    portions = _Portions(plan)
    streams = {(fold(stream.name), stream.kind): stream for stream in plan.waste.streams}
    odd = _odd_of(plan, streams, sources, portions)
    for source in sources:
        portion_of, day = portions.of(source), _day_of(source)
        for end, stream in streams.items():
            if end in portion_of:
                portion = portion_of[end]
                amount, composition = odd[end].shared(portion, day)
                yield Sent(source, stream, amount, composition, portion.uncounted)


def _sources(plan: Plan) -> Iterator[Source]:
    yield from sorted(plan.works, key=lambda work: work.order)
    yield from plan.waste.leftovers


def _day_of(source: Source) -> date:
    return source.session.date if isinstance(source, SessionWork) else source.date


@dataclass(frozen=True, slots=True)
class _Portion:
    """What goes to one stream, in its unit, and what is in it: as worked out, and settled.

    `uncounted` are the things that are not in the amount.
    """

    amount: Ended
    composition: Composition
    settled_amount: Ended
    settled: Composition
    uncounted: tuple[str, ...]


class _Portions:
    """What each session or leftover sends to each stream; worked out once a size of session."""

    def __init__(self, plan: Plan) -> None:
        self._goods = plan.catalogue
        self._compositions = Compositions(plan.catalogue)
        self._found: dict[int, Mapping[End, _Portion]] = {}

    def of(self, source: Source) -> Mapping[End, _Portion]:
        """Return what goes to each stream that gets any."""
        of_size = id(source.scale if isinstance(source, SessionWork) else source)
        if of_size not in self._found:
            self._found[of_size] = self._worked_out(source)
        return self._found[of_size]

    def _worked_out(self, source: Source) -> Mapping[End, _Portion]:
        leaving = Leaving((source,)) if isinstance(source, SessionWork) else Leaving((), (source,))
        collected = collected_of(leaving, self._goods)
        found = {}
        for end, composition in self._compositions.of(leaving).items():
            amount = collected.ended.get(end, Ended())
            found[end] = _Portion(
                amount,
                composition,
                _settled(amount),
                _settled_composition(composition),
                tuple(collected.uncounted.get(end[0], ())),
            )
        return found


def _settled(amount: Ended) -> Ended:
    return Ended(settle(amount.expected), settle(amount.allow_for))


def _settled_composition(of: Composition) -> Composition:
    contained = (replace(one, ml=_settled(one.ml), g=_settled(one.g)) for one in of.contained)
    return Composition(tuple(contained), _settled(of.unknown_ml), of.unknown)


_Figure = date | tuple[str, bool, Kind] | None
"""A figure of a stream: what it gets on a day, how much there is of a substance, what is unknown.

A substance is by its folded name, and whether it is held back.
"""


def _figures_of(composition: Composition) -> Iterator[tuple[_Figure, Ended]]:
    """Yield the figures of what is in a stream."""
    yield None, composition.unknown_ml
    for one in composition.contained:
        for kind in (Kind.VOLUME, Kind.MASS):
            yield _of(one, kind), one.measured(kind)


def _of(one: Contained, kind: Kind) -> _Figure:
    return fold(one.item.item), one.is_held_back, kind


class _Odd:
    """The billionths by which a stream's figures are off what its portions, settled, come to.

    Settled, a portion is off by half a billionth at most. So there are at least twice as many
    portions that were rounded down (up) as there are billionths too few (too many); the first of
    them are rounded the other way.
    """

    def __init__(self, stream: StreamPlan, composition: Composition) -> None:
        self._left: dict[_Figure, Ended] = dict(_figures_of(_settled_composition(composition)))
        self._left |= {day: _settled(amount) for day, amount in stream.by_day.items()}

    def take_off(self, figure: _Figure, amount: Ended) -> None:
        """Take off what a portion comes to, before any is shared."""
        left = self._left.get(figure, Ended()) - amount
        if left:
            self._left[figure] = left
        else:
            self._left.pop(figure, None)

    def shared(self, portion: _Portion, day: date) -> tuple[Ended, Composition]:
        """Return the amount of a portion of a day and what is in it, so that all add up."""
        if not self._left:
            return portion.settled_amount, portion.settled
        worked_out, settled = portion.composition, portion.settled
        contained = (
            replace(
                one,
                ml=self._next(_of(one, Kind.VOLUME), before.ml, one.ml),
                g=self._next(_of(one, Kind.MASS), before.g, one.g),
            )
            for before, one in zip(worked_out.contained, settled.contained, strict=True)
        )
        unknown_ml = self._next(None, worked_out.unknown_ml, settled.unknown_ml)
        return (
            self._next(day, portion.amount, portion.settled_amount),
            Composition(tuple(contained), unknown_ml, settled.unknown),
        )

    def _next(self, figure: _Figure, worked_out: Ended, settled: Ended) -> Ended:
        odd = self._left.get(figure)
        if odd is None:
            return settled
        step = Ended(
            _a_billionth(odd.expected, worked_out.expected - settled.expected),
            _a_billionth(odd.allow_for, worked_out.allow_for - settled.allow_for),
        )
        self.take_off(figure, step)
        return settled + step


_HAIR: Final = Decimal("1e-12")
"""Less than this is lost to many divisions, and is no rounding."""


def _a_billionth(odd: Decimal, lost: Decimal) -> Decimal:
    """Return the next billionth of what is odd, where rounding lost (below 0: added) some."""
    if odd > 0 and lost > _HAIR:
        return RESOLUTION
    return -RESOLUTION if odd < 0 and lost < -_HAIR else ZERO


def _odd_of(
    plan: Plan,
    streams: Mapping[End, StreamPlan],
    sources: Sequence[Source],
    portions: _Portions,
) -> Mapping[End, _Odd]:
    """Return what is odd of each stream once all that is sent there is taken off."""
    odd = {end: _Odd(stream, plan.composition(stream)) for end, stream in streams.items()}
    times: Counter[int] = Counter()
    for source in sources:
        portion_of = portions.of(source)
        times[id(portion_of)] += 1
        for end, portion in portion_of.items():
            odd[end].take_off(_day_of(source), portion.settled_amount)
    for portion_of in {id(one): one for one in map(portions.of, sources)}.values():
        for end, portion in portion_of.items():
            for figure, amount in _figures_of(portion.settled):
                odd[end].take_off(figure, amount.times(times[id(portion_of)]))
    return odd
