"""What the papers say, read from wording.toml."""

import tomllib
from functools import cache
from pathlib import Path


@cache
def _all() -> dict[str, dict[str, list[str]]]:
    return tomllib.loads((Path(__file__).parent / "wording.toml").read_text(encoding="utf-8"))


def words(paper: str, part: str, **facts: str) -> list[str]:
    """The paragraphs of one part of a paper, with its facts filled in."""
    return [" ".join(text.split()).format(**facts) for text in _all()[paper][part]]
