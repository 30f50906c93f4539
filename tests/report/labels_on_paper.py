"""Labels made for tests, and pages read back as a reader's eye and scanner do: by PDFium, ZXing."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from math import sqrt
from typing import Any

import numpy as np
import pypdfium2
import zxingcpp

from prepstore.report.labels.contents import Hazards, LabelContent
from prepstore.report.labels.label_kind import LabelKind

POINTS_A_MM = 72 / 25.4
DAY = date(2027, 2, 3)

FLAMMABLE = Hazards(signal_word="Danger", pictograms=("GHS02",), h_codes=("H225",))
IRRITANT = Hazards(signal_word="Danger", pictograms=("GHS02", "GHS07"), h_codes=("H225", "H319"))
CORROSIVE = Hazards(signal_word="Danger", pictograms=("GHS05",), h_codes=("H314",))


def label(
    name: str = "ethanol",
    capacity_ml: int | str = 500,
    **more: Any,  # noqa: ANN401 - fields of any kind
) -> LabelContent:
    """Return the content of a label of a solution with little on it."""
    plain = LabelContent(
        kind=LabelKind.SOLUTION,
        number="2027-02-03-1",
        name=name,
        capacity_ml=Decimal(capacity_ml),
        hazards=Hazards(basis="See the SDS."),
    )
    return replace(plain, **more)


@dataclass(frozen=True)
class Marks:
    """What is printed in one colour: its edges from the page's top left corner, in mm."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def side(self) -> float:
        """Return the side of a square that stands on its corner, from its width and height."""
        return (self.right - self.left + self.bottom - self.top) / 2 / sqrt(2)


class Paper:
    """A PDF, page by page; all lengths in mm from a page's top left corner."""

    def __init__(self, pdf: bytes) -> None:
        self._pdf = pypdfium2.PdfDocument(pdf)

    def __len__(self) -> int:
        return len(self._pdf)

    def close(self) -> None:
        """Close the PDF, which is otherwise open until nobody knows it any more."""
        self._pdf.close()

    def size(self, page: int = 0) -> tuple[float, float]:
        """Return how wide and high a page is."""
        width, height = self._pdf[page].get_size()
        return width / POINTS_A_MM, height / POINTS_A_MM

    def dots(
        self, page: int = 0, dpi: int = 300, area: tuple[float, ...] | None = None
    ) -> "np.ndarray[Any, Any]":
        """Return a page, or an area of it (left, top, right, bottom), as rows of RGB dots."""
        width, height = self.size(page)
        left, top, right, bottom = area or (0, 0, width, height)
        crop = (left, height - bottom, width - right, top)
        bitmap = self._pdf[page].render(
            scale=dpi / 72,
            crop=tuple(max(one, 0) * POINTS_A_MM for one in crop),
            rev_byteorder=True,
        )
        dots = bitmap.to_numpy()[..., :3].copy()
        bitmap.close()
        return np.asarray(dots)

    def red(self, page: int, area: tuple[float, ...], dpi: int = 300) -> Marks:
        """Return the edges of what is red in an area."""
        dots = self.dots(page, dpi, area)
        is_red = (dots[..., 0] > 200) & (dots[..., 1] < 128) & (dots[..., 2] < 128)
        return _edges(is_red, area)

    def ink(self, page: int = 0, dpi: int = 150) -> "np.ndarray[Any, Any]":
        """Return where a page is not white."""
        return np.asarray((self.dots(page, dpi) < 250).any(axis=2))

    def text(self, page: int = 0) -> str:
        """Return the words of a page, with single blanks."""
        return " ".join(self._pdf[page].get_textpage().get_text_range().split())

    def x_heights(self, page: int = 0) -> Iterator[tuple[float, float, float]]:
        """Yield the left edge, base line and height of each small x, by its outline."""
        text = self._pdf[page].get_textpage()
        _, height = self._pdf[page].get_size()
        for place, sign in enumerate(text.get_text_range()):
            if sign == "x":
                left, bottom, _, top = text.get_charbox(place)
                yield (
                    left / POINTS_A_MM,
                    (height - bottom) / POINTS_A_MM,
                    (top - bottom) / POINTS_A_MM,
                )

    def codes(self, page: int = 0, area: tuple[float, ...] | None = None) -> list[str]:
        """Return what a scanner reads on a page or an area of it."""
        return [one.text for one in zxingcpp.read_barcodes(self.dots(page, 300, area))]


def dark(dots: "np.ndarray[Any, Any]", area: tuple[float, ...]) -> Marks:
    """Return the edges of what is dark in an area's dots."""
    return _edges(dots.max(axis=2) < 128, area)


def _edges(mask: "np.ndarray[Any, Any]", area: tuple[float, ...]) -> Marks:
    rows, columns = np.where(mask.any(axis=1))[0], np.where(mask.any(axis=0))[0]
    assert rows.size, "nothing of this colour is printed there"
    # Whole dots: a page's width in mm is not a whole number of them.
    across, down = (area[2] - area[0]) / mask.shape[1], (area[3] - area[1]) / mask.shape[0]
    return Marks(
        area[0] + columns[0] * across,
        area[1] + rows[0] * down,
        area[0] + (columns[-1] + 1) * across,
        area[1] + (rows[-1] + 1) * down,
    )
