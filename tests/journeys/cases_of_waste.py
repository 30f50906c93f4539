"""What is in the waste, what is held back and left over; what a substance is classified by."""

from typing import Final

from tests.journeys.sample import Case, Edit, Sample, case, change, kept, line, refused, setting


def limit(item: str, class_: str, /, **cells: str) -> Edit:
    """Return a change to a hazard limit; `from_` is the column `from`."""
    named = {name.rstrip("_"): text for name, text in cells.items()}
    return Edit("hazard_limits", {"item": item, "class": class_}, named)


def _calls(sample: Sample) -> list[tuple[str, str, str]]:
    """Return for which stream a collection must have come by which day, and be called by which."""
    calls = sample.plan.collections
    return [(call.stream, str(call.by), str(call.call_by)) for call in calls]


CASES: Final[tuple[Case, ...]] = (
    case(
        "11",
        "what is in group 17 is halogenated",
        change("items", "2-chloro-2-methylpropane", group="14"),
        see=lambda sample: sample.waste("halogenated solvent", "halogenated_percent"),
        before=100 * 9 / 1114,  # 9 mL of 1114 mL
        after=0,
    ),
    refused(
        "11",
        "a group that the EPA's chart does not have is an error",
        change("items", "chloroform-d", group="170"),
        code="group-unknown",
        says="1 to 34 and 101 to 107",
    ),
    case(
        "11",
        "a paper holds back so much, papers with spare being whole",
        change("items", "filter paper 70 mm", retention="0.5 mL"),
        see=lambda sample: sample.balance("W10-Thu-3", "ethyl acetate", "held_back"),
        before=(3.6, 4.2),  # 12 papers, with spare 13.2 and so 14
        after=(6, 7),
    ),
    case(
        "11",
        "a drying agent holds back a liquid of the same practical",
        line("ORG-04", "work-up", "magnesium sulfate, anhydrous", holds_back=""),
        see=lambda sample: sample.balance("W10-Tue-1", "diethyl ether", "held_back"),
        before=(26.4, 29.04),  # 11 sets x 4 g x 0.6 mL, with 10 % spare
        after=(0, 0),
    ),
    refused(
        "11",
        "a retention is a volume of liquid",
        change("items", "filter paper 70 mm", retention="0.3 g"),
        code="volume-unreadable",
    ),
    refused(
        "words",
        "how many hydrogen ions an acid gives must be said",
        change("items", "sulfuric acid, concentrated", acid_or_base="strong acid"),
        code="acid-or-base-unreadable",
        says="strong acid 1",
    ),
    case(
        "11",
        "what is left of a batch goes to its stream on its last day",
        change("solutions", "iron standard 20 ppm", to=""),
        see=lambda sample: sample.waste_on("heavy metal solution", "2027-03-09"),
        before=136,  # 1000 mL made, 864 mL wanted
        after=0,
    ),
    refused(
        "11",
        "what is left of a batch goes to a stream that there is",
        change("solutions", "iron standard 20 ppm", to="heavy metals"),
        code="stream-unknown",
        says="heavy metal solution",
    ),
    refused(
        "words",
        "a pH has a range",
        change("solutions", "ammonia buffer pH 10", pH="100"),
        code="number-out-of-range",
        says="pH",
    ),
    refused(
        "words",
        "a flash point is a number of °C",
        change("solutions", "ethanol 70 % v/v", flash_point="cold"),
        code="number-unreadable",
    ),
    refused(
        "words",
        "a viscosity is above nothing",
        change("solutions", "column eluent, heptane-ethyl acetate 4:1", viscosity="0"),
        code="number-zero",
    ),
    refused(
        "11",
        "an agent holds back a liquid of its own practical",
        line("ORG-04", "work-up", "magnesium sulfate, anhydrous", holds_back="acetone"),
        code="holds-back-unused",
        says="ORG-04",
    ),
    refused(
        "hazard",
        "a limit begins before it ends",
        limit("silver nitrate", "Skin Irrit. 2", from_="5 %"),
        code="limits-crossed",
    ),
    refused(
        "hazard",
        "a limit ends after it begins",
        limit("silver nitrate", "Skin Irrit. 2", below="1"),
        code="limits-crossed",
    ),
    refused(
        "hazard",
        "an M-factor is a number",
        limit("silver nitrate", "Aquatic Acute 1", m_factor="M = 10"),
        code="number-unreadable",
    ),
    refused(
        "hazard",
        "an acute toxicity estimate is above nothing",
        limit("1,10-phenanthroline monohydrate", "Acute Tox. 3", ate="0"),
        code="number-zero",
    ),
    refused(
        "hazard",
        "what is breathed in is a gas, a vapour or a mist",
        limit("disodium EDTA dihydrate", "Acute Tox. 4", form="dust"),
        code="word-unknown",
        says="mist",
    ),
    kept(
        "hazard",
        "the source of a hazard limit is kept",
        limit("silver nitrate", "Ox. Sol. 2", source="sheet of 2026-11-02"),
        "H272,,,,,,,the supplier's",
        "sheet of 2026-11-02",
    ),
    refused(
        "hazard",
        "a row holds from a day that exists",
        limit("disodium EDTA dihydrate", "STOT RE 2", in_force="2020-02-30"),
        code="date-unreadable",
    ),
    case(
        "11",
        "a collection is called so many working days before the last container is full",
        setting("collection_lead", "3"),
        see=_calls,
        before=[
            ("non-halogenated solvent", "2027-03-11", "2027-03-03"),  # the 5th is a holiday
            ("", "2027-03-18", "2027-03-11"),
        ],
        after=[("non-halogenated solvent", "2027-03-11", "2027-03-08")],
    ),
    case(
        "11",
        "more waste than may be held calls for a collection",
        setting("waste_most_held", "20 L"),
        see=lambda sample: _calls(sample)[0],  # 22.6 L are there already
        before=("non-halogenated solvent", "2027-03-11", "2027-03-03"),
        after=("", "2027-03-03", "2027-02-24"),
    ),
    refused(
        "11",
        "a container may stay for a day at least",
        setting("waste_longest", "0"),
        code="count-unreadable",
    ),
)
