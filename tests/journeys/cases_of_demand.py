"""Rules 1 to 4: sets, need of a line, conversion, counted things."""

from typing import Final

from tests.journeys.sample import Case, case, change, gone, line, part, refused, setting

H, B, C, N, OXY, NA, CL, K = 1.008, 10.81, 12.011, 14.007, 15.999, 22.990, 35.45, 39.098
HCL: Final = H + CL
NABH4: Final = NA + B + 4 * H
BENZOPHENONE: Final = 13 * C + 10 * H + OXY
TERT_BUTANOL: Final = 4 * C + 10 * H + OXY
ACETONE: Final = 3 * C + 6 * H + OXY
WATER: Final = 2 * H + OXY

SETS: Final = (
    case(
        "1",
        "groups are students over the group size, rounded up",
        change("timetable", "W10-Mon-1", students="20"),
        see=lambda sample: sample.session("W10-Mon-1")["groups"],
        before=11,  # 21 / 2 = 10.5
        after=10,
    ),
    case(
        "1",
        "the last group gets a full set",
        change("timetable", "W10-Mon-3", students="22"),
        see=lambda sample: sample.need("W10-Mon-3", "copper(II) sulfate pentahydrate"),
        before=12 * 5 * 1.1,  # 23 students: the twelfth group is one student
        after=11 * 5 * 1.1,
    ),
    case(
        "1",
        "a demonstrator set is one more group",
        change("timetable", "W10-Mon-1", demonstrator_sets=""),
        see=lambda sample: sample.session("W10-Mon-1")["sets"],
        before=11 + 1,
        after=11,
    ),
    case(
        "1",
        "lines per student count the students of a demonstrator set",
        change("timetable", "W10-Mon-1", demonstrator_sets="2"),
        see=lambda sample: sample.need("W10-Mon-1", "nitrile gloves, pair, medium"),
        before=26,  # (21 + 2 × 1) × 1.1 = 25.3
        after=28,  # (21 + 2 × 2) × 1.1 = 27.5
    ),
    case(
        "1",
        "a line per session counts once, one per group counts sets",
        line("PHY-03", "rate", "acetone", per="group", spare="0 %"),
        see=lambda sample: sample.need("W10-Fri-3", "acetone"),
        before=500,
        after=500 * 9,
    ),
    case(
        "1",
        "a session's group size comes before its practical's",
        change("timetable", "W10-Fri-2", group_size=""),
        see=lambda sample: sample.need("W10-Fri-2", "sodium standard 20 ppm"),
        before=12 / 3 * 150 * 1.2,
        after=12 / 2 * 150 * 1.2,
    ),
    case(
        "1",
        "without a group size each student works alone",
        change("practicals", "INO-03", group_size="2"),
        see=lambda sample: sample.session("W10-Tue-4")["groups"],
        before=30,
        after=15,
    ),
    case(
        "1",
        "a session without students has no groups and no need, and is covered",
        change("timetable", "W10-Wed-4", students="24"),
        see=lambda sample: (
            sample.session("W10-Wed-4")["groups"],
            sample.state("W10-Wed-4"),
            round(sample.need("W10-Wed-4", "ice"), 9),
            sample.waste_on("contaminated solid", "2027-03-10") > 0,
            sample.other_end("drain", "g") > 45_000,
        ),
        before=(0, "covered", 0, True, False),
        after=(12, "make up", 12 * 2 * 400 * 1.1, True, True),
    ),
    case(
        "1",
        "no demonstrator set is laid out where nobody comes",
        change("timetable", "W10-Mon-1", students="0"),
        see=lambda sample: sample.session("W10-Mon-1")["sets"],
        before=12,
        after=0,
    ),
    case(
        "1",
        "a session before today is done and wants nothing",
        change("timetable", "W09-Tue-1", date="2027-03-03"),
        see=lambda sample: (
            sample.state("W09-Tue-1") == "done",
            sample.need("W09-Tue-1", "disodium EDTA 0.01 mol/L"),
        ),
        before=(True, 0),
        after=(False, 26 / 2 * 120 * 1.2),
        week="2027-W09",
    ),
)

NEEDS: Final = (
    case(
        "2",
        "a line's own spare comes before the setting",
        line("ORG-04", "work-up", "diethyl ether", spare=""),
        see=lambda sample: sample.need("W10-Tue-1", "diethyl ether"),
        before=3 * 15 * 11 * 1.35,
        after=3 * 15 * 11 * 1.25,
    ),
    case(
        "2",
        "a spare of 0 % is a spare that is given",
        line("ORG-04", "reduction", "sodium borohydride", spare=""),
        see=lambda sample: sample.need("W10-Tue-1", "sodium borohydride"),
        before=0.012 * NABH4 / 0.98 * 11,
        after=0.012 * NABH4 / 0.98 * 11 * 1.1,
    ),
    case(
        "2",
        "a line per session has no spare unless it says so",
        line("PHY-03", "rate", "acetone", spare="20 %"),
        see=lambda sample: sample.need("W10-Fri-3", "acetone"),
        before=500,
        after=500 * 1.2,
    ),
    case(
        "2",
        "a line per session has the spare that it says",
        line("ORG-03", "recrystallisation", "acetone", spare=""),
        see=lambda sample: sample.need("W10-Thu-3", "acetone"),
        before=250 * 1.2 + 0.58 / 0.791 * 12 * 1.25,
        after=250 + 0.58 / 0.791 * 12 * 1.25,
    ),
    case(
        "2",
        "a reagent has the spare of reagents",
        setting("spare reagent", "20 %"),
        see=lambda sample: sample.need("W10-Mon-3", "copper(II) sulfate pentahydrate"),
        before=12 * 5 * 1.1,
        after=12 * 5 * 1.2,
    ),
    case(
        "2",
        "a solution has the spare of solutions",
        setting("spare solution", "30 %"),
        see=lambda sample: sample.need("W10-Thu-4", "potassium iodide 0.2 mol/L"),
        before=11 * 80 * 1.2,
        after=11 * 80 * 1.3,
    ),
    case(
        "2",
        "a solvent has the spare of solvents",
        setting("spare solvent", ""),
        see=lambda sample: sample.need("W10-Tue-1", "methanol"),
        before=11 * 25 * 1.25,
        after=11 * 25 * 1.2,
    ),
    case(
        "2",
        "a consumable has the spare of consumables",
        setting("spare consumable", "20 %"),
        see=lambda sample: sample.need("W10-Tue-4", "nitrile gloves, pair, medium"),
        before=33,  # 30 × 1.1
        after=36,
    ),
    case(
        "2",
        "apparatus has the spare of apparatus",
        setting("spare apparatus", "10 %"),
        see=lambda sample: sample.apparatus("pH meter", "peak"),
        before=8,
        after=9,  # 8 × 1.1 = 8.8
    ),
    case(
        "2",
        "optional lines of a stage that is left out drop",
        change("timetable", "W10-Tue-1", leave_out=""),
        see=lambda sample: sample.need("W10-Tue-1", "infrared spectrometer"),
        before=0,
        after=11,
    ),
    case(
        "2",
        "several stages can be left out",
        change("timetable", "W10-Fri-1", leave_out="infrared; TLC"),
        see=lambda sample: (
            sample.need("W10-Fri-1", "TLC plate 4 x 8 cm"),
            sample.made("column eluent, heptane-ethyl acetate 4:1", "volume_mL"),
        ),
        before=(31, [2000]),  # 28 × 1.1 = 30.8; 8 × 150 × 1.25 + 14 × 10 × 1.2 = 1668
        after=(0, [1500]),
    ),
    case(
        "2",
        "a line that is not optional stays when its stage is left out",
        line("ORG-04", "infrared", "ethanol 96 %", optional=""),
        see=lambda sample: sample.need("W10-Tue-1", "ethanol 96 %"),
        before=0,
        after=11 * 1 * 1.25,
    ),
    case(
        "2",
        "a line is dropped with its own stage only",
        line("ORG-04", "infrared", "ethanol 96 %", stage=""),
        see=lambda sample: sample.need("W10-Tue-1", "ethanol 96 %"),
        before=0,
        after=11 * 1 * 1.25,
    ),
    refused(
        "2",
        "a stage without an optional line cannot be left out",
        change("timetable", "W10-Tue-1", leave_out="reduction"),
        code="stage-not-optional",
        says="no optional line in ORG-04",
    ),
    case(
        "2",
        "a replaced item is multiplied by the factor",
        change("replacements", "dichloromethane", factor="1"),
        see=lambda sample: sample.need("W10-Wed-1", "ethyl acetate"),
        before=12 * 3 * 20 * 1.25 * 1.3,
        after=12 * 3 * 20 * 1.3,
    ),
    case(
        "2",
        "what is not replaced is used as the script says",
        gone("replacements", "dichloromethane"),
        see=lambda sample: (
            sample.need("W10-Wed-1", "dichloromethane"),
            sample.need("W10-Wed-1", "ethyl acetate"),
        ),
        before=(0, 12 * 3 * 20 * 1.25 * 1.3),
        after=(12 * 3 * 20 * 1.3, 0),
    ),
    case(
        "2",
        "replacements are followed in chains, factors multiplied",
        change("replacements", "petroleum ether 40-60", factor="2"),
        see=lambda sample: sample.need("W10-Tue-1", "n-heptane"),
        before=11 * 20 * 1.1 * 1.25,
        after=11 * 20 * 2 * 1.1 * 1.25,
    ),
    case(
        "2",
        "in a chain the last end holds",
        change("replacements", "n-hexane", to="halogenated solvent"),
        see=lambda sample: sample.waste_on("halogenated solvent", "2027-03-09"),
        before=0,
        after=11 * 20 * 1.1 * 1.25,
    ),
    refused(
        "2",
        "a circle of replacements is an error",
        change("replacements", "n-hexane", replaced_by="petroleum ether 40-60"),
        code="replacement-circle",
    ),
    refused(
        "2",
        "where the formulas differ the factor must be given",
        change("replacements", "dichloromethane", factor=""),
        code="replacement-incomplete",
    ),
    case(
        "2",
        "replacements act on practical lines and not on parts of solutions",
        change("replacements", "dichloromethane", item="ethyl acetate", replaced_by="n-heptane"),
        see=lambda sample: (
            sample.need("W10-Thu-3", "ethyl acetate"),
            sample.part("column eluent, heptane-ethyl acetate 4:1", "ethyl acetate"),
        ),
        before=(12 * 15 * 1.25, 2000 / 5),
        after=(0, 2000 / 5),
    ),
    case(
        "2",
        "a replaced amount is read with the density of what replaces it",
        line("ORG-01", "extraction", "dichloromethane", amount="66 g"),
        see=lambda sample: sample.need("W10-Wed-1", "ethyl acetate"),
        before=12 * 3 * 20 * 1.25 * 1.3,
        after=12 * 66 / 0.902 * 1.25 * 1.3,
    ),
    case(
        "2",
        "a replaced amount has the spare of the kind of what replaces it",
        change("items", "n-heptane", kind="reagent"),
        see=lambda sample: sample.need("W10-Tue-1", "n-heptane"),
        before=11 * 20 * 1.1 * 1.25,
        after=11 * 20 * 1.1 * 1.1,
    ),
)

CONVERSIONS: Final = (
    case(
        "3",
        "portions are multiplied",
        line("ORG-04", "work-up", "diethyl ether", amount="3 x 10 mL"),
        see=lambda sample: sample.need("W10-Tue-1", "diethyl ether"),
        before=3 * 15 * 11 * 1.35,
        after=3 * 10 * 11 * 1.35,
    ),
    case(
        "3",
        "sums are added",
        line("ORG-03", "reaction", "ethanol 96 %", amount="20 mL"),
        see=lambda sample: sample.need("W10-Thu-3", "ethanol 96 %"),
        before=(20 + 2 * 10) * 12 * 1.15,
        after=20 * 12 * 1.15,
    ),
    case(
        "3",
        "an item's own measures have its own sizes",
        change("items", "magnesium sulfate, anhydrous", measures="scoop = 3 g"),
        see=lambda sample: sample.need("W10-Tue-1", "magnesium sulfate, anhydrous"),
        before=2 * 2 * 11 * 1.1,
        after=2 * 3 * 11 * 1.1,
    ),
    refused(
        "3",
        "a measure that the item does not have is an error",
        change("items", "magnesium sulfate, anhydrous", measures=""),
        code="no-route",
        says="scoop",
    ),
    case(
        "3",
        "mol of a solid is divided by its strength",
        change("items", "benzophenone", strength="95 % w/w"),
        see=lambda sample: sample.need("W10-Tue-1", "benzophenone"),
        before=0.010 * BENZOPHENONE / 0.99 * 11 * 1.05,
        after=0.010 * BENZOPHENONE / 0.95 * 11 * 1.05,
    ),
    case(
        "3",
        "what is kept in g without a strength is pure",
        change("items", "benzophenone", strength=""),
        see=lambda sample: sample.need("W10-Tue-1", "benzophenone"),
        before=0.010 * BENZOPHENONE / 0.99 * 11 * 1.05,
        after=0.010 * BENZOPHENONE * 11 * 1.05,
    ),
    case(
        "3",
        "mol is turned to g by the molar mass of the formula",
        change("items", "benzophenone", formula="C13H12O"),
        see=lambda sample: sample.need("W10-Tue-1", "benzophenone"),
        before=0.010 * BENZOPHENONE / 0.99 * 11 * 1.05,
        after=0.010 * (BENZOPHENONE + 2 * H) / 0.99 * 11 * 1.05,
    ),
    case(
        "3",
        "mol of a concentrated acid goes by strength and density",
        change("items", "hydrochloric acid, concentrated", strength="36 % w/w"),
        see=lambda sample: sample.need("W10-Mon-1", "hydrochloric acid, concentrated"),
        before=0.300 * HCL / 0.37 / 1.18 * 12 * 1.1,
        after=0.300 * HCL / 0.36 / 1.18 * 12 * 1.1,
    ),
    case(
        "3",
        "mol of a liquid goes by density",
        change("items", "2-methylpropan-2-ol", density="0.8"),
        see=lambda sample: sample.need("W10-Mon-1", "2-methylpropan-2-ol"),
        before=0.100 * TERT_BUTANOL / 0.99 / 0.781 * 12 * 1.05,
        after=0.100 * TERT_BUTANOL / 0.99 / 0.8 * 12 * 1.05,
    ),
    case(
        "3",
        "a mass of a liquid is turned by density, as supplied; mol is corrected for strength",
        line("ORG-03", "reaction", "acetone", amount="10 mmol"),
        see=lambda sample: sample.need("W10-Thu-3", "acetone"),
        before=250 * 1.2 + 0.58 / 0.791 * 12 * 1.25,
        after=250 * 1.2 + 0.010 * ACETONE / 0.995 / 0.791 * 12 * 1.25,
    ),
    refused(
        "3",
        "a mass of a liquid without density is an error that names what is missing",
        change("items", "acetone", density=""),
        code="no-route",
        says="density",
    ),
    refused(
        "3",
        "mol of what is kept in mL without a strength is an error",
        change("items", "hydrochloric acid, concentrated", strength=""),
        code="no-route",
        says="strength",
    ),
    refused(
        "3",
        "mol of something without a formula is an error",
        change("items", "benzophenone", formula=""),
        code="no-route",
        says="formula",
    ),
    refused(
        "3",
        "a strength in % v/v has no mol route",
        line("ORG-04", "infrared", "ethanol 96 %", amount="10 mmol"),
        code="no-route",
        says="96 % v/v",
    ),
    case(
        "3",
        "100 % v/v counts as 100 % w/w",
        line("ORG-02", "work-up", "deionised water", amount="1 mol"),
        see=lambda sample: sample.need("W10-Mon-1", "deionised water"),
        before=20 * 12 * 1.25,
        after=WATER / 0.998 * 12 * 1.25,
    ),
    case(
        "3",
        "mol of a solution goes through its molarity, that of its only part in mol/L",
        line("ORG-04", "work-up", "hydrochloric acid 2 mol/L", amount="60 mmol"),
        see=lambda sample: sample.need("W10-Tue-1", "hydrochloric acid 2 mol/L"),
        before=20 * 11 * 1.2,
        after=60 / 2 * 11 * 1.2,
    ),
    case(
        "3",
        "a solution made from a solution goes by the strength of that one's part",
        part("sodium hydroxide 2 mol/L", "sodium hydroxide, pellets", amount="2.5 mol/L"),
        see=lambda sample: sample.part("sodium hydroxide 0.1 mol/L", "sodium hydroxide 2 mol/L"),
        before=7500 * 0.1 / 2,
        after=7500 * 0.1 / 2.5,
    ),
    refused(
        "3",
        "a solution with no part given by substance has no strength",
        line("PHY-02", "buffers", "phosphate buffer pH 7.0", amount="10 mmol"),
        code="no-route",
        says="strength",
    ),
    refused(
        "3",
        "a solution with several parts given by substance has no strength",
        part("iron standard 200 ppm", "sulfuric acid 3 mol/L", amount="0.06 mol/L"),
        code="no-route",
        says="strength",
    ),
)

COUNTED: Final = (
    case(
        "4",
        "counted things are rounded up to whole",
        line("ORG-02", "distillation", "sample vial 20 mL", spare="5 %"),
        see=lambda sample: sample.need("W10-Mon-1", "sample vial 20 mL"),
        before=14,  # 12 × 1.1 = 13.2
        after=13,  # 12 × 1.05 = 12.6
    ),
    case(
        "4",
        "lines of one counted thing are added before they are rounded",
        line("ORG-03", "recrystallisation", "filter paper 70 mm", amount="2 each"),
        see=lambda sample: sample.need("W10-Thu-3", "filter paper 70 mm"),
        before=27,  # 13.2 + 13.2 = 26.4; each rounded would be 14 + 14
        after=40,  # 13.2 + 26.4 = 39.6; each rounded would be 14 + 27
    ),
    case(
        "4",
        "measured things are not rounded",
        change("stock", "L0157", amount="50 g"),
        see=lambda sample: sample.stock("potassium oxalate monohydrate")["short"],
        before=300 * 0.25 / 0.99 - 40,
        after=300 * 0.25 / 0.99 - 50,
    ),
    case(
        "4",
        "arithmetic is exact, so a whole result is not rounded up",
        change("items", "rotary evaporator", minutes_per_use="22.5"),
        see=lambda sample: sample.apparatus("rotary evaporator", "peak"),
        before=5,  # 14 × 16 / 45 = 4.98
        after=7,  # 14 × 22.5 / 45 = 7
    ),
)

MEASURES: Final = (
    case(
        "3",
        "a solution has measures of its own",
        change("solutions", "silver nitrate 0.1 mol/L", measures="drop = 0.05 mL"),
        see=lambda sample: sample.need("W10-Mon-1", "silver nitrate 0.1 mol/L"),
        before=12 * 25 * 0.04 * 1.2,
        after=12 * 25 * 0.05 * 1.2,
    ),
    case(
        "3",
        "a drop is that of the setting where the item has none",
        setting("drop", "0.04 mL"),
        see=lambda sample: sample.need("W10-Tue-4", "ammonia solution, concentrated"),
        before=30 * 20 * 0.05 * 1.1,
        after=30 * 20 * 0.04 * 1.1,
    ),
)

CASES: Final[tuple[Case, ...]] = (*SETS, *NEEDS, *CONVERSIONS, *MEASURES, *COUNTED)
