"""One label laid out: not under the law, nothing over another thing, larger where room is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.report.labels.contents import Hazards, LabelContent
from prepstore.report.labels.label_text import LeftOut
from prepstore.report.labels.lay_out import Laid, could_be, lay_out
from prepstore.report.paper.flow import Area
from prepstore.report.paper.typeface import typeface
from prepstore.safety.label_sizes import label_size_for
from tests.report.labels_on_paper import CORROSIVE, FLAMMABLE, IRRITANT, label

FONT = typeface()
ALL = tuple(f"GHS0{number}" for number in range(1, 10))


def laid(content: LabelContent, width: float, height: float) -> Laid:
    found = lay_out(content, width, height, FONT)
    assert found is not None
    return found


def things(one: Laid) -> list[Area]:
    """Return the areas of all that is printed; of pictograms the square around each."""
    code = one.code.code
    white, dark = code.quiet * 0.375, len(code.rows) * 0.375
    high = FONT.ascent + FONT.descent
    return [
        *(
            Area(
                line.left,
                line.base - FONT.ascent * line.size,
                FONT.width_of(line.text) * line.size,
                high * line.size,
            )
            for line in one.lines
        ),
        *(Area(shape.left, shape.top, shape.across, shape.across) for shape in one.diamonds),
        Area(one.code.left + white, one.code.top + white, dark, dark),
    ]


CONTENTS = st.builds(
    lambda name, capacity, pictograms, codes: label(
        name,
        capacity,
        is_initialled=True,
        hazards=Hazards(signal_word="Danger", pictograms=pictograms, h_codes=codes),
    ),
    st.sampled_from(["ethanol", "4-dimethylaminobenzaldehyde 5 g/L", "eluent A"]),
    st.sampled_from([50, 500, 2500, 5000, 60000]),
    st.sets(st.sampled_from(ALL), max_size=5).map(lambda them: tuple(sorted(them))),
    st.sampled_from([(), ("H225",), ("H225", "H319", "H336"), ("H314", "H335"), ("H412",)]),
)


@given(CONTENTS, st.floats(20, 200), st.floats(12, 200))
def test_nothing_leaves_the_label_or_lies_over_another_thing_or_is_under_the_law(
    content: LabelContent, width: float, height: float
) -> None:
    one = lay_out(content, width, height, FONT)
    assert (one is not None) is could_be(content, width, height, FONT)
    if one is None:
        return
    least = label_size_for(content.capacity_ml)
    assert min(line.size for line in one.lines) * FONT.x_height >= float(least.x_height_mm) - 1e-9
    sides = {shape.side for shape in one.diamonds}
    assert len(sides) == bool(content.hazards.pictograms)
    assert all(side >= least.pictogram_least_mm for side in sides)
    assert [shape.pictogram for shape in one.diamonds] == list(content.hazards.pictograms)
    areas = things(one)
    for number, area in enumerate(areas):
        assert area.left >= -1e-5
        assert area.top >= -1e-5
        assert area.right <= width + 1e-5
        assert area.bottom <= height + 1e-5
        assert not any(area.meets(other) for other in areas[:number])


def test_the_wanted_pictogram_is_drawn_where_there_is_room_and_the_least_where_there_is_not() -> (
    None
):
    content = label("x", 500, hazards=FLAMMABLE)
    assert laid(content, 105, 74).diamonds[0].side == 16
    narrow = laid(label("x", 100, hazards=FLAMMABLE), 40, 24)
    assert 10 <= narrow.diamonds[0].side < 16


def test_letters_grow_until_the_label_is_full() -> None:
    content = label(capacity_ml=500, hazards=IRRITANT)
    small, large = laid(content, 75, 60), laid(content, 105, 74)
    assert 1.2 <= small.x_height < large.x_height
    assert laid(label("x"), 200, 200).x_height <= 1.2 * 2.2


def test_a_micro_code_and_plain_names_come_only_where_room_is_short() -> None:
    roomy, tight = laid(label(), 105, 74), laid(label(capacity_ml=100, hazards=IRRITANT), 55, 30)
    assert roomy.code.code.quiet == 4
    assert tight.code.code.quiet == 2
    assert max(line.size for line in roomy.lines) > min(line.size for line in roomy.lines)
    plain = laid(label(capacity_ml=500, hazards=IRRITANT), 200, 24)
    assert len({line.size for line in plain.lines}) == 1


def test_words_are_left_out_only_where_they_do_not_fit() -> None:
    content = label(capacity_ml=100, hazards=IRRITANT)
    levels = [laid(content, width, 22).left_out for width in (200.0, 90.0, 60.0)]
    assert levels == [LeftOut.NOTHING, LeftOut.PRECAUTIONS, LeftOut.HAZARDS_TOO]


def test_a_label_that_must_say_all_does_not_fit_where_a_small_package_would() -> None:
    assert lay_out(label(capacity_ml=100, hazards=IRRITANT), 55, 30, FONT) is not None
    assert lay_out(label(capacity_ml=126, hazards=IRRITANT), 55, 30, FONT) is None
    assert lay_out(label(capacity_ml=100, hazards=CORROSIVE), 55, 30, FONT) is None


@pytest.mark.parametrize("count", range(1, 10))
def test_all_pictograms_of_a_label_are_of_one_size_and_apart(count: int) -> None:
    content = label("x", 500, hazards=Hazards(pictograms=ALL[:count]))
    one = laid(content, 105, 74)
    assert len({(round(s.left, 3), round(s.top, 3)) for s in one.diamonds}) == count
    assert len({shape.side for shape in one.diamonds}) == 1
