"""The consignment list of a waste collection: what the carrier takes, stream by stream."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

from prepstore.amounts import ZERO, Kind
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.containers import KeptContainer
from prepstore.facts import WasteStream
from prepstore.report.row_lists import number_in_json
from prepstore.report.wording import amount_in_words, far_day_in_words
from prepstore.shelf.container_contents import Contents
from prepstore.shelf.container_substances import Range, Substances, ranges_of

CONSIGNMENT_COLUMNS: Final = (
    "list_code", "stream", "container", "amount", "unit", "mass_of_contents_g", "mass_lacks",
    "composition", "opened_on", "sealed_on", "hazards_of_contents", "notes",
)  # fmt: skip

CAUTIONS: Final = (
    "What is in a container is what was booked and read, not an analysis. Classify, pack and label "
    "it by the rules that hold where you are.",
    "The H codes are those of what was poured in, as our tables have them (of a solution without "
    "codes, those of what it is made of, undiluted); they are not a classification of the waste. "
    "The suppliers' safety data sheets, local rules, the carrier and "
    "a competent person come first.",
    "Masses are those of the contents as far as densities are known, without the container. Weigh "
    "each container, and write its gross mass here.",
    "Check that lids are tight, or vented where gas may form, that labels can be read, and that "
    "nothing leaks. Keep the streams apart on the way.",
)
_WHOLE = Decimal(1)


@dataclass(frozen=True, slots=True)
class Consigned:
    """A container that is collected, with what is in it.

    `lacking` are the things whose mass cannot be told, a blank for what is not known.
    """

    kept: KeptContainer
    contents: Contents
    mass_g: Decimal
    lacking: tuple[str, ...]

    @property
    def mass_in_words(self) -> str:
        """Return the mass of the contents as far as it is known."""
        if not self.lacking:
            return amount_in_words(self.mass_g, Kind.MASS)
        if not self.mass_g:
            return "not known"
        return f"more than {amount_in_words(self.mass_g, Kind.MASS)}"


@dataclass(frozen=True, slots=True)
class ConsignedStream:
    """What is collected of a stream: its containers, shares of each thing, H codes."""

    stream: WasteStream
    containers: tuple[Consigned, ...]
    ranges: tuple[Range, ...]
    hazards: tuple[str, ...]

    @property
    def unit(self) -> Kind:
        """Return what the stream measures in."""
        return self.stream.measure.kind

    @property
    def total(self) -> Decimal:
        """Return what all its containers hold, in mL or g."""
        return sum((one.kept.filled for one in self.containers), ZERO)

    @property
    def composition(self) -> str:
        """Return the shares of what is in its containers, least to greatest, in % of the level.

        What takes up no room, as what is dissolved, stands beside them in its amounts.
        """
        measure = "volume" if self.unit is Kind.VOLUME else "mass"
        shares = "; ".join(_range_in_words(one) for one in self.ranges if one.unit is None)
        told = f"% by {measure}: {shares}" if shares else "nothing known"
        amounts = [text for one in self.ranges if (text := _amounts_in_words(one))]
        return f"{told}. {_BESIDE}: {'; '.join(amounts)}" if amounts else told


_BESIDE: Final = "Beside these shares there are in a container"


def _amounts_in_words(one: Range) -> str:
    """Return how much of what takes up no room is in a container; blank of what has a share."""
    if one.unit is None:
        return ""
    least, greatest = (amount_in_words(amount, one.unit) for amount in (one.least, one.greatest))
    return f"{one.item} {greatest if least == greatest else f'{least} to {greatest}'}"


def _range_in_words(one: Range) -> str:
    least, greatest = (
        share.quantize(_WHOLE, rounding=ROUND_HALF_UP) for share in (one.least, one.greatest)
    )
    share = f"{least}" if least == greatest else f"{least}–{greatest}"
    return f"{one.item or 'not known'} {'below 1' if not greatest else share}"


def consigned(
    goods: Goods, containers: Sequence[KeptContainer], contents: Mapping[str, Contents]
) -> list[ConsignedStream]:
    """Return what is collected, stream by stream.

    Args:
        goods: The streams and what is known of what was poured in.
        containers: What is collected.
        contents: What is in each, by label.
    """
    substances = Substances(goods)
    found = []
    for name, stream in goods.streams.items():
        of_stream = []
        for kept in containers:
            if fold(kept.stream) == name:
                inside = contents[kept.label]
                mass, lacking = substances.mass_of(inside, stream.measure.kind)
                of_stream.append(Consigned(kept, inside, mass, tuple(lacking)))
        if of_stream:
            inside_all = [one.contents for one in of_stream]
            broken_down = [
                substances.within(one, stream.measure.kind, is_apart=True) for one in inside_all
            ]
            ranges, hazards = tuple(ranges_of(broken_down)), _hazards(goods, inside_all)
            found.append(ConsignedStream(stream, tuple(of_stream), ranges, hazards))
    return found


def _hazards(goods: Goods, contents: Sequence[Contents]) -> tuple[str, ...]:
    """Return the H codes of all that was poured in, as the tables have them, each once.

    A solution that has none in the tables has those of what it is made of, undiluted.
    """
    codes: set[str] = set()
    for name in {fold(part.item) for inside in contents for part in inside.parts}:
        kept = goods.items.get(name) or goods.solutions.get(name)
        own = set(kept.hazards or ()) if kept else set()
        if not own and name in goods.solutions:
            for part in goods.makeups.of(name).parts:
                own |= set(goods.items[part.name].hazards or ())
        codes |= own
    return tuple(sorted(codes))


def heading_of(of: ConsignedStream) -> str:
    """Return a stream, and how many containers of which size are collected."""
    return f"{of.stream.stream}, {len(of.containers)} × {of.stream.container or 'container'}"


def told_of(of: ConsignedStream) -> Iterator[tuple[str, str]]:
    """Yield what stands above the containers of a stream: its code, what is in it, its notes."""
    code = of.stream.list_code or "no code in the tables"
    yield "List of Waste", f"{code}{' (hazardous)' if code.endswith('*') else ''}"
    yield "Composition", of.composition
    yield "H codes of what is in it", ", ".join(of.hazards) or "none in the tables"
    if of.stream.notes:
        yield "Notes", of.stream.notes


def container_in_words(of: ConsignedStream, one: Consigned) -> tuple[str, str, str, str, str]:
    """Return a container's label, what it holds, its mass, and the days of opening and sealing."""
    days = (one.kept.opened_on, one.kept.sealed_on)
    opened, sealed = (far_day_in_words(day) if day else "" for day in days)
    holds = amount_in_words(one.kept.filled, of.unit)
    return one.kept.label, holds, one.mass_in_words, opened, sealed


def consignment_rows(streams: Sequence[ConsignedStream]) -> list[dict[str, Any]]:
    """Return a row a container, for the CSV that goes beside the sheet."""
    return [
        {
            "list_code": of.stream.list_code,
            "stream": of.stream.stream,
            "container": one.kept.label,
            "amount": number_in_json(one.kept.filled),
            "unit": str(of.unit),
            "mass_of_contents_g": number_in_json(one.mass_g),
            "mass_lacks": "; ".join(name or "what is not known" for name in one.lacking),
            "composition": of.composition,
            "opened_on": one.kept.opened_on and one.kept.opened_on.isoformat(),
            "sealed_on": one.kept.sealed_on and one.kept.sealed_on.isoformat(),
            "hazards_of_contents": " ".join(of.hazards),
            "notes": of.stream.notes,
        }
        for of in streams
        for one in of.containers
    ]


def consignment_lines(streams: Sequence[ConsignedStream]) -> Iterator[str]:
    """Yield a line a stream and a line a container, as they are shown before it is recorded."""
    for of in streams:
        code = f" ({of.stream.list_code})" if of.stream.list_code else ""
        count = len(of.containers)
        containers = f"{count} container{'s' if count != 1 else ''}"
        yield f"{of.stream.stream}{code}: {containers}, {amount_in_words(of.total, of.unit)}"
        for one in of.containers:
            holds = amount_in_words(one.kept.filled, of.unit)
            yield f"  {one.kept.label}: {holds}, contents {one.mass_in_words}"
