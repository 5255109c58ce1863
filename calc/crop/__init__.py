"""Crop: how much seed and fertilizer an area gets, what a run carries, and what may lie in a row together."""
