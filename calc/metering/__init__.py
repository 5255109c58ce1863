"""Metering: rates, meter speeds, calibration and the speeds at which every tank's rate holds."""
