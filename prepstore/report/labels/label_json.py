"""Labels as JSON, for other programs."""

import json
from datetime import date
from typing import Any

from prepstore.report.labels.contents import Classified, LabelContent, LabelSet
from prepstore.report.labels.label_kind import LabelKind
from prepstore.report.plan_json import CONTRACT
from prepstore.report.row_lists import number_in_json
from prepstore.safety.precautionary_statements import precautions_for

Row = dict[str, Any]


def labels_json(found: LabelSet) -> str:
    """Return labels as JSON text."""
    return json.dumps(labels_rows(found), ensure_ascii=False, indent=1) + "\n"


def labels_rows(found: LabelSet) -> Row:
    """Return labels as what JSON is made of: the day whose rules hold, and an object a label."""
    return {
        "contract": CONTRACT,
        "date_of_rules": found.date_of_rules.isoformat(),
        "labels": [_label(content) for content in found.contents],
    }


def _label(content: LabelContent) -> Row:
    hazards = content.hazards
    name = "solution" if content.kind is LabelKind.SOLUTION else "name"
    return {
        "of": str(content.kind),
        "number": content.number,
        name: content.name,
        "concentration": content.concentration,
        **_days(content),
        "capacity_mL": number_in_json(content.capacity_ml),
        "session": content.session,
        "sets": content.sets,
        "list_code": content.list_code,
        "components": list(content.components),
        **_classified(content.classified),
        "h_codes": list(hazards.h_codes),
        "signal_word": hazards.signal_word,
        "pictograms": list(hazards.pictograms),
        "euh": list(hazards.euh),
        "p_codes": list(precautions_for(hazards.h_codes)),
        "contains": list(hazards.contains),
        "undecided": [
            {"what": one.what, "item": one.item or None, "why": one.why}
            for one in hazards.undecided
        ],
    }


def _days(content: LabelContent) -> dict[str, str | None]:
    return {
        "make_on": _day(content.made_on),
        "use_by": _day(content.keep_until),
        "received_on": _day(content.received_on),
        "opened_on": _day(content.opened_on),
    }


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _classified(classified: Classified | None) -> Row:
    """Return how hazards were worked out; nothing where they were not."""
    if classified is None:
        return {}
    return {
        "volume_mL": number_in_json(classified.volume_ml),
        "composition": [
            {"item": one.item, "percent": number_in_json(one.percent)}
            for one in classified.composition
        ],
        "classes": list(classified.classes),
        "because": [{"class": one.hazard_class, "rule": one.rule} for one in classified.because],
    }
