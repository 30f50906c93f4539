"""The consignment list on paper."""

from prepstore.report.consignment_pdf import consignment_pdf
from tests.builders import day
from tests.report.labels_on_paper import Paper
from tests.report.test_consignment import streams

DAY = day("02-09")


def test_the_page_has_streams_containers_cautions_and_room_to_sign() -> None:
    paper = Paper(consignment_pdf(streams(), DAY, "prepstore 1 · store s.db"))
    text = " ".join(paper.text(page) for page in range(len(paper)))
    wanted = (
        "Waste for collection on Tue 9 Feb 2027", "prepstore 1 · store s.db", "not an analysis",
        "solvent, 2 × 5 L", "List of Waste: 14 06 03* (hazardous)",
        "Composition: % by volume: acetone 20–100; ether 0–80; not known below 1",
        "H codes of what is in it: H224, H225, H319", "Notes: earth the can", "Gross mass, weighed",
        "W1 1 L 790 g Mon 1 Feb 2027 Fri 5 Feb 2027",
        "W2 500 mL more than 79 g Mon 1 Feb 2027 Fri 5 Feb 2027", "In all 1.5 L",
        "solid, 1 × container", "H codes of what is in it: none in the tables", "W3 250 g 250 g",
        "Handed over", "Carrier", "Cautions", "not a classification of the waste",
        "Waste collection of Tue 9 Feb 2027 · not a risk assessment",
    )  # fmt: skip
    places = [text.index(words) for words in wanted]
    assert places == sorted(places)
    assert text.count("In all") == 1  # of the one container of solids nothing is added up
