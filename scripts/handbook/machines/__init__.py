"""Machine sheets, and the book that each machine gets from its own."""
