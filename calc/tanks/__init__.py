"""Tanks: what they hold and how far a fill goes."""
