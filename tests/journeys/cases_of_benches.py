"""Rules 11 and 12: waste and apparatus."""

from typing import Final

from tests.journeys.sample import Case, case, change, line, refused

HALOGENATED: Final = 9 * 1 * 1.1 + 9 * 100 * 1.2 * 0.95 + 500 * 0.5
SILVER: Final = (
    12 * 1 * 1.2  # W10-Mon-1
    + 30 * (3 + 2 + 5) * 1.2  # W10-Tue-4: silver nitrate, nitric acid, ammonia
    + 30 * 20 * 0.05 * 1.1  # concentrated ammonia by the drop
    + 30 * 0.1 * 1.1 / 2.16  # sodium chloride, by density
)
ALKALINE_ON_WEDNESDAY: Final = 12 * 80 * 1.2 + 14 * 15 * 1.2

WASTE: Final = (
    case(
        "11",
        "a share of what a line allows for ends in a stream",
        line("PHY-03", "rate", "acetone", to="halogenated solvent 80 %; air 20 %"),
        see=lambda sample: sample.waste("halogenated solvent", "allow_for"),
        before=HALOGENATED,
        after=HALOGENATED + 500 * 0.3,
    ),
    case(
        "11",
        "what is expected is without spare, what is allowed for with it",
        line("PHY-03", "rate", "acetone", spare="20 %"),
        see=lambda sample: (
            sample.waste("halogenated solvent", "expected"),
            sample.waste("halogenated solvent", "allow_for"),
        ),
        before=(9 + 9 * 100 * 0.95 + 250, HALOGENATED),
        after=(9 + 9 * 100 * 0.95 + 250, HALOGENATED + 500 * 0.2 * 0.5),
    ),
    case(
        "11",
        "kept, air and drain are known ends",
        line("ORG-03", "reaction", "deionised water", to="drain"),
        see=lambda sample: sample.waste_on("aqueous alkaline", "2027-03-11"),
        before=12 * (25 * 1.2 + 40 * 1.15 * 0.5 + 100 * 1.25),
        after=12 * (25 * 1.2 + 40 * 1.15 * 0.5),
    ),
    case(
        "11",
        "a replacing item ends where the replacement says",
        change("replacements", "dichloromethane", to="aqueous organic washings"),
        see=lambda sample: sample.waste("aqueous organic washings", "allow_for"),
        # 12 sets x 10 g x 1.1 of drying agent hold back 0.4 mL a gram of what goes to streams.
        before=1170 * 0.08 - 52.8 * 8 / 88,
        after=1170 - 52.8,
    ),
    case(
        "11",
        "a volume stream takes mass by density",
        change("items", "sodium chloride", density="2"),
        see=lambda sample: sample.waste_on("aqueous alkaline", "2027-03-10"),
        before=ALKALINE_ON_WEDNESDAY + 12 * 5 * 1.1 / 2.16,
        after=ALKALINE_ON_WEDNESDAY + 12 * 5 * 1.1 / 2,
    ),
    case(
        "11",
        "a mass stream takes volume by density, and without one counts nothing and names it",
        change("solutions", "column eluent, heptane-ethyl acetate 4:1", density=""),
        see=lambda sample: (
            sample.waste_on("contaminated solid", "2027-03-11"),
            sample.warned("contaminated solid", "column eluent"),
        ),
        before=(
            8 * (10 + 2 + 25 + 4 + 0.5) * 1.1 + 8 * (20 * 0.1 * 0.791 + 150 * 0.15 * 0.73) * 1.25,
            0,
        ),
        after=(8 * (10 + 2 + 25 + 4 + 0.5) * 1.1 + 8 * 20 * 0.1 * 0.791 * 1.25, 1),
    ),
    case(
        "11",
        "a solid without density counts nothing in a volume stream and is named",
        change("items", "potassium bromide", density="2.75"),
        see=lambda sample: (
            sample.waste("silver residues", "allow_for"),
            sample.warned("silver residues", "potassium bromide"),
        ),
        before=(SILVER, 1),
        after=(SILVER + 30 * 0.1 * 1.1 / 2.75, 0),
    ),
    case(
        "11",
        "a solvent whose end no script states is not assigned",
        line("INO-01", "isolation", "acetone", to="non-halogenated solvent"),
        see=lambda sample: sample.waste("not assigned", "allow_for", "mL"),
        before=12 * 10 * 1.25,
        after=0,
    ),
    case(
        "11",
        "what is not assigned has a row a unit",
        line(
            "ANA-02", "titration", "mordant black 11 triturate (1 % in sodium chloride)", to="drain"
        ),
        see=lambda sample: sample.waste("not assigned", "allow_for", "g"),
        before=14 * 6 * 0.1 * 1.1 + 8 * 2 * 1.1,
        after=8 * 2 * 1.1,
    ),
    case(
        "11",
        "containers count what is in the open one",
        change("waste_streams", "halogenated solvent", part_full="3.2 L"),
        see=lambda sample: sample.waste("halogenated solvent", "containers"),
        before=2,  # (3400 + 1285.9) / 4500
        after=1,  # (3200 + 1285.9) / 4500
    ),
    case(
        "11",
        "containers go by the size of one",
        change("waste_streams", "halogenated solvent", container="2 L"),
        see=lambda sample: sample.waste("halogenated solvent", "containers"),
        before=2,
        after=3,  # 4685.9 / 1800
    ),
    case(
        "11",
        "containers are filled to their limit",
        change("waste_streams", "silver residues", fill_limit="90 %"),
        see=lambda sample: sample.waste("silver residues", "containers"),
        before=2,  # (1200 + 408.9) / 1600
        after=1,  # of 1800
    ),
    case(
        "11",
        "without a limit containers are filled to 90 %",
        change("waste_streams", "halogenated solvent", fill_limit="95 %"),
        see=lambda sample: sample.waste("halogenated solvent", "containers"),
        before=2,
        after=1,  # 4685.9 of 4750
    ),
    case(
        "11",
        "full_on is the day on which a filling is reached",
        change("waste_streams", "halogenated solvent", part_full="4.5 L"),
        see=lambda sample: sample.waste("halogenated solvent", "full_on"),
        before=["2027-03-12"],
        after=["2027-03-03"],
    ),
    case(
        "11",
        "a stream without a container has no containers",
        change("waste_streams", "aqueous organic washings", container="5 L"),
        see=lambda sample: sample.waste("aqueous organic washings", "containers"),
        before=0,
        after=1,
    ),
    case(
        "12",
        "too few empty waste containers are a warning",
        change("waste_streams", "non-halogenated solvent", empty_containers="2"),
        see=lambda sample: sample.warned("non-halogenated solvent", "containers are needed"),
        before=1,  # three wanted, the open one and one empty in hand
        after=0,
    ),
    refused(
        "11",
        "an end that is no stream is an error",
        line("PHY-03", "rate", "acetone", to="sewer"),
        code="stream-unknown",
        says="sewer",
    ),
    refused(
        "11",
        "shares add up to 100 %",
        line("PHY-03", "rate", "acetone", to="halogenated solvent 50 %; air 40 %"),
        code="shares-do-not-add-up",
        says="90 %",
    ),
    refused(
        "11",
        "apparatus has no end",
        line("PHY-03", "rate", "stopclock", to="drain"),
        code="apparatus-to",
    ),
)

APPARATUS: Final = (
    case(
        "12",
        "apparatus is held until it can be set out again",
        change("items", "burette 50 mL", turnaround="30"),
        see=lambda sample: sample.apparatus("burette 50 mL", "peak"),
        before=39 + 8 * 2,  # until 13:00 and an hour; the next begins at 13:30
        after=39,
    ),
    case(
        "12",
        "apparatus is held from the start",
        change("timetable", "W10-Tue-3", start="14:00"),
        see=lambda sample: sample.apparatus("burette 50 mL", "peak"),
        before=39 + 8 * 2,
        after=39,
    ),
    case(
        "12",
        "apparatus is held until the end",
        change("timetable", "W10-Tue-2", end="12:30"),
        see=lambda sample: sample.apparatus("burette 50 mL", "peak"),
        before=39 + 8 * 2,
        after=39,
    ),
    refused(
        "12",
        "an end is after the start",
        change("timetable", "W10-Tue-2", end="09:00"),
        code="end-before-start",
    ),
    case(
        "12",
        "without times apparatus is held all day",
        change("timetable", "W10-Fri-2", start="09:00", end="17:00"),
        see=lambda sample: sample.apparatus("volumetric flask 100 mL", "at"),
        before="2027-03-12T00:00",
        after="2027-03-12T09:00",
    ),
    case(
        "12",
        "the peak of the sum is held against what there is, and what is short is a warning",
        change("timetable", "W10-Thu-1", students="20"),
        see=lambda sample: (
            sample.apparatus("stirrer hotplate", "peak"),
            sample.apparatus("stirrer hotplate", "short"),
            sample.warned("stirrer hotplate"),
        ),
        before=(12 + 12, 24 - 22, 1),
        after=(10 + 12, 0, 0),
    ),
    case(
        "12",
        "held is what is usable on the first day",
        change("stock", "L0310", expiry="2027-03-07"),
        see=lambda sample: sample.apparatus("burette 50 mL", "held"),
        before=50,
        after=0,
    ),
    case(
        "12",
        "a shared instrument is wanted so many times that all are served within the time",
        line("ORG-04", "work-up", "rotary evaporator", within="60"),
        see=lambda sample: sample.apparatus("rotary evaporator", "peak"),
        before=5,  # 14 × 16 / 45 = 4.98
        after=4,  # 14 × 16 / 60 = 3.73
    ),
    case(
        "12",
        "an instrument that is not shared goes out one a use",
        change("items", "rotary evaporator", minutes_per_use=""),
        see=lambda sample: sample.apparatus("rotary evaporator", "peak"),
        before=5,
        after=14,
    ),
    case(
        "12",
        "without a time it serves during the session",
        change("items", "infrared spectrometer", minutes_per_use="60"),
        see=lambda sample: sample.apparatus("infrared spectrometer", "peak"),
        before=1,  # 14 × 5 / 360
        after=3,  # 14 × 60 / 360 = 2.33
    ),
    case(
        "12",
        "with neither time it is not computed, and named",
        line("ANA-05", "sample", "analytical balance", within="60"),
        see=lambda sample: sample.warned("analytical balance", "W10-Fri-2"),
        before=1,
        after=0,
    ),
    case(
        "12",
        "lines of one instrument are added before rounding",
        line("ANA-05", "sample", "flame photometer", within="30"),
        see=lambda sample: sample.apparatus("flame photometer", "peak"),
        before=1,  # 4 × 10 / 120 twice is 0.67; each rounded would be 1 + 1
        after=2,  # 4 × 10 / 120 + 4 × 10 / 30 = 1.67
    ),
    case(
        "12",
        "two sessions at once in one room are a warning",
        change("timetable", "W10-Wed-3", room="South Lab"),
        see=lambda sample: sample.warned("W10-Wed-3", "W10-Wed-2"),
        before=1,
        after=0,
    ),
    case(
        "12",
        "sessions of which one begins when the other ends do not clash",
        change("timetable", "W10-Wed-3", start="12:30"),
        see=lambda sample: sample.warned("W10-Wed-3"),
        before=1,
        after=0,
    ),
    case(
        "12",
        "a session without students clashes with none",
        change("timetable", "W10-Wed-2", students="0"),
        see=lambda sample: sample.warned("W10-Wed-3"),
        before=1,
        after=0,
    ),
)

CASES: Final[tuple[Case, ...]] = (*WASTE, *APPARATUS)
