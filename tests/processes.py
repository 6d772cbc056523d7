"""The processes below one, and so the readers: they are children of a child (Linux)."""

from pathlib import Path


def below(parent: int) -> list[int]:
    """Every process below `parent`; those that end meanwhile are left out."""
    found: list[int] = []
    for task in Path(f"/proc/{parent}/task").glob("*/children"):
        try:
            mine = [int(word) for word in task.read_text().split()]
        except OSError:
            continue
        for child in mine:
            found += [child, *below(child)]
    return found
