"""Rules 5 to 7: made-up stock first, batches, parts of a batch."""

from typing import Final

from tests.journeys.sample import Case, case, change, gone, line, part, refused, setting

H, C, OXY, NA, S, K, CU, IOD = 1.008, 12.011, 15.999, 22.990, 32.06, 39.098, 63.546, 126.90
WATER: Final = 2 * H + OXY
KI: Final = K + IOD
H2O2: Final = 2 * H + 2 * OXY
H2SO4: Final = 2 * H + S + 4 * OXY
NA2CO3: Final = 2 * NA + C + 3 * OXY
BLUE_COPPER: Final = CU + S + 4 * OXY + 5 * WATER
ELUENT: Final = "column eluent, heptane-ethyl acetate 4:1"
THIOSULFATE: Final = "sodium thiosulfate 0.05 mol/L"

STOCK_FIRST: Final = (
    case(
        "5",
        "a session takes what is made up already before anything is made",
        change("stock", "S27-055", amount="30 mL"),
        see=lambda sample: (
            sample.lots("phenolphthalein indicator 1 % w/v"),
            sample.made("phenolphthalein indicator 1 % w/v", "volume_mL"),
        ),
        before=({"S27-055": 15}, [50]),  # 39 × 0.5 × 1.2 = 23.4
        after=({"S27-055": 23.4}, []),
    ),
    case(
        "5",
        "of a solution only usable lots are taken",
        change("stock", "S27-042", state="usable"),
        see=lambda sample: sample.lots("silver nitrate 0.1 mol/L"),
        before={"S27-043": 122.4},  # 12 × 1 × 1.2 + 30 × 3 × 1.2
        after={"S27-042": 100, "S27-043": 22.4},
    ),
    case(
        "5",
        "of a solution only lots in date are taken",
        change("stock", "S27-053", expiry="2027-09-01"),
        see=lambda sample: len(sample.batches("hydroxylamine hydrochloride 100 g/L")),
        before=1,
        after=0,  # 12 × 8 × 1.2 = 115.2 of 180
    ),
    case(
        "5",
        "a lot is in date on its last day and not after",
        change("stock", "S27-054", expiry="2027-03-08"),
        see=lambda sample: (sample.lots(ELUENT), sample.state("W10-Tue-1")),
        before=({"S27-054": 132}, "covered"),  # 11 × 10 × 1.2
        after=({}, "make up"),
    ),
    case(
        "5",
        "a solution is never short: what stock does not give is made",
        gone("stock", "S27-048"),
        see=lambda sample: (
            sample.stock("disodium hydrogen phosphate 0.2 mol/L")["short"],
            sample.made("disodium hydrogen phosphate 0.2 mol/L", "volume_mL"),
        ),
        before=(0, [500]),  # 8 × 60 × 1.2 + 305 - 600 = 281
        after=(0, [1000]),
    ),
)

BATCHES: Final = (
    case(
        "6",
        "a batch is rounded up to the step",
        change("solutions", "disodium EDTA 0.01 mol/L", step=""),
        see=lambda sample: sample.made("disodium EDTA 0.01 mol/L", "volume_mL"),
        before=[2500],  # 14 × 120 × 1.2 = 2016
        after=[3000],
    ),
    case(
        "6",
        "without a step a batch fills the next flask of 50, 100, 250, 500 mL",
        change("stock", "S27-050", amount="250 mL"),
        see=lambda sample: sample.made("copper standard 1000 ppm", "volume_mL"),
        before=[500],  # 500 - 200 = 300
        after=[250],
    ),
    case(
        "6",
        "above 500 mL a batch without a step is made in whole litres",
        change("timetable", "W10-Mon-2", students="48"),
        see=lambda sample: sample.made("iron standard 20 ppm", "volume_mL"),
        before=[1000],  # 12 × 60 × 1.2 = 864
        after=[2000],  # 24 × 60 × 1.2 = 1728
    ),
    case(
        "6",
        "sessions join a batch while it keeps",
        change("solutions", THIOSULFATE, shelf_life="7"),
        see=lambda sample: sample.made(THIOSULFATE, "sessions"),
        before=[["W09-Thu-3", "W10-Thu-4"]],
        after=[["W10-Thu-4"]],  # made on 3 March, it keeps until the 10th
    ),
    case(
        "6",
        "without a shelf life a solution keeps",
        change("solutions", "potassium iodide 0.2 mol/L", shelf_life=""),
        see=lambda sample: sample.made("potassium iodide 0.2 mol/L", "use_by"),
        before=["2027-03-17"],
        after=[None],
    ),
    case(
        "6",
        "a batch stays within the largest vessel",
        change("solutions", THIOSULFATE, largest_batch="500 mL"),
        see=lambda sample: (
            sample.made(THIOSULFATE, "sessions"),
            sample.made(THIOSULFATE, "makings"),
        ),
        before=([["W09-Thu-3", "W10-Thu-4"]], [1]),  # 384 + 528 = 912
        after=([["W10-Thu-4"]], [2]),  # 528 makes 1000
    ),
    case(
        "6",
        "the rounded-up volume stays within the largest vessel too",
        change("solutions", ELUENT, largest_batch="1.8 L"),
        see=lambda sample: sample.made(ELUENT, "volume_mL"),
        before=[2000],  # 1500 + 168 = 1668 would fit 1.8 L, 2000 does not
        after=[1500, 500],
    ),
    case(
        "6",
        "a need above the largest vessel is made in several makings",
        change("solutions", "sodium hydroxide 0.1 mol/L", largest_batch="10 L"),
        see=lambda sample: sample.made("sodium hydroxide 0.1 mol/L", "makings"),
        before=[2],  # 39 × 150 × 1.2 = 7020, so 7500 of 5000
        after=[1],
    ),
    case(
        "6",
        "no other session joins a batch above the largest vessel",
        change("timetable", "W10-Tue-3", practical="ANA-01"),
        see=lambda sample: sample.made("sodium hydroxide 0.1 mol/L", "sessions"),
        before=[["W10-Tue-2"]],
        after=[["W10-Tue-2"], ["W10-Tue-3"]],
    ),
    case(
        "6",
        "what does not keep is made for each session on its day",
        change("solutions", "hydrogen peroxide 1 vol", shelf_life="30"),
        see=lambda sample: (
            sample.made("hydrogen peroxide 1 vol", "sessions"),
            sample.made("hydrogen peroxide 1 vol", "make_on"),
        ),
        before=([["W10-Thu-4"]], ["2027-03-11"]),
        after=([["W09-Thu-3", "W10-Thu-4"]], ["2027-03-03"]),
    ),
    case(
        "6",
        "a part that does not keep is made for each batch, on the same day",
        change("solutions", "hydrogen peroxide 20 vol", shelf_life="0"),
        see=lambda sample: (
            sample.made("hydrogen peroxide 20 vol", "sessions"),
            sample.made("hydrogen peroxide 20 vol", "make_on"),
        ),
        before=([["W09-Thu-3", "W10-Thu-1", "W10-Thu-4"]], ["2027-03-03"]),
        after=([["W10-Thu-4"], ["W10-Thu-1"]], ["2027-03-11", "2027-03-11"]),
    ),
    case(
        "6",
        "a batch is made the prep lead before its first session",
        setting("prep_lead", "2"),
        see=lambda sample: sample.made(ELUENT, "make_on"),
        before=["2027-03-10"],  # for Thursday the 11th
        after=["2027-03-09"],
    ),
    case(
        "6",
        "what would not last over the weekend is made on the day itself",
        change("solutions", "iron standard 20 ppm", shelf_life="4"),
        see=lambda sample: sample.made("iron standard 20 ppm", "make_on"),
        before=["2027-03-08"],  # Thursday 4 + 1 is before Monday 8, and Sunday 7 no working day
        after=["2027-03-04"],
    ),
    case(
        "6",
        "what would not last is made on the first working day from which it does",
        change("solutions", "iron standard 20 ppm", shelf_life="3"),
        setting("holidays", ""),
        setting("prep_lead", "2"),
        see=lambda sample: sample.made("iron standard 20 ppm", "make_on"),
        before=["2027-03-08"],
        after=["2027-03-05"],  # 8 - 3; two working days before the 8th would be the 4th
    ),
    case(
        "6",
        "a make-day before today is today",
        setting("prep_lead", "2"),
        see=lambda sample: (
            sample.made("acetate buffer pH 4.6", "make_on"),
            sample.made("acetic acid 0.2 mol/L", "make_on"),
        ),
        before=(["2027-03-04"], ["2027-03-03"]),
        after=(["2027-03-03"], ["2027-03-03"]),
    ),
    case(
        "6",
        "a part that is a solution is made one working day before the batch that wants it",
        change("timetable", "W10-Wed-3", date="2027-03-11"),
        see=lambda sample: (
            sample.made("copper standard 500 ppm", "make_on"),
            sample.made("copper standard 1000 ppm", "make_on"),
        ),
        before=(["2027-03-09"], ["2027-03-08"]),
        after=(["2027-03-10"], ["2027-03-09"]),
    ),
    case(
        "6",
        "a part that is a solution is taken from stock first",
        gone("stock", "S27-049"),
        see=lambda sample: (
            sample.lots("disodium EDTA 0.1 mol/L"),
            sample.made("disodium EDTA 0.1 mol/L", "volume_mL"),
        ),
        before=({"S27-049": 250}, []),
        after=({}, [250]),
    ),
    case(
        "6",
        "the parts of a batch are needed on its make-day",
        change("timetable", "W10-Thu-1", date="2027-03-12"),
        see=lambda sample: sample.ordered("potassium oxalate monohydrate", "needed_by"),
        before=["2027-03-10"],
        after=["2027-03-11"],
    ),
)

PARTS: Final = (
    case(
        "7",
        "mol/L is weighed by molar mass, divided by strength",
        part("potassium iodide 0.2 mol/L", "potassium iodide", amount="0.1 mol/L"),
        see=lambda sample: sample.part("potassium iodide 0.2 mol/L", "potassium iodide"),
        before=1.25 * 0.2 * KI / 0.99,  # 11 × 80 × 1.2 = 1056, in steps of 250
        after=1.25 * 0.1 * KI / 0.99,
    ),
    case(
        "7",
        "M is mol/L",
        part("sulfuric acid 0.5 mol/L", "sulfuric acid 3 mol/L", amount="0.75 M"),
        see=lambda sample: sample.part("sulfuric acid 0.5 mol/L", "sulfuric acid 3 mol/L"),
        before=1000 * 0.5 / 3,
        after=1000 * 0.75 / 3,
    ),
    case(
        "7",
        "g/L is weighed, divided by strength",
        part("potassium oxalate 300 g/L", "potassium oxalate monohydrate", amount="200 g/L"),
        see=lambda sample: sample.part(
            "potassium oxalate 300 g/L", "potassium oxalate monohydrate"
        ),
        before=0.25 * 300 / 0.99,
        after=0.25 * 200 / 0.99,
    ),
    case(
        "7",
        "the strength of the bottle divides what is weighed",
        change("items", "hydroxylamine hydrochloride", strength="90 % w/w"),
        see=lambda sample: sample.part(
            "hydroxylamine hydrochloride 100 g/L", "hydroxylamine hydrochloride"
        ),
        before=0.25 * 100 / 0.99,
        after=0.25 * 100 / 0.90,
    ),
    case(
        "7",
        "% w/v is grams in 100 mL",
        part("sodium hydroxide 10 % w/v", "sodium hydroxide, pellets", amount="8 % w/v"),
        see=lambda sample: sample.part("sodium hydroxide 10 % w/v", "sodium hydroxide, pellets"),
        before=500 * 10 / 100 / 0.97,
        after=500 * 8 / 100 / 0.97,
    ),
    case(
        "7",
        "ppm is mg in a litre, of the formula under as",
        part("copper standard 1000 ppm", "copper(II) sulfate pentahydrate", as_=""),
        see=lambda sample: sample.part(
            "copper standard 1000 ppm", "copper(II) sulfate pentahydrate"
        ),
        before=0.5 * BLUE_COPPER / CU / 0.99,
        after=0.5 / 0.99,
    ),
    case(
        "7",
        "mg/L is ppm",
        part("copper standard 500 ppm", "copper standard 1000 ppm", amount="250 mg/L"),
        see=lambda sample: sample.part("copper standard 500 ppm", "copper standard 1000 ppm"),
        before=1000 * 500 / 1000,
        after=1000 * 250 / 1000,
    ),
    case(
        "7",
        "a count before the formula under as divides",
        part("sodium standard 1000 ppm", "sodium carbonate, anhydrous", as_="2 Na2O"),
        see=lambda sample: sample.part("sodium standard 1000 ppm", "sodium carbonate, anhydrous"),
        before=0.25 * NA2CO3 / (2 * NA) / 0.998,
        after=0.25 * NA2CO3 / (2 * (2 * NA + OXY)) / 0.998,
    ),
    refused(
        "7",
        "an element under as is in the formula as often as its count says",
        part("sodium standard 1000 ppm", "sodium carbonate, anhydrous", as_="Na"),
        code="species-miscounted",
        says="Write 2 Na.",
    ),
    case(
        "7",
        "a hydrate is weighed for the anhydrous formula under as",
        part("sodium carbonate 5 % w/v", "sodium carbonate decahydrate", as_=""),
        see=lambda sample: sample.part("sodium carbonate 5 % w/v", "sodium carbonate decahydrate"),
        before=50 * (NA2CO3 + 10 * WATER) / NA2CO3 / 0.99,
        after=50 / 0.99,
    ),
    case(
        "7",
        "a solution's own strength is of the formula under as, without the count",
        part("sodium standard 20 ppm", "sodium standard 1000 ppm", as_="2 Na2"),
        see=lambda sample: sample.part("sodium standard 20 ppm", "sodium standard 1000 ppm"),
        before=1000 * 20 / 1000,
        after=1000 * 20 / 1000 / (2 * 2),
    ),
    case(
        "7",
        "vol of peroxide goes by 1 / 11.2 mol/L",
        change("items", "hydrogen peroxide 30 %", strength="35 % w/w"),
        see=lambda sample: sample.part("hydrogen peroxide 20 vol", "hydrogen peroxide 30 %"),
        before=0.25 * 20 / 11.2 * H2O2 / 0.30 / 1.11,
        after=0.25 * 20 / 11.2 * H2O2 / 0.35 / 1.11,
    ),
    case(
        "7",
        "% v/v is volume by volume, divided by strength",
        change("items", "ethanol 96 %", strength="95 % v/v"),
        see=lambda sample: sample.part("ethanol 70 % v/v", "ethanol 96 %"),
        before=50 * 70 / 96,
        after=50 * 70 / 95,
    ),
    case(
        "7",
        "% w/w goes by the density of the solution",
        change("solutions", "sulfuric acid 10 % w/w", density="1.1"),
        see=lambda sample: sample.part("sulfuric acid 10 % w/w", "sulfuric acid, concentrated"),
        before=50 * 1.066 * 0.10 / 0.98 / 1.836,
        after=50 * 1.1 * 0.10 / 0.98 / 1.836,
    ),
    refused(
        "7",
        "% w/w without the density of the solution is an error",
        change("solutions", "sulfuric acid 10 % w/w", density=""),
        code="no-route",
        says="density",
    ),
    case(
        "7",
        "mL/L is measured as supplied",
        part("ammonia buffer pH 10", "ammonia solution, concentrated", amount="500 mL/L"),
        see=lambda sample: sample.part("ammonia buffer pH 10", "ammonia solution, concentrated"),
        before=0.5 * 570,
        after=0.5 * 500,
    ),
    case(
        "7",
        "parts are shares of the volume",
        part(ELUENT, "n-heptane", amount="9 parts"),
        see=lambda sample: sample.part(ELUENT, "ethyl acetate"),
        before=2000 * 1 / 5,
        after=2000 * 1 / 10,
    ),
    case(
        "7",
        "to volume is the volume less the liquid parts",
        part("phosphate buffer pH 7.0", "sodium dihydrogen phosphate 0.2 mol/L", amount="295 mL/L"),
        see=lambda sample: sample.part("phosphate buffer pH 7.0", "deionised water"),
        before=1000 - 195 - 305,
        after=1000 - 295 - 305,
    ),
    case(
        "7",
        "a solid takes no volume from what fills to the mark, a liquid does",
        part("ammonia buffer pH 10", "ammonia solution, concentrated", amount="400 mL/L"),
        see=lambda sample: sample.part("ammonia buffer pH 10", "deionised water"),
        before=500 - 285,  # the 35 g of ammonium chloride count nothing
        after=500 - 200,
    ),
    refused(
        "7",
        "a solution is filled to the mark with one thing",
        part("disodium EDTA 0.01 mol/L", "disodium EDTA 0.1 mol/L", amount="to volume"),
        code="to-volume-twice",
    ),
    refused(
        "7",
        "more liquid parts than the volume is an error",
        part("ammonia buffer pH 10", "ammonia solution, concentrated", amount="1100 mL/L"),
        code="no-route",
        says="more than the volume",
    ),
    refused(
        "7",
        "a solution cannot be made from itself",
        part("ethanol 70 % v/v", "ethanol 96 %", item="phenolphthalein indicator 1 % w/v"),
        code="solution-circle",
    ),
)

FLASKS: Final = (
    case(
        "6",
        "without a step a batch is rounded up to the next of the department's flasks",
        setting("flasks", "100 mL; 2 L"),
        see=lambda sample: [
            *sample.made("ethanol 70 % v/v", "volume_mL"),
            *sample.made("sulfuric acid 10 % w/w", "volume_mL"),
            *sample.made("copper standard 1000 ppm", "volume_mL"),
        ],
        before=[50, 50, 500],
        after=[100, 100, 1000],  # the largest batch of 1 L is a vessel as well
    ),
    case(
        "5",
        "what is to come from one lot comes from one that holds all of it, or all of it is made",
        line("PHY-01", "rate", "sulfuric acid 0.5 mol/L", one_lot="yes"),
        see=lambda sample: (
            sample.lots("sulfuric acid 0.5 mol/L"),
            sample.made("sulfuric acid 0.5 mol/L", "volume_mL"),
        ),
        before=({"S27-041": 424}, [1000]),  # 1000 - 576 promised; 360 + 792 - 424 = 728 made
        after=({"S27-041": 360}, [1000]),  # 64 are left, so that all 792 are made
    ),
)

SET_OUT: Final = (
    case(
        "setting out",
        "containers are sets over the sets that share one, rounded up",
        line("ORG-02", "test", "silver nitrate 0.1 mol/L", shared_by="5"),
        see=lambda sample: sample.containers("W10-Mon-1", "silver nitrate 0.1 mol/L"),
        before=2,  # 12 / 6
        after=3,  # 12 / 5
    ),
)

CASES: Final[tuple[Case, ...]] = (*STOCK_FIRST, *BATCHES, *PARTS, *FLASKS, *SET_OUT)
