"""One scan in, one Reading out: pixels to values, each with its place, its raw text and how sure it is.

No vault, no rules, no entity list. What can be read is data: `kinds.toml`, `jurisdictions.toml`, `roles.toml`,
`marks.toml`, `names.toml`, `numbers.toml` and `bars.toml` beside this module.
"""

from quietus.reading.pool import ReadingPool
from quietus.reading.sniff import media_type

__all__ = ["ReadingPool", "media_type"]
