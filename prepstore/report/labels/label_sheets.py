"""Labels on their sheets: each laid out in its place, or refused by name."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from prepstore.amounts import Kind, plain
from prepstore.problems import RefusedError
from prepstore.report.labels.contents import LabelContent
from prepstore.report.labels.grids import Grid, Place, shipped_grids
from prepstore.report.labels.label_kind import LabelKind
from prepstore.report.labels.label_text import LeftOut, paragraphs_of
from prepstore.report.labels.lay_out import Laid, could_be, lay_out
from prepstore.report.paper.typeface import typeface
from prepstore.report.wording import amount_in_words
from prepstore.safety.label_sizes import label_size_for


@dataclass(frozen=True, slots=True)
class Placed:
    """A label laid out, and where it stands."""

    content: LabelContent
    place: Place
    laid: Laid


def placed_labels(
    contents: Sequence[LabelContent], grid: Grid, start: int = 1
) -> tuple[Placed, ...]:
    """Return labels laid out in their places, in their order.

    Args:
        contents: What stands on them.
        grid: Of the sheet.
        start: The first label of the first sheet that is used, counted from 1.

    Raises:
        RefusedError: The sheet has no label `start`, or some labels do not fit; a sentence for
            each says which, why and what size would do.
    """
    placed: list[Placed] = []
    refused: list[str] = []
    for content, place in zip(contents, grid.places(start), strict=False):
        laid = _laid(content, place)
        if laid is None:
            refused.append(_sentence(content, grid))
        else:
            placed.append(Placed(content, place, laid))
    if refused:
        raise RefusedError(*refused)
    return tuple(placed)


def _laid(content: LabelContent, place: Place) -> Laid | None:
    if _missing_signs(content) or not _may_be_so_small(content, place.width, place.height):
        return None
    return lay_out(content, float(place.inner_width), float(place.inner_height), typeface())


def _may_be_so_small(content: LabelContent, width: Decimal, height: Decimal) -> bool:
    return label_size_for(content.capacity_ml).is_met_by(width, height)


def _missing_signs(content: LabelContent) -> tuple[str, ...]:
    paragraphs = paragraphs_of(content, LeftOut.NOTHING)
    return typeface().lacking("".join(paragraph.text for paragraph in paragraphs))


def _sentence(content: LabelContent, grid: Grid) -> str:
    """Return which label is refused, why, and what to do."""
    label = f"Label {content.number} ({content.name})"
    missing = _missing_signs(content)
    if missing:
        signs = " ".join(missing)
        return f"{label}: the font has no sign for {signs}. Write the name in other letters."
    size = label_size_for(content.capacity_ml)
    on_size = f"{plain(grid.width)} x {plain(grid.height)} mm"
    holds = amount_in_words(content.capacity_ml, Kind.VOLUME)
    if not _may_be_so_small(content, grid.width, grid.height):
        why = (
            f"cannot be on {on_size}: a container of {holds} must have a label of at least "
            f"{plain(size.short_mm)} x {plain(size.long_mm)} mm"
        )
    else:
        why = (
            f"does not fit on {on_size}: a container of {holds} must have letters of at least "
            f"{size.x_height_mm} mm (height of a small x)"
        )
    return f"{label} {why}. {_would_do(content)}"


def _would_do(content: LabelContent) -> str:
    would = next((grid for grid in _by_area() if _fits_all_over(content, grid)), None)
    if would is None:
        return "No sheet that is known is large enough. Say less on it, or use two labels."
    return (
        f"This size would do: {plain(would.width)} x {plain(would.height)} mm (--grid '{would}')."
    )


@cache
def _by_area() -> tuple[Grid, ...]:
    """Return the sheets that can be named by their sizes alone, the smallest labels first."""
    forms = [str(grid) for grid in shipped_grids()]
    return tuple(
        sorted(
            (grid for grid in shipped_grids() if forms.count(str(grid)) == 1),
            key=lambda grid: grid.width * grid.height,
        )
    )


def _fits_all_over(content: LabelContent, grid: Grid) -> bool:
    """Return whether a label fits at each place of a sheet, those at its edges too."""
    if not _may_be_so_small(content, grid.width, grid.height):
        return False
    rooms = {
        (place.inner_width, place.inner_height)
        for place, _ in zip(grid.places(), range(grid.labels), strict=False)
    }
    return all(
        could_be(content, float(width), float(height), typeface()) for width, height in rooms
    )


def left_out_in_words(placed: Iterable[Placed]) -> Iterator[str]:
    """Yield a sentence for each label that does without some words, as it may."""
    for label in placed:
        left_out, content = label.laid.left_out, label.content
        if left_out is not LeftOut.NOTHING:
            what = "hazard and " if left_out is LeftOut.HAZARDS_TOO else ""
            why = (
                "waste need not have (Regulation (EC) No 1272/2008, Article 1(3))"
                if content.kind is LabelKind.WASTE
                else "a container of up to 125 mL may leave out (Annex I, 1.5.2)"
            )
            yield (
                f"Label {content.number} ({content.name}) does without {what}precautionary "
                f"statements that {why}."
            )
