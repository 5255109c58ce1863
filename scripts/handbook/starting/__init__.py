"""Starts new pages and machines from small right ones."""
