"""How the hazard classes of what is made up came about, in sentences."""

from collections.abc import Iterator

from prepstore.amounts import plain
from prepstore.cell_types import fold
from prepstore.planning.classified_solutions import ClassifiedSolution, SolutionClasses
from prepstore.planning.plan import Plan
from prepstore.report.wording import far_day_in_words

_FIGURES = 4


def classes_traced(plan: Plan, item: str, classes: SolutionClasses) -> Iterator[str]:
    """Yield, for each day on which a plan makes a solution up, how its classes came about."""
    name = fold(item)
    for day in dict.fromkeys(batch.make_on for batch in plan.batches if batch.name == name):
        yield ""
        yield (
            f"Hazards as made on {far_day_in_words(day)}, calculated by Regulation (EC) No "
            "1272/2008, Annex I; see the safety data sheet"
        )
        yield from (f"  {line}" for line in _lines(classes.of(name, day)))


def _lines(found: ClassifiedSolution) -> Iterator[str]:
    shares = (
        f"{item} {plain(round(percent, max(0, _FIGURES - 1 - percent.adjusted())))} %"
        for item, percent in found.percent.items()
    )
    yield f"by mass: {'; '.join(shares) or 'not known'}"
    for because in found.classified.because:
        yield f"{because.hazard_class}: {because.rule}"
    if not found.classified.because:
        yield "no class"
    for one in found.classified.undecided:
        of = f" ({one.item})" if one.item else ""
        yield f"not decided, {one.what}{of}: {one.why}"
    for code, item in found.classified.not_calculated:
        yield f"not calculated: {code} of {item}"
