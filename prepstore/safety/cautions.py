"""Cautions that go out with a plan: the usual ones, and those that its materials call for.

They are reminders by plain rules, each shown with the rule that called for it. They never say that
something is safe: the risk assessment, the supplier's safety data sheet, local codes and a
competent person come first.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from prepstore.amounts import Basis, Kind
from prepstore.cell_types import ItemKind, fold
from prepstore.chemistry.conversions import Material
from prepstore.facts import Item, Solution
from prepstore.safety.data_files import rows_of
from prepstore.safety.hazard_statements import in_words

IN_SHORT: Final = (
    "A plan, not a risk assessment: the risk assessment, safety data sheets, local codes and a "
    "competent person come first."
)
"""The one line that stands on every sheet."""


def usual_cautions() -> tuple[str, ...]:
    """Return what goes with every plan, whatever is in it."""
    return tuple(row["caution"] for row in rows_of("usual_cautions.csv"))


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution that this plan calls for, and the rule, in words, that called for it."""

    text: str
    because: str


@dataclass(frozen=True, slots=True)
class HazardLine:
    """One code on the label of something that the plan uses, in words."""

    name: str
    code: str
    statement: str

    @property
    def in_words(self) -> str:
        """Return the code and its statement."""
        return f"{self.code} {self.statement}"


@dataclass(frozen=True, slots=True)
class Handled:
    """Something that people handle: an item or a solution, and what it is."""

    material: Material
    fact: Item | Solution

    @property
    def name(self) -> str:
        """Return its name as spelled."""
        return self.material.name

    @property
    def folded(self) -> str:
        """Return its name as compared."""
        return fold(self.material.name)

    @property
    def is_chemical(self) -> bool:
        """Return whether it is a reagent, a solvent or a solution; a cuvette is none of these."""
        kinds = (ItemKind.REAGENT, ItemKind.SOLVENT)
        return isinstance(self.fact, Solution) or self.fact.kind in kinds

    def has_code(self, codes: Iterable[str]) -> bool:
        """Return whether a code on its label is one of these, whatever letters follow it."""
        own = {part.strip() for code in self.fact.hazards or () for part in code.split("+")}
        return any(code.startswith(wanted) for code in own for wanted in codes)


Test = Callable[[Handled], bool]


@dataclass(frozen=True, slots=True)
class Rule:
    """When a material calls for a caution: the test, the test in words, and the caution."""

    calls: Test
    in_words: str
    text: str


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two kinds of material that must not meet in one waste container without care."""

    one: Test
    other: Test
    in_words: str
    text: str


def cautions_for(
    handled: Sequence[Handled], in_streams: Mapping[str, Sequence[Handled]]
) -> tuple[Caution, ...]:
    """Return the cautions that materials call for, one a rule, beside the usual ones.

    Args:
        handled: What people handle, in the order in which it is named.
        in_streams: What ends in each waste stream, by the stream's spelling.
    """
    return (*_by_material(handled), *_by_waste(in_streams))


def hazards_of(handled: Iterable[Handled]) -> tuple[HazardLine, ...]:
    """Return each hazard code of what people handle, in order, then as on the label."""
    return tuple(
        HazardLine(one.name, code, in_words(code))
        for one in handled
        for code in one.fact.hazards or ()
    )


def hazards_together(handled: Iterable[Handled]) -> Iterator[str]:
    """Yield hazard codes in words, each once: those that the same things have stand together.

    They follow each other by the first of their codes.
    """
    named: dict[str, list[str]] = {}
    for line in hazards_of(handled):
        named.setdefault(line.in_words, []).append(line.name)
    statements: dict[tuple[str, ...], list[str]] = {}
    for statement in sorted(named):
        statements.setdefault(tuple(named[statement]), []).append(statement)
    for names, together in statements.items():
        # Names have commas of their own.
        yield f"{' / '.join(names)}: {'; '.join(together)}"


def _by_material(handled: Sequence[Handled]) -> Iterator[Caution]:
    for rule in RULES:
        names = [one.name for one in handled if one.is_chemical and rule.calls(one)]
        if names:
            yield Caution(rule.text, f"{rule.in_words}: {'; '.join(names)}")


def _by_waste(in_streams: Mapping[str, Sequence[Handled]]) -> Iterator[Caution]:
    """Yield what meets in one waste stream and should not without care."""
    for stream, inside in in_streams.items():
        for meeting in MEETINGS:
            ones = [one.name for one in inside if one.is_chemical and meeting.one(one)]
            others = [one.name for one in inside if one.is_chemical and meeting.other(one)]
            if ones and others:
                yield Caution(
                    f"{stream}: {meeting.text}",
                    f"{meeting.in_words} go into one stream: {'; '.join(ones)} with "
                    f"{'; '.join(others)}",
                )


def _has_code(*codes: str) -> Test:
    return lambda used: used.has_code(codes)


def _is_named(*words: str) -> Test:
    return lambda used: any(word in used.folded for word in words)


_CARBONATE: Final = re.compile(r"CO3(?!\d)")


def is_carbonate(used: Handled) -> bool:
    """Return whether it is a carbonate or hydrogencarbonate, by formula or by name."""
    by_formula = _CARBONATE.search(used.material.formula or "") is not None
    return by_formula or "carbonate" in used.folded


_STRONG_MASS_FRACTION: Final = Decimal("0.2")
_STRONG_MOL_PER_L: Final = Decimal(5)


def is_acid(used: Handled) -> bool:
    """Return whether its name says that it is an acid."""
    return re.search(r"\bacid\b", used.folded) is not None


def is_concentrated_acid(used: Handled) -> bool:
    """Return whether it is a liquid acid, concentrated by its name or by its strength."""
    if not is_acid(used) or used.material.unit is not Kind.VOLUME:
        return False
    if any(word in used.folded for word in ("concentrated", "glacial", "fuming")):
        return True
    strength = used.material.strength
    if strength is None:
        return False
    limits = {Basis.MASS_FRACTION: _STRONG_MASS_FRACTION, Basis.MOLAR: _STRONG_MOL_PER_L}
    return strength.basis in limits and strength.number >= limits[strength.basis]


_PARTS_FROM_WATER: Final = (
    "dichloromethane", "chloroform", "trichloromethane", "chlorobenzene", "ether", "hexane",
    "heptane", "pentane", "octane", "petroleum", "toluene", "xylene", "ethyl acetate",
)  # fmt: skip
_WATER_G_PER_ML: Final = Decimal(1)


def _is_layer(used: Handled, *, is_lower: bool) -> bool:
    density = used.material.density
    is_solvent = isinstance(used.fact, Item) and used.fact.kind is ItemKind.SOLVENT
    if density is None or not is_solvent or not _is_named(*_PARTS_FROM_WATER)(used):
        return False
    return density > _WATER_G_PER_ML if is_lower else density < _WATER_G_PER_ML


def is_lower_layer(used: Handled) -> bool:
    """Return whether it is a solvent that parts from water and is denser than it."""
    return _is_layer(used, is_lower=True)


def is_upper_layer(used: Handled) -> bool:
    """Return whether it is a solvent that parts from water and is less dense than it."""
    return _is_layer(used, is_lower=False)


def is_solid_base(used: Handled) -> bool:
    """Return whether it is a hydroxide that is weighed."""
    return used.material.unit is Kind.MASS and "hydroxide" in used.folded


_is_chlorinated: Final = _is_named("dichloromethane", "chloroform", "trichloromethane")
_is_flammable: Final = _has_code("H224", "H225", "H226")
_is_nitric: Final = _is_named("nitric acid")
_is_bleach: Final = _is_named("hypochlorite")
_is_peroxide: Final = _is_named("hydrogen peroxide")

RULES: Final = (
    Rule(
        is_carbonate,
        "A hydrogencarbonate or carbonate, by name or formula",
        "Meets acid and gives carbon dioxide: swirl before stoppering, vent separating funnels at "
        "once and often, and keep caps of waste containers loose or vented.",
    ),
    Rule(
        is_concentrated_acid,
        "An acid that is concentrated by its name, or of 20 % w/w or 5 mol/L and more",
        "Acid into water, never water into acid: in the fume cupboard, slowly, stirring, in an ice "
        "bath where it gets hot. Let it cool before the mark.",
    ),
    Rule(
        is_solid_base,
        "A hydroxide that is weighed",
        "Gets hot in water: a little at a time into cold water, stirring, never water onto the "
        "solid. Goggles: it blinds.",
    ),
    Rule(
        _has_code("H224", "H225", "H226"),
        "H224, H225 or H226 on the label",
        "No flames, no sparks and no hot plates near it. Pour in the fume cupboard, earth metal "
        "cans, and keep no more than the day's need on the bench.",
    ),
    Rule(
        _has_code("H270", "H271", "H272"),
        "H270, H271 or H272 on the label",
        "Oxidiser: away from solvents, paper and metal powder, on its own tray, never back into "
        "its bottle.",
    ),
    Rule(
        _has_code("EUH019"),
        "EUH019 on the label",
        "Forms explosive peroxides: write the day of opening on it, test before use, and never "
        "distil or evaporate to dryness what has not been tested.",
    ),
    Rule(
        is_lower_layer,
        "A solvent that does not mix with water, of density above 1 g/mL",
        "The organic layer is the LOWER one. Keep both layers until you have the product; if in "
        "doubt, see which layer takes a drop of water.",
    ),
    Rule(
        is_upper_layer,
        "A solvent that does not mix with water, of density below 1 g/mL",
        "The organic layer is the UPPER one. Keep both layers until you have the product; if in "
        "doubt, see which layer takes a drop of water.",
    ),
    Rule(
        _is_peroxide,
        "Hydrogen peroxide, by name",
        "Gives off oxygen: vented caps, clean glass, no metal, never back into the stock bottle.",
    ),
    Rule(
        _is_bleach,
        "A hypochlorite, by name",
        "Gives chlorine with acid and poisonous gases with ammonia: never together, in the sink or "
        "in a waste container.",
    ),
    Rule(
        _has_code("EUH031", "EUH032"),
        "EUH031 or EUH032 on the label",
        "Gives a toxic gas with acid: keep acids away from it and from its waste.",
    ),
    Rule(
        _has_code("H260", "H261", "EUH014"),
        "H260, H261 or EUH014 on the label",
        "Reacts with water: dry vessels and spatulas, no water on a spill, and ask how what is "
        "left over is made harmless.",
    ),
    Rule(
        _has_code("H300", "H301", "H310", "H311", "H330", "H331"),
        "H300, H301, H310, H311, H330 or H331 on the label",
        "Toxic: sign it out by weight, handle it in the fume cupboard with gloves, not alone, and "
        "lock it away after use.",
    ),
    Rule(
        _has_code("H340", "H341", "H350", "H351", "H360", "H361"),
        "H340, H341, H350, H351, H360 or H361 on the label",
        "May cause cancer or genetic defects, or harm fertility or an unborn child: ask whether "
        "it can be replaced; anyone who is pregnant speaks to the person in charge first.",
    ),
    Rule(
        _has_code("H317", "H334"),
        "H317 or H334 on the label",
        "May cause allergy: no dust, no skin contact; anyone who has reacted to it before stays "
        "away.",
    ),
    Rule(
        _has_code("H314", "H318"),
        "H314 or H318 on the label",
        "Burns skin and eyes: goggles, not glasses; the eyewash within reach and tried this week.",
    ),
    Rule(
        _has_code("H280", "H281"),
        "H280 or H281 on the label",
        "Gas under pressure or very cold: cylinders chained, valves shut after use, rooms aired.",
    ),
    Rule(
        _is_named("dry ice", "liquid nitrogen"),
        "Dry ice or liquid nitrogen, by name",
        "Burns by cold and drives out air: dry loose gloves, never a closed vessel, never alone in "
        "a lift with it.",
    ),
)
"""One caution a rule; all that call for it are named together."""

MEETINGS: Final = (
    Meeting(
        is_carbonate,
        is_acid,
        "A carbonate and an acid",
        "carbon dioxide forms in the container. Vented cap, a little at a time, wait until it is "
        "quiet, never close it tight the same day.",
    ),
    Meeting(
        _is_bleach,
        is_acid,
        "A hypochlorite and an acid",
        "chlorine forms. Do not combine; ask for a container of its own.",
    ),
    Meeting(
        _is_nitric,
        _is_flammable,
        "Nitric acid and a flammable",
        "may catch fire or burst. Do not combine; ask for a container of its own.",
    ),
    Meeting(
        _is_peroxide,
        _is_flammable,
        "Hydrogen peroxide and a flammable",
        "may give off gas and heat. Do not combine before a competent person has agreed; vented "
        "cap.",
    ),
    Meeting(
        _is_chlorinated,
        _is_named("hydroxide"),
        "A chlorinated solvent and a strong base",
        "may react violently. Do not combine; ask for a container of its own.",
    ),
)
"""What is looked for in each waste stream, by what the scripts send there."""
