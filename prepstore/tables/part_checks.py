"""What is wrong with parts of solutions: amounts that have no way, a mark that is passed."""

from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation

from prepstore.amounts import Basis
from prepstore.catalogue import Catalogue
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material, NoRouteError
from prepstore.chemistry.formulae import elements
from prepstore.chemistry.materials import ingredients_of
from prepstore.chemistry.solutions import Ingredient, amounts_for
from prepstore.facts import Solution
from prepstore.problems import Problem, at
from prepstore.tables.amount_checks import missing
from prepstore.tables.understand import Known
from prepstore.written import WrittenRow


def wrong_parts(
    known: Mapping[str, Known], catalogue: Catalogue, substances: Mapping[str, Material]
) -> tuple[list[Problem], frozenset[str]]:
    """Return what is wrong with parts, and the solutions that have wrong ones.

    What is made from such a solution is not looked at: its mistakes may be mere consequences.
    """
    rows: dict[str, list[WrittenRow]] = {}
    for row, part in known["solution_parts"]:
        rows.setdefault(fold(part.solution), []).append(row)
    problems: list[Problem] = []
    sound = dict(substances)
    for name in substances:  # each after what it is made from
        ingredients = ingredients_of(catalogue.parts.get(name, ()), sound)
        solution = catalogue.solutions.get(name)
        if ingredients and solution is not None:
            parts = list(zip(rows[name], ingredients, strict=True))
            wrong = list(_parts_of_one(parts, solution))
            problems += wrong
            if wrong:
                del sound[name]
    return problems, frozenset(substances.keys() - sound.keys())


def _parts_of_one(
    parts: list[tuple[WrittenRow, Ingredient]], solution: Solution
) -> Iterator[Problem]:
    """Yield what is wrong with the parts of one solution, those to volume last."""
    for row, part in parts:
        yield from _wrong_species(row, part)
    to_volume = [row for row, part in parts if part.amount.basis is Basis.TO_VOLUME]
    measured = [(row, part) for row, part in parts if part.amount.basis is not Basis.TO_VOLUME]
    for row in to_volume[1:]:
        what, remedy = "is twice in this solution.", "Only one part fills to the mark."
        yield at(row, "amount", "to-volume-twice", what, remedy)
    wrong = [
        problem for row, part in measured for problem in _part_route(row, (part,), solution.density)
    ]
    yield from wrong
    if to_volume and not wrong:
        everything = tuple(part for _, part in parts)
        yield from _part_route(to_volume[0], everything, solution.density)


def _wrong_species(row: WrittenRow, part: Ingredient) -> Iterator[Problem]:
    """Yield a problem where an element is not in the formula as often as the part says."""
    if part.of is None or part.material.formula is None:
        return
    name, formula = part.of.formula, part.material.formula
    if elements(name) != {name: 1}:
        return  # of a formula such as Na2O it is not said how many of it are in the item's
    held = elements(formula).get(name, 0)
    if not held:
        what = f"is not in {formula}, the formula of {part.material.name}."
        yield at(row, "as", "species-lacking", what, "Check the element and the formula.")
    elif held != part.of.count:
        times = "once" if held == 1 else f"{held} times"
        what = f"is {times} in {formula}, the formula of {part.material.name}."
        remedy = f"Write {name if held == 1 else f'{held} {name}'}."
        yield at(row, "as", "species-miscounted", what, remedy)


def _part_route(
    row: WrittenRow, ingredients: tuple[Ingredient, ...], density: Decimal | None
) -> Iterator[Problem]:
    try:
        amounts_for(ingredients, Decimal(1000), density)
    except NoRouteError as error:
        what = f"cannot be worked out: {error}."
        yield at(row, "amount", "no-route", what, missing(error))
    except InvalidOperation:
        what = "comes to more than any store holds."
        yield at(row, "amount", "number-too-large", what, "Check this number and the strengths.")
