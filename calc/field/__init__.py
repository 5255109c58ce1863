"""Calculators for work in the field: land in an hour, true ground speed, product used, and delays."""
