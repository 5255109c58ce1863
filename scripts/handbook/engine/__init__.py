"""Python in the page: packs what the engine is made of, and closes the pages to everything outside.

The generator calls three things, in this order, on a finished site: `pack`, `pack_search` and
`apply_policy`. What runs in the page is in `web/engine`.
"""

from handbook.engine.licences import Part
from handbook.engine.pack import Engine, pack
from handbook.engine.policy import apply_policy
from handbook.engine.search import pack_search

__all__ = ["Engine", "Part", "apply_policy", "pack", "pack_search"]
