import json
from datetime import date
from decimal import Decimal

from prepstore.report.labels.contents import (
    Classified,
    Hazards,
    LabelSet,
    Share,
)
from prepstore.report.labels.label_json import labels_json
from prepstore.report.labels.label_kind import LabelKind
from prepstore.safety.classes.classified import Because
from prepstore.safety.classes.finding import Undecided
from tests.report.labels_on_paper import label


def test_a_solution_has_what_the_label_says_and_how_it_came_about() -> None:
    content = label(
        "hydrochloric acid 2 mol/L",
        made_on=date(2027, 2, 3),
        hazards=Hazards(
            signal_word="Warning",
            pictograms=("GHS05",),
            h_codes=("H290",),
            euh=("EUH071",),
            undecided=(Undecided("extreme pH", "hydrochloric acid", "no pH is given"),),
        ),
        classified=Classified(
            Decimal("500"),
            (Share("hydrochloric acid", Decimal("7.05")), Share("water", Decimal("92.95"))),
            ("Met. Corr. 1",),
            (Because("Met. Corr. 1", "Annex VI, specific limit"),),
        ),
    )
    read = json.loads(labels_json(LabelSet(date(2027, 2, 1), (content,))))
    assert (read["contract"], read["date_of_rules"]) == (2, "2027-02-01")
    (one,) = read["labels"]
    expected = {
        "of": "solutions",
        "number": "2027-02-03-1",
        "solution": "hydrochloric acid 2 mol/L",
        "make_on": "2027-02-03",
        "use_by": None,
        "volume_mL": 500,
        "composition": [
            {"item": "hydrochloric acid", "percent": 7.05},
            {"item": "water", "percent": 92.95},
        ],
        "classes": ["Met. Corr. 1"],
        "h_codes": ["H290"],
        "p_codes": ["P234", "P390"],
        "signal_word": "Warning",
        "pictograms": ["GHS05"],
        "euh": ["EUH071"],
        "undecided": [{"what": "extreme pH", "item": "hydrochloric acid", "why": "no pH is given"}],
        "because": [{"class": "Met. Corr. 1", "rule": "Annex VI, specific limit"}],
    }
    assert {key: one[key] for key in expected} == expected


def test_a_label_of_another_kind_has_its_name_and_days_and_no_classes_of_its_own() -> None:
    content = label("halogenated solvent", 5000, kind=LabelKind.WASTE, list_code="14 06 02*",
                    opened_on=date(2027, 1, 4), received_on=date(2027, 1, 5),
                    keep_until=date(2027, 6, 1), session="OC-1", sets="1 to 4",
                    components=("dichloromethane",), concentration="5 %")  # fmt: skip
    (one,) = json.loads(labels_json(LabelSet(date(2027, 2, 1), (content,))))["labels"]
    assert "solution" not in one
    assert "classes" not in one
    assert (one["name"], one["of"], one["list_code"]) == (
        "halogenated solvent",
        "waste",
        "14 06 02*",
    )
    assert (one["opened_on"], one["received_on"]) == ("2027-01-04", "2027-01-05")
    assert (one["use_by"], one["capacity_mL"]) == ("2027-06-01", 5000)
    assert (one["session"], one["sets"], one["components"]) == (
        "OC-1",
        "1 to 4",
        ["dichloromethane"],
    )
    assert one["concentration"] == "5 %"
