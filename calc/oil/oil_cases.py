"""The examples that `oil` is checked by, the first of which its page shows, and its sources."""

from __future__ import annotations

from calc.declare import Case, Source

FLOW = Source("A printed worked example of motor flow", where="2.51 in³ at 1200 rpm: 13.04 gpm")
TOOLBOX = Source("Engineering ToolBox, hydraulic power", where="20 gpm at 1500 psi: 17.5 hp")
LINE_SIZES = Source(
    "A printed table of hydraulic line sizes",
    where="0.622 in at 15 ft/s: 14.2 gpm; 1.049 in at 10 ft/s: 26.9 gpm",
)
LINE_SPEEDS = Source(
    "Printed oil speeds for lines", where="ft/s: suction 2 to 4, return 10 to 15, pressure 15 to 20"
)
CASE_DRAIN = Source("A case drain goes to a free return without pressure")
IN_HAND = Source("10 to 15 % of the tractor's flow in hand", basis="common practice")
SOURCES = [FLOW, TOOLBOX, LINE_SIZES, LINE_SPEEDS, CASE_DRAIN, IN_HAND]

US_SUMS = Source(
    "Arithmetic in US units: in³ · rpm / 231 / efficiency, and gpm · psi / 1714.286",
    basis="our own invention",
)
METRIC_SUMS = Source(
    "Arithmetic in metric units: cm³ · rpm / 1000 / efficiency, and L/min · bar / 600",
    basis="our own invention",
)

CASES = [
    Case(
        "A fan and four meters on one tractor",
        given={
            "displacement": "1.5 in³/rev",
            "shaft_speed": "3600 rpm",
            "volumetric_efficiency": "95 %",
            "pressure": "2200 psi",
            "meters_flow": "6 gpm",
            "tractor_flow": "40 gpm",
            "hose_bore": "1 in",
            "heat_share": "20 %",
        },
        source=US_SUMS,
        printed={"flow": "24.607 gpm", "power": "31.579 hp", "spare": "9.393 gpm", "heat": "6.316 hp"},
        pinned={"verdict": "enough", "lines[2].standing": "usual", "lines[3].standing": None},
        notes=["look-hot", "hose-wide-enough", "heat"],
    ),
    Case(
        "A motor of 2.51 cubic inches",
        given={
            "displacement": "2.51 in³/rev",
            "shaft_speed": "1200 rpm",
            "volumetric_efficiency": "100 %",
            "pressure": "1000 psi",
        },
        source=FLOW,
        printed={"flow": "13.04 gpm"},
        pinned={"spare": None, "hose_speed": None, "heat": None, "verdict": "fan-not-known"},
        notes=["no-meters", "give-bore", "give-heat-share"],
    ),
    Case(
        "Twenty gallons a minute at 1500 psi",
        given={
            "displacement": "4.62 in³/rev",
            "shaft_speed": "1000 rpm",
            "volumetric_efficiency": "100 %",
            "pressure": "1500 psi",
        },
        source=TOOLBOX,
        printed={"flow": "20.00 gpm", "power": "17.5 hp"},
    ),
    # The table of line sizes prints flows at a speed in ft/s, which is no unit here: that it agrees both ways
    # round is tested beside these cases, with the half step of each printed figure.
    Case(
        "Short of oil in a narrow hose",
        given={
            "displacement": "32 cm³/rev",
            "shaft_speed": "4000 rpm",
            "volumetric_efficiency": "80 %",
            "pressure": "180 bar",
            "meters_flow": "20 L/min",
            "tractor_flow": "150 L/min",
            "hose_bore": "19 mm",
            "heat_share": "30 %",
        },
        source=METRIC_SUMS,
        printed={"flow": "160.0 L/min", "power": "48.00 kW", "spare": "−30.00 L/min", "heat": "14.40 kW"},
        pinned={"verdict": "short", "lines[1].standing": "faster"},
        notes=["do-not-run-short", "hose-too-small", "heat"],
    ),
    Case(
        "Little in hand, and the meters turned by electric motors",
        given={
            "displacement": "25 cm³/rev",
            "shaft_speed": "3600 rpm",
            "volumetric_efficiency": "90 %",
            "pressure": "160 bar",
            "tractor_flow": "108 L/min",
            "hose_bore": "20 mm",
        },
        source=METRIC_SUMS,
        printed={"flow": "100.0 L/min", "power": "26.667 kW", "spare": "8.0 L/min"},
        pinned={"verdict": "fan-tight", "lines[1].standing": "usual"},
        notes=["keep-in-hand", "no-meters", "small-for-return", "give-heat-share"],
    ),
    Case(
        "Nothing in hand at all",
        given={
            "displacement": "25 cm³/rev",
            "shaft_speed": "3600 rpm",
            "volumetric_efficiency": "90 %",
            "pressure": "160 bar",
            "meters_flow": "0 L/min",
            "tractor_flow": "100 L/min",
            "heat_share": "0 %",
        },
        source=METRIC_SUMS,
        printed={"flow": "100.0 L/min"},
        pinned={"spare": 0.0, "heat": 0.0, "verdict": "tight"},
        notes=["keep-in-hand", "give-bore", "heat"],
    ),
]
