"""Gas, acids and bases in the open container of a stream, what is in it already included.

A container that is sealed meets nothing more. What is in it of which nobody knows what it is, is
told and in no figure.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import ZERO, Kind, is_more_than_nothing
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.carbon_dioxide import CarbonDioxide, carbon_dioxide_from
from prepstore.chemistry.neutralising import AcidBaseBalance, acid_base_balance
from prepstore.filling import WasteContainer
from prepstore.planning.acidity import Acidities, amounts_in
from prepstore.planning.composition import Composition, compositions_of
from prepstore.planning.demands import Scale, SessionWork, by_scale
from prepstore.planning.endings import Ended
from prepstore.planning.waste import End, WastePlan


@dataclass(frozen=True, slots=True)
class AcidityOfContainer:
    """Acids and bases in the open container of a stream, with what is to come.

    `container` is its label, blank where nobody opened it yet. `now` is of what is in it, `then`
    with what sessions up to the end of the period are expected to send as well. `gas_before` is the
    most carbon dioxide without the sessions of the period: it may have formed before them.
    `expected` and `allow_for` are the most with all of it. `unknown` is what is in it of which
    nobody knows what it is, in mL or g as `kind` says; `not_counted` are things of which the mol of
    acid or base are not known. `sessions` are those of the period that send acids or bases to it.
    """

    stream: str
    container: str
    kind: Kind
    now: AcidBaseBalance
    then: AcidBaseBalance
    gas_before: Ended
    expected: CarbonDioxide | None
    allow_for: CarbonDioxide | None
    unknown: Decimal
    not_counted: tuple[str, ...]
    sessions: tuple[str, ...]

    @property
    def most(self) -> CarbonDioxide | None:
        """Return the most carbon dioxide, spare included."""
        return self.allow_for or self.expected

    @property
    def can_give_more(self) -> bool:
        """Return whether what the period sends can give gas that has not formed before."""
        more = Ended(_mol(self.expected), _mol(self.allow_for)) - self.gas_before
        return is_more_than_nothing(more.expected) or is_more_than_nothing(more.allow_for)


def acidity_of_containers(
    works: Sequence[SessionWork],
    waste: WastePlan,
    compositions: Mapping[End, Composition],
    goods: Goods,
) -> Iterator[AcidityOfContainer]:
    """Yield the open container of each stream that holds anything, where there is acid or base.

    Args:
        works: The sessions of the period.
        waste: The streams with their open containers, and what sessions before the period send.
        compositions: What the period sends to each stream.
        goods: What is known of all of it.

    The most gas is that of all of it in one container, though one may be changed on the way. What
    came in earlier may have met already and its gas be gone; nothing says how far, so it counts.
    """
    acidities = Acidities(goods)
    before = compositions_of(waste.promised, goods)
    for stream in waste.streams:
        if stream.container is None:
            continue
        there, untold = _inside(stream.container, goods)
        first = _together(there, amounts_in(before, stream))
        if not first and not is_more_than_nothing(stream.container.unknown) and not untold:
            continue  # the figures of the stream say all
        now, at_first = acidities.in_moles(there), acidities.in_moles(first)
        then = acidities.in_moles(_together(first, amounts_in(compositions, stream)))
        if then.is_anything:
            yield AcidityOfContainer(
                stream=stream.name,
                container=stream.container.label,
                kind=stream.kind,
                now=acid_base_balance(now.expected),
                then=acid_base_balance(then.expected),
                gas_before=Ended(
                    _mol(carbon_dioxide_from(at_first.expected)),
                    _mol(carbon_dioxide_from(at_first.allow_for)),
                ),
                expected=carbon_dioxide_from(then.expected),
                allow_for=carbon_dioxide_from(then.allow_for),
                unknown=stream.container.unknown,
                not_counted=tuple(sorted({*then.not_counted, *untold})),
                sessions=tuple(_senders(works, fold(stream.name), goods)),
            )


def _mol(gas: CarbonDioxide | None) -> Decimal:
    return gas.mol if gas else ZERO


def _inside(container: WasteContainer, goods: Goods) -> tuple[Mapping[str, Ended], frozenset[str]]:
    """Return what is known in a container of each item (folded), in its unit, and what is not.

    That is the names of things that are not in the tables, and of solutions known in part.
    """
    amounts: dict[str, Ended] = {}
    untold: set[str] = set()
    for one in container.known:
        name = fold(one.item)
        if name not in goods.materials:
            untold.add(one.item)
            continue
        makeup = goods.makeups.of(name)
        for held, each in makeup.parts.items():
            more = Ended(one.amount * each, one.amount * each)
            amounts[held.name] = amounts.get(held.name, Ended()) + more
        untold.update(makeup.unknown)
    return amounts, frozenset(untold)


def _together(one: Mapping[str, Ended], other: Mapping[str, Ended]) -> dict[str, Ended]:
    """Return amounts by item added."""
    return {name: one.get(name, Ended()) + other.get(name, Ended()) for name in (*one, *other)}


def _senders(works: Sequence[SessionWork], stream: str, goods: Goods) -> Iterator[str]:
    """Yield the sessions that send acids or bases to a stream (folded), in order."""
    sending = {
        work.session.session
        for scale, of_size in by_scale(works)
        if _sends(scale, stream, goods)
        for work in of_size
    }
    return (one for work in works if (one := work.session.session) in sending)


def _sends(scale: Scale, stream: str, goods: Goods) -> bool:
    return any(
        goods.items[part.name].acid_or_base is not None
        for ending in scale.endings.lines
        if ending.ends.get(stream)
        for part in goods.makeups.of(ending.line.name).parts
    )
