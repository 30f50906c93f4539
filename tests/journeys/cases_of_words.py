"""Columns without a figure of their own: their words are shown, kept, or refused when wrong."""

from typing import Final

from tests.journeys.sample import (
    Case,
    Edit,
    Sample,
    case,
    change,
    coming,
    line,
    refused,
    setting,
    shown,
)


def kept(name: str, edit: Edit, old: str, new: str) -> Case:
    """Return a case in which an export has the new words."""

    def see(sample: Sample) -> object:
        text = sample.exported(edit.table)
        return old in text, new in text

    return case("words", name, edit, see=see, before=(True, False), after=(False, True))


CASES: Final[tuple[Case, ...]] = (
    refused(
        "words",
        "a CAS number with a wrong check digit is an error",
        change("items", "acetone", cas="67-64-2"),
        code="cas-check-digit",
        says="it would be 1",
    ),
    kept(
        "notes on an item are kept",
        change("items", "calcium chloride, anhydrous", notes="granular; new sack in April"),
        "not for alcohols or amines",
        "new sack in April",
    ),
    kept(
        "a supplier's batch number is kept",
        change("stock", "L0104", batch_number="B27-0031"),
        "B26-2204",
        "B27-0031",
    ),
    kept(
        "notes on a practical are kept",
        change("practicals", "ORG-03", notes="bath ready by two"),
        "much ice",
        "bath ready by two",
    ),
    shown(
        "hazard codes of an item stand under the cautions in words",
        change("items", "2-methylpropan-2-ol", hazards="H225 H241 H319 H335"),
        "Cautions",
        "H332 Harmful if inhaled",
        "H241 ",
    ),
    refused(
        "words",
        "a hazard code that cannot be one is an error",
        change("items", "2-methylpropan-2-ol", hazards="flammable"),
        code="hazard-code-unreadable",
    ),
    shown(
        "the storage of an item stands beside its stock",
        change("items", "ammonium chloride", storage="bay 9"),
        "Stock",
        "ammonium chloride · dry store, shelf 4",
        "ammonium chloride · bay 9",
    ),
    shown(
        "hazard codes of a solution stand on its label",
        change("solutions", "potassium oxalate 300 g/L", hazards="H373"),
        "Make up",
        "hazards: H302 Harmful if swallowed; H312",
        "hazards: H373",
    ),
    shown(
        "the storage of a solution stands on its label",
        change("solutions", "potassium iodide 0.2 mol/L", storage="shelf under the window"),
        "Make up",
        "solutions shelf D, amber bottle",
        "shelf under the window",
    ),
    shown(
        "instructions stand with the batch",
        change("solutions", "ammonia 2 mol/L", instructions="Cold, slowly, in the hood."),
        "Make up",
        "Cool the bottle of concentrated ammonia first",
        "Cold, slowly, in the hood.",
    ),
    shown(
        "what a line is set out in stands on the benches' list",
        line("ORG-02", "reaction", "hydrochloric acid, concentrated", container="jug in tray"),
        "Set out",
        "250 mL bottle in tray",
        "jug in tray",
    ),
    shown(
        "notes on a line stand on the benches' list",
        line("ORG-02", "reaction", "separating funnel 100 mL", notes="stoppers wired"),
        "Set out",
        "Vent often: pressure",
        "stoppers wired",
    ),
    shown(
        "the place of a lot stands where it is taken from",
        change("stock", "L0183", place="refrigerator R9"),
        "Make up",
        "L0183 (refrigerator R1)",
        "L0183 (refrigerator R9)",
    ),
    refused(
        "words",
        "an opened lot is one container",
        change("stock", "L0241", opened="2027-02-01"),
        code="opened-of-several",
        says="3 containers",
    ),
    refused(
        "words",
        "a lot of several containers has not been opened",
        change("stock", "L0238", containers="2"),
        code="opened-of-several",
        says="2 containers",
    ),
    refused(
        "words",
        "a lot of a solution that keeps for so long has an expiry",
        change("stock", "S27-055", expiry=""),
        code="expiry-missing",
        says="365 days",
    ),
    shown(
        "the charge for a delivery stands on the supplier's order",
        change("suppliers", "Ossel and Wray Chemicals", delivery_charge="9.75"),
        "Order",
        " | 9.50",
        " | 9.75",
    ),
    shown(
        "whose order a delivery is stands where it is taken in",
        Edit("on_order", {"pack": "BC-1170", "reference": "PO 27-044"}, {"reference": "PO 99"}),
        "Prepare",
        "BC-1170 PO 27-044",
        "BC-1170 PO 99",
    ),
    shown(
        "a delivery of 0 packs is none",
        coming("BC-1170", packs="0"),
        "Prepare",
        "delivery of BC-1170",
        "delivery of BC-1171",
    ),
    shown(
        "the code of a waste stream stands with it",
        change("waste_streams", "silver residues", list_code="06 03 14"),
        "Waste",
        "06 03 13*",
        "06 03 14",
    ),
    refused(
        "words",
        "a code that is not of the European List of Waste is an error",
        change("waste_streams", "silver residues", list_code="AG 1"),
        code="waste-code-unreadable",
    ),
    shown(
        "notes on a waste stream stand with it",
        change("waste_streams", "silver residues", notes="ask before you pour"),
        "Waste",
        "ammoniacal silver must not stand",
        "ask before you pour",
    ),
    shown(
        "why something is replaced stands on the benches' list",
        change("replacements", "dichloromethane", reason="by decision of the safety board"),
        "Set out",
        "suspected carcinogen",
        "by decision of the safety board",
    ),
    shown(
        "prices are in the currency of the setting",
        setting("currency", "NOK"),
        "Order",
        "EUR",
        "NOK",
    ),
    shown(
        "what is made shortly before use says within how many hours",
        change("solutions", "starch 1 % w/v", make_within="2.5"),
        "Prepare",
        "make it within 4 hours before it is used, not before 10:00",
        "make it within 2.5 hours before it is used, not before 11:30",
    ),
    shown(
        "a weighing is as fine as the balance",
        setting("balance", "0.1 g"),
        "Make up",
        "| 35.18 g |",
        "| 35.2 g |",
    ),
    shown(
        "a small weighing is as fine as the analytical balance",
        setting("analytical_balance", "0.001 g"),
        "Make up",
        "| 0.5051 g |",
        "| 0.505 g |",
    ),
    case(
        "words",
        "a weighing below the smallest is a warning",
        setting("smallest_weighing", "5 g"),
        see=lambda sample: sample.warned("1,10-phenanthroline 0.1 % w/v", "less than 5 g"),
        before=0,
        after=1,
    ),
    case(
        "words",
        "a volume below the smallest is a warning",
        setting("smallest_volume", "30 mL"),
        see=lambda sample: sample.warned("sodium standard 20 ppm", "less than 30 mL"),
        before=0,
        after=1,
    ),
    case(
        "words",
        "what is due before the day begins is a warning",
        setting("day_begins", "14:30"),
        see=lambda sample: sample.warned("starch 1 % w/v", "before the day begins"),
        before=0,
        after=1,
    ),
)
