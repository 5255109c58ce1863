"""Mutation testing: each sum of `calc` is changed a little, and the tests have to notice."""
