"""Examples that the delays are checked with, and where each figure comes from."""

from __future__ import annotations

from calc.declare import Case, Source

# No source prints a delay with a width and a speed. All cases are our own arithmetic: 5 mph is 7.3333 ft/s
# exactly (NIST SP 811, from memory), 8 km/h is 2.2222 m/s.
US_SUMS = Source("Arithmetic in US units: 5 mph is 22 ft in 3 s", basis="our own invention")
METRIC_SUMS = Source("Arithmetic in metric units: 9 km/h is 2.5 m/s", basis="our own invention")

CASES = [
    Case(
        "Sixty feet at five miles an hour, both delays set to three seconds",
        given={
            "on_time": "4.5 s",
            "off_time": "3.6 s",
            "speed": "5 mph",
            "width": "60 ft",
            "rate": "120 lb/ac",
            "on_set": "3 s",
            "off_set": "3 s",
            "near_time": "3.6 s",
            "far_time": "5.4 s",
            "prime_time": "4 s",
            "meter_speed": "52 rpm",
            "mass_per_turn": "1.4 lb/rev",
        },
        source=US_SUMS,
        printed={
            "on_distance": "11.00 ft",
            "off_distance": "4.400 ft",
            "gap_area": "660.0 ft2",
            "product": "0.7273 lb",
            "prime_mass": "4.853 lb",
            "openers[1].distance": "4.400 ft",
            "openers[3].distance": "17.60 ft",
            "speeds[5].start": "15.40 ft",
        },
        pinned={"on_distance": 3.3528, "strips[1].what": "unseeded", "strips[2].what": "twice"},
        notes=["starts-late", "stops-late", "openers-apart", "prime-too-short"],
    ),
    Case(
        "Nothing set at all",
        given={"on_time": "4 s", "off_time": "3 s", "speed": "9 km/h", "width": "12 m"},
        source=METRIC_SUMS,
        printed={"on_distance": "10.00 m", "off_distance": "7.500 m", "gap_area": "120.0 m2"},
        pinned={"product": None, "prime_mass": None, "strips[1].mass": None},
        notes=["starts-late", "stops-late", "give-openers", "give-rate", "give-prime"],
    ),
    Case(
        "Both set too long",
        given={
            "on_time": "4 s",
            "off_time": "3 s",
            "speed": "9 km/h",
            "width": "12 m",
            "rate": "100 kg/ha",
            "on_set": "6 s",
            "off_set": "5 s",
            "near_time": "4.2 s",
            "far_time": "5 s",
            "prime_time": "5 s",
        },
        source=METRIC_SUMS,
        printed={
            "on_distance": "−5.000 m",
            "off_distance": "−5.000 m",
            "gap_area": "−60.00 m2",
            "product": "−0.6000 kg",
            "strips[2].mass": "0.6000 kg",
        },
        pinned={"strips[1].what": "twice", "strips[2].what": "unseeded", "prime_mass": None},
        notes=["starts-early", "stops-early", "openers-apart", "not-a-middle-opener", "give-rest-of-prime"],
    ),
    Case(
        "Half a meter off is left alone",
        given={
            "on_time": "3.2 s",
            "off_time": "3.2 s",
            "speed": "9 km/h",
            "width": "12 m",
            "on_set": "3 s",
            "off_set": "3.4 s",
            "far_time": "4 s",
        },
        source=METRIC_SUMS,
        printed={"on_distance": "0.5000 m", "off_distance": "−0.5000 m", "gap_area": "6.000 m2"},
        notes=["starts-close", "stops-close", "same-times", "give-other-opener", "give-rate", "give-prime"],
    ),
    Case(
        "Set as timed",
        given={
            "on_time": "3.5 s",
            "off_time": "2.5 s",
            "speed": "9 km/h",
            "width": "12 m",
            "rate": "100 kg/ha",
            "on_set": "3.5 s",
            "off_set": "2.5 s",
        },
        source=METRIC_SUMS,
        pinned={
            "on_distance": 0.0,
            "off_distance": 0.0,
            "gap_area": 0.0,
            "product": 0.0,
            "strips[1].what": "on-line",
        },
        notes=["starts-close", "stops-close", "give-openers", "give-prime"],
    ),
]
