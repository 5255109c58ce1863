"""Measures how soon a page answers, beside a bare start of Python in the same browser."""
