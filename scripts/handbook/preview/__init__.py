"""The book in a browser while it is written: watched, built again, and shown anew by itself."""
