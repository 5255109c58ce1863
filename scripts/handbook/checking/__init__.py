"""The checker of the book: its rules, each declared once, and what looks after them."""
