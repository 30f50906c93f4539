"""What is poured into the container of each stream, one pour after the other."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, time
from decimal import Decimal

from prepstore.amounts import ZERO, Kind
from prepstore.catalogue import Goods
from prepstore.chemistry.conversions import Material, NoRouteError, measured_as
from prepstore.containers import Content, Pour
from prepstore.planning.demands import Scale
from prepstore.planning.endings import ends_by_item, held_back_by_item
from prepstore.planning.leftovers import Leftover
from prepstore.planning.waste import WastePlan


def pours_of(waste: WastePlan, goods: Goods) -> Mapping[str, list[Pour]]:
    """Return what is poured into each stream, spare included, as the shelf books it out.

    Sessions pour in order of day, start and name; what is left of batches after those of its day.

    Args:
        waste: What a plan leaves behind.
        goods: The streams, and what is known of what is poured.

    Returns:
        By folded stream; what goes in together stands together. One that gets nothing is left out.
    """
    pours: dict[str, list[Pour]] = {}
    for _, by_stream in sorted(_in_turn(waste, goods), key=lambda one: one[0]):
        for stream, parts in by_stream.items():
            pours.setdefault(stream, []).append(parts)
    return pours


_Turn = tuple[date, bool, time, str]
"""The day; whether it is what is left of a batch; start and name."""


def _in_turn(waste: WastePlan, goods: Goods) -> Iterator[tuple[_Turn, Mapping[str, Pour]]]:
    # Sessions of one size share a Scale, so what they pour is worked out once.
    of_scales: dict[int, Mapping[str, Pour]] = {}
    for leaving in (waste.promised, waste.of_period):
        for work in leaving.works:
            if id(work.scale) not in of_scales:
                of_scales[id(work.scale)] = _of_scale(work.scale, goods)
            day, start, name = work.order
            yield (day, False, start, name), of_scales[id(work.scale)]
        for leftover in leaving.leftovers:
            turn = leftover.date, True, time.min, leftover.name
            yield turn, _of_leftover(leftover, goods)


def _of_scale(scale: Scale, goods: Goods) -> Mapping[str, Pour]:
    poured: dict[str, list[Content]] = {}
    for name, ends in ends_by_item(scale.endings).items():
        for end, fraction in ends.items():
            _add(poured, goods, end, name, scale.needs[name] * fraction.allow_for)
    for name, ends in held_back_by_item(scale.endings).items():
        for end, fraction in ends.items():
            _add(poured, goods, end, name, scale.needs[name] * fraction.allow_for, is_held=True)
    return _together(poured)


def _of_leftover(leftover: Leftover, goods: Goods) -> Mapping[str, Pour]:
    poured: dict[str, list[Content]] = {}
    for share in leftover.ends:
        amount = leftover.amount.allow_for * share.fraction
        _add(poured, goods, share.end, leftover.name, amount)
    return _together(poured)


def _add(  # noqa: PLR0913 - what is poured, where, and how it is in there
    poured: dict[str, list[Content]],
    goods: Goods,
    end: str,
    name: str,
    amount: Decimal,
    *,
    is_held: bool = False,
) -> None:
    """Add an amount of an item or solution (folded), in its unit, where it ends in a stream.

    What an agent or paper there holds adds nothing to the level.
    """
    stream = goods.streams.get(end)
    if stream is not None and amount:
        content = content_of(goods.materials[name], amount, stream.measure.kind)
        own = replace(content, level=ZERO) if is_held else content
        poured.setdefault(end, []).append(own)


def _together(poured: Mapping[str, list[Content]]) -> Mapping[str, Pour]:
    return {stream: tuple(parts) for stream, parts in poured.items()}


def content_of(material: Material, amount: Decimal, kind: Kind) -> Content:
    """Return an amount of an item or solution, in its unit, as it is in a container.

    Args:
        material: What it is of.
        amount: In its unit.
        kind: What the stream of the container measures.
    """
    try:
        level = measured_as(material, amount, kind)
    except NoRouteError:
        level = ZERO  # it is in there all the same
    return Content(material.name, material.unit, amount, level)
