"""The generator: turns lessons, machine sheets and calculators into the handbook."""
