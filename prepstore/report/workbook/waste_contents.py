"""What is in the waste, on the sheet Waste: a row a stream; and what is left over of batches."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from prepstore.amounts import Kind
from prepstore.chemistry.water import is_water
from prepstore.planning.composition import Composition, Contained, is_halogenated
from prepstore.planning.leftovers import Leftover
from prepstore.planning.plan import Plan
from prepstore.planning.waste import StreamPlan
from prepstore.report.container_acidity_words import acidity_of_container_in_words
from prepstore.report.meeting_words import (
    acidity_in_words,
    gas_in_words,
    not_checked_in_words,
    streams_that_react,
    worth_telling,
)
from prepstore.report.wording import (
    amount_in_words,
    day_in_words,
    rough_percent_in_words,
    shares_in_words,
)
from prepstore.report.workbook.page import Block, Look, SheetRow, band
from prepstore.safety.meeting.chart import CHART

_MOST: Final = 8
"""How many substances of a stream stand on paper; the JSON of the plan has all."""

_FROM_COLUMN: Final = 6
"""From where a text runs on to the last column."""


def contents(plan: Plan) -> Iterator[Block]:
    """Yield what is in each stream, and what is left over of batches in the period."""
    rows = tuple(_rows(plan))
    if rows:
        yield (band(_BAND), _HEADING, *rows)
    left = tuple(_left_over(plan, one) for one in plan.leftovers if one.date <= plan.period.last)
    if left:
        yield (
            band("Left over of batches on their last day: expected, with spare, and where"),
            *left,
        )


def reactions(plan: Plan) -> Iterator[Block]:
    """Yield what must not meet in a container, gas, acids and bases, and what was not checked."""
    parts = (
        ("Must not meet in one container", streams_that_react(plan, _PAIRS)),
        ("Gas, acids and bases, without what is in the open container", _gas_and_acids(plan)),
        ("Gas, acids and bases with what is in the open container", _in_containers(plan)),
        (f"Not checked in {CHART}, which does not mean safe", _together(plan)),
    )
    for title, told in parts:
        rows = [SheetRow(("", f"{name}: {text}"), runs_from=1) for name, text in told]
        if rows:
            yield (band(title), rows[0])
            yield from ((row,) for row in rows[1:])


def _gas_and_acids(plan: Plan) -> Iterator[tuple[str, str]]:
    """Yield what of the two is told of each stream, in one text."""
    told: dict[str, list[str]] = {}
    for gas in worth_telling(plan.gas_of_streams):
        told.setdefault(gas.name, []).append(gas_in_words(gas))
    for one in plan.acidity_of_streams:
        told.setdefault(one.stream, []).append(acidity_in_words(one))
    return ((name, "; ".join(texts)) for name, texts in told.items())


def _in_containers(plan: Plan) -> Iterator[tuple[str, str]]:
    for one in plan.acidity_of_containers:
        yield one.stream, acidity_of_container_in_words(one)


def _together(plan: Plan) -> Iterator[tuple[str, str]]:
    """Yield what was not checked, streams of which the same is said together."""
    streams: dict[str, list[str]] = {}
    for name, text in not_checked_in_words(plan):
        streams.setdefault(text, []).append(name)
    return ((", ".join(names), text) for text, names in streams.items())


_PAIRS: Final = 6
"""How many pairs of a stream stand on paper; the JSON of the plan has all."""

_BAND: Final = (
    "What is in it, expected, without what is in the open container: substances as supplied, "
    "solutions by what they are made from"
)

_HEADING: Final = SheetRow(
    (
        "",
        "Stream",
        "Mass",
        "Water",
        "Halo-\ngenated",
        "Not known",
        "Shares of what is known: by volume; by mass in a stream that is filled by mass",
    ),
    Look.HEADING,
    runs_from=_FROM_COLUMN,
)


def _rows(plan: Plan) -> Iterator[SheetRow]:
    for stream in plan.waste.streams:
        composition = plan.composition(stream)
        if composition.contained or composition.unknown:
            yield _row(stream, composition)


def _row(stream: StreamPlan, of: Composition) -> SheetRow:
    return SheetRow(
        (
            "",
            stream.name,
            amount_in_words(of.g.expected, Kind.MASS),
            _percent(of.percent_of(is_water, _by(stream))),
            _percent(of.percent_of(is_halogenated, _by(stream))),
            amount_in_words(of.unknown_ml.expected, Kind.VOLUME) if of.unknown else "",
            "; ".join(_in_words(stream, of)),
        ),
        runs_from=_FROM_COLUMN,
    )


def _by(stream: StreamPlan) -> Kind:
    """Return what shares of a stream go by: what its containers are filled by."""
    return Kind.MASS if stream.kind is Kind.MASS else Kind.VOLUME


def _percent(percent: Decimal | None) -> str:
    return "" if percent is None else rough_percent_in_words(percent)


def _in_words(stream: StreamPlan, of: Composition) -> Iterator[str]:
    """Yield what there is most of, what is held back, and what is not known.

    What is dissolved has no share of a stream by volume; its mass stands there.
    """
    own = [one for one in of.contained if not one.is_held_back]
    for one in own[:_MOST]:
        yield f"{one.item.item} {_share_or_amount(one, of.percent(one, _by(stream)))}"
    if len(own) > _MOST:
        yield f"and {len(own) - _MOST} more"
    held = [one for one in of.contained if one.is_held_back]
    if held:
        amounts = (f"{one.item.item} {_amount(one)}" for one in held)
        yield f"held back in it, not counted: {', '.join(amounts)}"
    if of.unknown:
        yield f"what else is in {', '.join(of.unknown)} is not known"


def _share_or_amount(one: Contained, percent: Decimal | None) -> str:
    return rough_percent_in_words(percent) if percent else _amount(one)


def _amount(one: Contained) -> str:
    kind = Kind.VOLUME if one.ml else Kind.MASS
    return amount_in_words(one.measured(kind).expected, kind)


def _left_over(plan: Plan, leftover: Leftover) -> SheetRow:
    to = shares_in_words(leftover.to) if leftover.to else "no stream given: fill in the column to"
    return SheetRow(
        (
            "",
            plan.label(leftover.name),
            day_in_words(leftover.date),
            amount_in_words(leftover.amount.expected, Kind.VOLUME),
            amount_in_words(leftover.amount.allow_for, Kind.VOLUME),
            "",
            to,
        ),
        runs_from=_FROM_COLUMN,
    )
