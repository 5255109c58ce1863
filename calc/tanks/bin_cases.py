"""Worked examples of tanks that are checked, with where each comes from."""

from __future__ import annotations

from calc.declare import Case, Source

PRISMATOID = Source(
    "The prismatoid rule for hoppers, cones and heaps, on our own figures", basis="our own invention"
)
JONES = Source(
    "D. Jones, tank volumes, as worked in the documentation of the fluids library",
    where="circle of 96 in filled 22 in deep: 1251.2018 in²",
)
PILE = Source("B. Willis, frustum of a grain pile", where="3.5 m high, radii 2.5 m and 4.9 m: about 5500 ft³")
IOWA = Source(
    "Iowa Grain Warehouse Bureau, bushels in a round bin", where="0.7854 · 0.80385 for each foot of depth"
)
LEGAL_WEIGHT = Source(
    "National Bureau of Standards, Circular 10; state codes of Indiana and Arkansas; Florida EDIS AG126",
    where="a legal bushel weight is for trade and need not be the density of a lot",
)
ANGLES = Source("Grain and fertilizer heap flatter when poured than when drawn off", basis="from memory")
COMPUTED = Source("Computed beside fluids, trimesh and shapely, which agree", basis="our own invention")

SOURCES = [PRISMATOID, JONES, PILE, IOWA, LEGAL_WEIGHT, ANGLES]

BOX = {"body": "box", "length": "2 m", "width": "1.5 m", "height": "1 m"}

CASES = [
    Case(
        "A seed tank on a pyramid hopper, filled through a lid in the middle",
        given={
            "body": "box",
            "length": "7 ft",
            "width": "6 ft",
            "height": "4 ft",
            "hopper": "pyramid",
            "hopper_depth": "3 ft",
            "outlet_length": "24 in",
            "outlet_width": "10 in",
            "lid": "central",
            "heap_angle": "20 deg",
            "bulk_density": "46.5 lb/ft³",
            "rate": "100 lb/ac",
        },
        source=PRISMATOID,
        printed={
            "level_volume": "220.58 ft³",  # 4 · 42 + 3/6 · (42 + 1.66667 + 4 · 15.375)
            "heap_volume": "−29.48 ft³",  # 36 · tan 20° · (3 · 7 + 6)/12
            "volume": "191.10 ft³",
            "mass": "8886 lb",
            "area": "88.86 ac",
        },
        pinned={"level_volume": 6.246224411, "heap_volume": -0.8348256323, "mass": 4030.726631},
        notes=["lid-over-ridge"],
    ),
    Case(
        "A lying tank, one inch of length for each cubic inch in a US gallon",
        given={"body": "lying-cylinder", "length": "231 in", "diameter": "96 in", "depth": "22 in"},
        source=JONES,
        printed={"volume": "1251.2018 gal"},
        pinned={"heap_volume": 0.0, "mass": None, "area": None},
        notes=["give-density", "give-rate"],
    ),
    Case(
        "A small lying tank at four tenths of its depth",
        given={"body": "lying-cylinder", "length": "96 in", "diameter": "48 in", "depth": "19.2 in"},
        source=COMPUTED,
        pinned={"volume": 1.0633354, "level_volume": 2.846719911},
    ),
    Case(
        "A cone hopper filled to its top",
        given={
            "body": "upright-cylinder",
            "height": "1 m",
            "diameter": "9.8 m",
            "hopper": "cone",
            "hopper_depth": "3.5 m",
            "outlet_diameter": "5 m",
            "depth": "3.5 m",
        },
        source=PILE,
        pinned={"volume": 155.8072877},  # the source prints it as about 5500 ft³
        notes=["give-angle-for-heap", "give-density", "give-rate"],
    ),
    Case(
        "A wedge hopper filled to its top",
        given={**BOX, "hopper": "wedge", "hopper_depth": "2 m", "outlet_length": "0.4 m", "depth": "2 m"},
        source=PRISMATOID,
        printed={"volume": "3.6 m³", "level_volume": "6.6 m³"},  # 2/6 · (3 + 0.6 + 4 · 1.8)
    ),
    Case(
        "A pyramid hopper filled to its top, and the dip table above it",
        given={
            **BOX,
            "hopper": "pyramid",
            "hopper_depth": "2 m",
            "outlet_length": "0.4 m",
            "outlet_width": "0.2 m",
            "depth": "2 m",
            "bulk_density": "750 kg/m³",
            "rate": "150 kg/ha",
        },
        source=PRISMATOID,
        printed={
            "volume": "2.386667 m³",  # 2/6 · (3 + 0.08 + 4 · 1.02)
            "mass": "1790.0 kg",
            "area": "11.93 ha",
            "dip[15].depth": "3.000 m",
            "dip[15].mass": "4040.0 kg",
            "dip[15].share": "100.0 %",
        },
    ),
    Case(
        "A heap on a box",
        given={"body": "box", "length": "3 m", "width": "2 m", "height": "1.5 m", "heap_angle": "45 deg"},
        source=PRISMATOID,
        printed={"heap_volume": "2.3333 m³", "volume": "11.3333 m³"},  # 4 · (9 − 2)/12 on 9
        notes=["give-density", "give-rate"],
    ),
    Case(
        "The same box turned, filled through a lid",
        given={
            "body": "box",
            "length": "2 m",
            "width": "3 m",
            "height": "1.5 m",
            "lid": "central",
            "heap_angle": "45 deg",
        },
        source=PRISMATOID,
        printed={"heap_volume": "−3.6667 m³", "volume": "5.3333 m³"},  # 4 · (9 + 2)/12
        notes=["lid-over-ridge", "give-density", "give-rate"],
    ),
    Case(
        "A heap on a round bin, leveled to a depth",
        given={
            "body": "upright-cylinder",
            "diameter": "4 m",
            "height": "3 m",
            "heap_angle": "45 deg",
            "depth": "2.5 m",
        },
        source=PRISMATOID,
        printed={"heap_volume": "8.378 m³", "volume": "31.416 m³"},  # 8 π/3; 10 π
        notes=["level-to-depth", "give-density", "give-rate"],
    ),
    Case(
        "A low body whose slope under the lid runs down into its hopper",
        given={
            "body": "upright-cylinder",
            "diameter": "4 m",
            "height": "1 m",
            "hopper": "cone",
            "hopper_depth": "2 m",
            "outlet_diameter": "0 mm",
            "lid": "central",
            "heap_angle": "45 deg",
        },
        source=PRISMATOID,
        # the slope meets the wall 1.5 m below the top: cones of 1.5 m radius, 1.5 m high, both ways
        printed={"level_volume": "20.944 m³", "volume": "7.0686 m³", "heap_volume": "−13.8754 m³"},
    ),
    Case(
        "A tank with a lid whose angle is not known",
        given={**BOX, "lid": "central", "bulk_density": "770 kg/m³"},
        source=PRISMATOID,
        printed={"volume": "3.000 m³", "mass": "2310 kg"},
        pinned={"heap_volume": None, "area": None},
        notes=["give-angle-for-lid", "give-rate"],
    ),
]
