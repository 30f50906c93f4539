"""What stands on the labels of a plan: of what is made up, set out, has come in, and is waste."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, Kind, is_more_than_nothing
from prepstore.catalogue import Goods
from prepstore.cell_types import Container, fold
from prepstore.chemistry.conversions import Material, NoRouteError, in_unit, measured_as
from prepstore.facts import Item, Solution, WasteStream
from prepstore.filling import WasteContainer
from prepstore.planning.batches import Batch
from prepstore.planning.classified_solutions import ClassifiedSolution, SolutionClasses
from prepstore.planning.plan import Plan
from prepstore.planning.scaled_lines import ScaledLine
from prepstore.planning.setting_out import SetOut, bottles_of, setting_out
from prepstore.report.labels.contents import (
    AS_ENTERED,
    AS_POURED,
    CALCULATED,
    Classified,
    Hazards,
    LabelContent,
    Share,
)
from prepstore.report.labels.label_kind import LabelKind
from prepstore.report.wording import amount_in_words
from prepstore.safety.classes.as_entered import classes_of_statements
from prepstore.safety.classes.label import pictograms, shown_statements, signal_word
from prepstore.shelf.reserving import labelled_batches
from prepstore.stores import Holding

_MAIN_COMPONENTS = 5
_USUAL_CONTAINER_ML = Decimal(10_000)
"""Of a waste container whose size is not said: the sizes of a label go by it."""


def solution_labels(plan: Plan, classes: SolutionClasses) -> Iterator[LabelContent]:
    """Yield a label for each batch that a plan makes up, in the order in which they are made.

    The number is that which is reserved for the batch, or is reserved by printing it.
    """
    for batch, number in labelled_batches(plan):
        yield _of_batch(batch, number, classes.of(batch.name, batch.make_on))


def _of_batch(batch: Batch, number: str, found: ClassifiedSolution) -> LabelContent:
    volume = amount_in_words(batch.volume_ml, Kind.VOLUME)
    in_makings = f" in {batch.makings} makings" if batch.makings > 1 else ""
    return LabelContent(
        kind=LabelKind.SOLUTION,
        number=number,
        name=batch.solution.solution,
        capacity_ml=batch.making_ml,
        hazards=_calculated(found),
        volume=f"{volume}{in_makings}",
        made_on=batch.make_on,
        keep_until=batch.use_by,
        is_initialled=True,
        classified=Classified(
            batch.volume_ml,
            tuple(Share(item, percent) for item, percent in found.percent.items()),
            found.classified.classes,
            found.classified.because,
        ),
    )


def _calculated(found: ClassifiedSolution) -> Hazards:
    """Return calculated hazards; what no rule carries over and what is not known stand in words."""
    result = found.classified
    left_out = "; ".join(f"{code} of {item}" for code, item in result.not_calculated)
    sentences = (
        result.unknown_acute_percent,
        f"Not calculated: {left_out}." if left_out else "",
        CALCULATED,
    )
    return Hazards(
        signal_word=result.signal_word,
        pictograms=result.pictograms,
        h_codes=result.h_codes,
        euh=result.euh,
        sensitisers=result.sensitisers,
        undecided=result.undecided,
        basis=" ".join(sentence for sentence in sentences if sentence),
    )


def bottle_labels(plan: Plan, classes: SolutionClasses) -> Iterator[LabelContent]:
    """Yield a label for each bottle of liquid or powder that is set out, session by session."""
    sources = _sources(plan)
    for row in setting_out(plan):
        item = plan.catalogue.items.get(row.name)
        if plan.materials[row.name].unit is Kind.COUNT:
            continue
        session = row.work.session
        hazards = (
            _entered([item])
            if item is not None
            else _calculated(classes.of(row.name, session.date))
        )
        number = sources.get((session.session, row.name), session.session)
        for line in row.lines:
            for sets, amount in _bottles(plan, row, line):
                yield LabelContent(
                    kind=LabelKind.BOTTLE,
                    number=number,
                    name=plan.label(row.name),
                    capacity_ml=_capacity_ml(plan.materials[row.name], amount, line.line.container),
                    hazards=hazards,
                    volume=amount_in_words(amount, plan.materials[row.name].unit),
                    session=session.session,
                    sets=sets,
                )


def _bottles(plan: Plan, row: SetOut, line: ScaledLine) -> Iterator[tuple[str, Decimal]]:
    """Yield the numbers of the sets of each bottle of a line, and what it holds."""
    first = 1
    for alike in bottles_of(line, row.work.scale.sets, plan.materials[row.name].unit):
        for _ in range(alike.number):
            last = first + max(alike.sets, 1) - 1
            yield (f"{first} to {last}" if last > first else str(first)), alike.amount
            first = last + 1


def _sources(plan: Plan) -> Mapping[tuple[str, str], str]:
    """Return the number of the lot or batch that a session has an item (folded) from first."""
    numbers = {id(batch): number for batch, number in labelled_batches(plan)}
    found: dict[tuple[str, str], str] = {}
    for demand, served in plan.served.items():
        lots = [draw.lot.lot for draw in served.draws if draw.lot is not None]
        batch = plan.made_for.get(demand)
        number = lots[0] if lots else numbers.get(id(batch))
        if number is not None:
            found.setdefault((demand.wanted_by, demand.name), number)
    return found


def lot_labels(goods: Goods, lots: Iterable[Holding], came_on: date) -> Iterator[LabelContent]:
    """Yield a label for each lot that came on a day, with the hazards that are entered for it."""
    for held in lots:
        name = fold(held.lot.item)
        item = goods.items.get(name)
        if held.lot.received != came_on or held.unit is Kind.COUNT:
            continue
        yield LabelContent(
            kind=LabelKind.LOT,
            number=held.label,
            name=held.material.name,
            capacity_ml=_capacity_ml(held.material, held.amount, None),
            hazards=_entered([item or goods.solutions[name]]),
            volume=amount_in_words(held.amount, held.unit),
            received_on=held.lot.received,
            opened_on=held.lot.opened,
            keep_until=held.last_day,
        )


def waste_labels(plan: Plan) -> Iterator[LabelContent]:
    """Yield a label for the open container of each stream; for the next one where none is open.

    It has the signs of all that is in it and goes in; their statements would fill it.
    """
    for stream in plan.waste.streams:
        if stream.stream is None or stream.container is None:
            continue
        held = stream.container
        sent = [one.item for one in plan.composition(stream).contained]
        there = _items_in(held, plan.catalogue)
        items = list({fold(one.item): one for one in (*sent, *there)}.values())
        main = [one.item for one in items[:_MAIN_COMPONENTS]]
        not_known = ["part not known"] if is_more_than_nothing(held.unknown) else []
        yield LabelContent(
            kind=LabelKind.WASTE,
            number=held.label or stream.name,
            name=stream.name,
            capacity_ml=_capacity_of(stream.stream),
            hazards=replace(_entered(items), h_codes=(), euh=(), basis=AS_POURED),
            opened_on=held.opened_on,
            list_code=stream.stream.list_code,
            components=(*main, *not_known),
        )


def _items_in(container: WasteContainer, goods: Goods) -> Iterator[Item]:
    """Yield the items that a container is known to hold, counted things left out."""
    for one in container.known:
        if one.unit is not Kind.COUNT and fold(one.item) in goods.materials:
            for part in goods.makeups.of(fold(one.item)).parts:
                yield goods.items[part.name]


def _entered(things: Iterable[Item | Solution]) -> Hazards:
    """Return the hazards that are entered for items or solutions, all of them together."""
    codes = {code for thing in things for code in thing.hazards or ()}
    classes = classes_of_statements(codes)
    return Hazards(
        signal_word=signal_word(classes),
        pictograms=pictograms(classes),
        h_codes=shown_statements(code for code in codes if not code.startswith("EUH")),
        euh=tuple(sorted(code for code in codes if code.startswith("EUH"))),
        basis=AS_ENTERED,
    )


def _capacity_ml(material: Material, amount: Decimal, container: Container | None) -> Decimal:
    """Return what the container holds, mL: by its name, else by what is in it."""
    if container is not None and container.size is not None:
        try:
            return measured_as(material, in_unit(material, container.size), Kind.VOLUME)
        except NoRouteError:
            pass
    try:
        return measured_as(material, amount, Kind.VOLUME)
    except NoRouteError:
        return amount  # a gram of a powder takes up about a millilitre


def _capacity_of(stream: WasteStream) -> Decimal:
    """Return what a stream's container holds, mL; the usual one where that is not said."""
    if stream.container is None:
        return _USUAL_CONTAINER_ML
    return sum((one.number for one in stream.container.portions), ZERO)
