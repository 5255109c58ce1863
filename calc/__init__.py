"""The sums of air seeding: calculators over SI floats, with strict input and exact units.

Standard library only. Nothing here knows of pages, clocks or random numbers.
"""
