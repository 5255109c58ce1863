"""Liquid products: what an outlet must give and at which pressure, and ammonia, which boils in its tank."""
