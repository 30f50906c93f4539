import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.safety.meeting.halogens import Takes, is_halogenated, not_taken, takes
from prepstore.safety.meeting.placing import Substance

DICHLOROMETHANE = Substance("dichloromethane", "75-09-2")
CHLOROFORM = Substance("Chloroform", "67-66-3")
ETHANOL = Substance("ethanol", "64-17-5")


@pytest.mark.parametrize(
    ("stream", "expected"),
    [
        ("halogenated solvent", Takes.HALOGENATED),
        ("Chlorinated solvents", Takes.HALOGENATED),
        ("halogens", Takes.HALOGENATED),
        ("solvent, halogenated and non-halogenated", Takes.HALOGENATED),
        ("non-halogenated solvent", Takes.NON_HALOGENATED),
        ("Nonhalogenated solvent", Takes.NON_HALOGENATED),
        ("NON HALOGENATED", Takes.NON_HALOGENATED),
        ("non\u2011halogenated", Takes.NON_HALOGENATED),
        ("unhalogenated solvent", Takes.NON_HALOGENATED),
        ("not chlorinated", Takes.NON_HALOGENATED),
        ("solvent without halogens", Takes.NON_HALOGENATED),
        ("solvents free of halogens", Takes.NON_HALOGENATED),
        ("halogen-free solvent", Takes.NON_HALOGENATED),
        ("non-fluorinated", Takes.NON_HALOGENATED),
        ("aqueous acid", Takes.NOT_SAID),
        ("chloride and bromide solutions", Takes.NOT_SAID),
        ("organic", Takes.NOT_SAID),
    ],
)
def test_a_stream_says_by_its_name_what_it_takes(stream: str, expected: Takes) -> None:
    assert takes(stream) is expected


def test_a_halogenated_solvent_in_a_non_halogenated_container_is_named() -> None:
    """Common practice, no source: whatever its share, so no share is asked for."""
    sent = [ETHANOL, DICHLOROMETHANE, CHLOROFORM, Substance("bromoform", "75-25-2")]
    assert not_taken("non-halogenated solvent", sent) == (
        "bromoform",
        "Chloroform",
        "dichloromethane",
    )
    assert not_taken("non-halogenated solvent", [ETHANOL]) == ()


@pytest.mark.parametrize("stream", ["halogenated solvent", "aqueous acid"])
def test_a_stream_that_does_not_say_non_halogenated_names_none(stream: str) -> None:
    assert not_taken(stream, [DICHLOROMETHANE]) == ()


def test_an_item_is_halogenated_by_its_own_groups_first() -> None:
    assert is_halogenated(Substance("mixed solvents", own=(17, 19)))
    assert not is_halogenated(Substance("dichloromethane", "75-09-2", own=(14,)))
    assert is_halogenated(DICHLOROMETHANE)
    assert not is_halogenated(ETHANOL)


@given(st.lists(st.sampled_from([ETHANOL, DICHLOROMETHANE, CHLOROFORM]), max_size=4))
def test_adding_a_substance_takes_no_name_away(sent: list[Substance]) -> None:
    assert set(not_taken("non-halogenated", sent)) <= set(
        not_taken("non-halogenated", [*sent, CHLOROFORM])
    )
