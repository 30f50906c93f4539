"""The words of a label, and what a small package may do without."""

from datetime import date

import pytest

from prepstore.report.labels.contents import Hazards, LabelContent
from prepstore.report.labels.label_kind import LabelKind
from prepstore.report.labels.label_text import LeftOut, levels_for, paragraphs_of
from prepstore.report.paper.flow import Look
from prepstore.safety.classes.finding import Undecided
from tests.report.labels_on_paper import CORROSIVE, IRRITANT, label


def words(content: LabelContent, left_out: LeftOut = LeftOut.NOTHING) -> list[str]:
    return [one.text.replace("\u00a0", " ") for one in paragraphs_of(content, left_out)]


def test_a_solution_says_all_that_it_has_in_its_order() -> None:
    content = label(
        "eluent A",
        concentration="70 % v/v",
        volume="500 mL",
        made_on=date(2027, 2, 3),
        keep_until=date(2027, 3, 3),
        is_initialled=True,
        hazards=Hazards(
            signal_word="Danger",
            h_codes=("H225", "H317"),
            euh=("EUH066", "EUH208"),
            contains=("ethanol",),
            sensitisers=("methanal", "nickel(II) sulfate"),
            undecided=(Undecided("flash point", "", "a mixture"),
                       Undecided("M-factor", "silver nitrate", "none given")),
        ),
    )  # fmt: skip
    assert words(content) == [
        "eluent A, 70 % v/v",
        "2027-02-03-1 · 500 mL · made 2027-02-03 · keep until 2027-03-03",
        "Made by",
        "Danger",
        "Contains: ethanol",
        "H225 Highly flammable liquid and vapour. H317 May cause an allergic skin reaction.",
        "EUH066 Repeated exposure may cause skin dryness or cracking. EUH208 Contains methanal; "
        "nickel(II) sulfate. May produce an allergic reaction.",
        "P210 Keep away from heat, hot surfaces, sparks, open flames and other ignition sources. "
        "No smoking. P233 Keep container tightly closed. P261 Avoid breathing "
        "dust/mist/vapours/spray. P280 Wear protective gloves/protective clothing/eye protection. "
        "P302+P352 IF ON SKIN: Wash with plenty of water. P403+P235 Store in a well-ventilated "
        "place. Keep cool.",
        "Not decided: flash point; M-factor (silver nitrate).",
        "Calculated by Regulation (EC) No 1272/2008, Annex I; see the safety data sheet.",
    ]
    assert [one.look for one in paragraphs_of(content, LeftOut.NOTHING)][:4] == [
        Look.LARGE, Look.PLAIN, Look.TO_WRITE, Look.LARGE,
    ]  # fmt: skip


def test_a_waste_container_says_its_stream_code_components_and_day() -> None:
    content = label(
        "halogenated solvent",
        kind=LabelKind.WASTE,
        list_code="14 06 02*",
        components=("dichloromethane", "acetone"),
        opened_on=date(2027, 1, 4),
    )
    assert words(content)[:3] == [
        "halogenated solvent",
        "2027-02-03-1 · List of Waste 14 06 02* · opened 2027-01-04",
        "Main components: dichloromethane; acetone",
    ]


def test_a_waste_container_that_nobody_opened_yet_has_room_for_the_day() -> None:
    content = label("acid", kind=LabelKind.WASTE, number="acid", list_code="06 01 06*")
    assert words(content)[:3] == ["acid", "List of Waste 06 01 06*", "Opened on"]


def test_a_dispensed_bottle_says_its_session_and_sets_and_a_lot_when_it_came() -> None:
    bottle = label(kind=LabelKind.BOTTLE, session="OC-1 Tue", sets="1 to 4")
    assert words(bottle)[1] == "2027-02-03-1 · session OC-1 Tue · sets 1 to 4"
    lot = label(kind=LabelKind.LOT, received_on=date(2027, 2, 1))
    assert words(lot)[1] == "2027-02-03-1 · received 2027-02-01"


@pytest.mark.parametrize("name", ["hydrochloric acid 2 mol/L", "Hydrochloric acid 2 MOL/L"])
def test_a_concentration_that_the_name_says_is_not_said_twice(name: str) -> None:
    assert words(label(name, concentration="2 mol/L"))[0] == name


def test_a_label_without_hazards_names_its_basis_and_nothing_of_safety() -> None:
    assert words(label(hazards=Hazards())) == [
        "ethanol",
        "2027-02-03-1",
        "Calculated by Regulation (EC) No 1272/2008, Annex I; see the safety data sheet.",
    ]


def test_tight_words_run_on_and_leave_off_the_codes_of_precautions_alone() -> None:
    tight = paragraphs_of(
        label(hazards=CORROSIVE, is_initialled=True), LeftOut.NOTHING, is_tight=True
    )
    assert [one.look for one in tight] == [
        Look.LARGE, Look.PLAIN, Look.TO_WRITE, Look.LARGE, Look.PLAIN,
    ]  # fmt: skip
    text = tight[-1].text
    assert "P280" not in text
    assert text.startswith("H314 Causes severe skin burns and eye damage. Do not breathe")
    assert "Wear protective gloves" in text
    assert text.endswith("see the safety data sheet.")


# Annex I, 1.5.2.1, from memory; which goes first is our choice.
def test_a_small_package_does_without_precautions_first_then_without_words_of_hazards() -> None:
    content = label(capacity_ml=125, hazards=IRRITANT)
    assert levels_for(content) == tuple(LeftOut)
    assert [one for one in words(content, LeftOut.PRECAUTIONS) if "P2" in one] == []
    assert "H225 Highly flammable" in " ".join(words(content, LeftOut.PRECAUTIONS))
    fewest = " ".join(words(content, LeftOut.HAZARDS_TOO))
    assert "H225, H319 (words left out, up to 125 mL: Annex I, 1.5.2)." in fewest
    assert "Highly flammable" not in fewest


def test_what_a_small_package_must_say_stays() -> None:
    both = Hazards(h_codes=("H314", "H225"))
    content = label(capacity_ml=100, hazards=both)
    fewest = " ".join(words(content, LeftOut.HAZARDS_TOO))
    assert "H314 Causes severe skin burns and eye damage." in fewest
    assert "P305+P351+P338" in fewest
    assert "P210" not in fewest
    assert levels_for(label(capacity_ml=100, hazards=CORROSIVE)) == (LeftOut.NOTHING,)
    only_precautions = label(capacity_ml=100, hazards=Hazards(h_codes=("H412",)))
    assert levels_for(only_precautions) == (LeftOut.NOTHING, LeftOut.PRECAUTIONS)


def test_larger_packages_leave_nothing_out_but_waste_may_leave_precautions_out() -> None:
    assert levels_for(label(capacity_ml="125.1", hazards=IRRITANT)) == (LeftOut.NOTHING,)
    waste = label(capacity_ml=5000, hazards=CORROSIVE, kind=LabelKind.WASTE)
    assert levels_for(waste) == (LeftOut.NOTHING, LeftOut.PRECAUTIONS)
    assert "H314 Causes" in " ".join(words(waste, LeftOut.PRECAUTIONS))
    assert "P280" not in " ".join(words(waste, LeftOut.PRECAUTIONS))


def test_what_holds_together_is_not_broken_over_lines() -> None:
    content = label(volume="500 mL", capacity_ml=500, list_code="14 06 02*")
    facts = paragraphs_of(content, LeftOut.NOTHING)[1].text
    assert "500\u00a0mL\u00a0· List of Waste 14\u00a006\u00a002*" in facts
