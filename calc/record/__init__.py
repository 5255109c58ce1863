"""The record of the yard and of training: its entries, and how files of them are read and merged."""
