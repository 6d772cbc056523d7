"""Flip single bits in every file of a vault: each has to be noticed, and no wrong plaintext may come out."""

import random
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from quietus.model.errors import QuietusError
from quietus.vault import LockKind, add_lock, check_vault, locks_of, new_key, renew_root
from tests.vault.make import CHEAP, PASSPHRASE, WAIVER, file, made, opened

PAPERS = (b"", b"a paper of Brindlewick", bytes(range(256)) * 40, bytes(range(256)) * 1024 * 5)


def crowded(folder: Path) -> Path:
    """A vault with papers, several locks, a renewed root key, and a journal."""
    made(folder)
    with opened(folder) as vault:
        add_lock(vault, LockKind.PASSPHRASE, b"another", "ines", cost=CHEAP)
        vault.put_waiver(WAIVER)
        renew_root(vault, {lock.id: PASSPHRASE for lock in locks_of(vault) if lock.in_use})
    with opened(folder) as vault:
        add_lock(vault, LockKind.RECOVERY, new_key(), "safe")
        for data in PAPERS:
            file(vault, data)
        vault.destroy_paper(file(vault, b"gone").id, "test")
    return folder


def flip(folder: Path, number: int, seed: int) -> tuple[Counter[str], list[str]]:
    """Flip so many bits, one at a time, the same share in each file.

    Returns:
        How many by kind of file, and what went unnoticed.
    """
    chance, counts, missed = random.Random(seed), Counter[str](), []
    whole = folder.with_name("whole")
    shutil.copytree(folder, whole)
    files = [path for path in sorted(folder.rglob("*")) if path.is_file() and path.stat().st_size]
    for path, place, bit in _places(files, number, chance):
        data = path.read_bytes()
        path.write_bytes(data[:place] + bytes([data[place] ^ 1 << bit]) + data[place + 1 :])
        kind = "sealed paper" if path.parent.parent.name == "objects" else path.name
        counts[kind] += 1
        said = unnoticed(folder)
        if said:
            missed.append(f"{kind} byte {place} bit {bit}: {said}")
        shutil.rmtree(folder)
        shutil.copytree(whole, folder)
    if unnoticed(folder) != "nothing":
        missed.append("the whole vault itself is not sound")
    return counts, missed


def _places(files: list[Path], number: int, chance: random.Random) -> Iterator[tuple[Path, int, int]]:
    for count in range(number):
        path = files[count % len(files)]
        yield path, chance.randrange(path.stat().st_size), chance.randrange(8)


def unnoticed(folder: Path) -> str:
    """Empty when something was noticed; else what came out: `nothing`, or a wrong plaintext."""
    try:
        with opened(folder) as vault:
            problems = check_vault(vault).problems
            for paper in vault.papers():
                try:
                    if vault.paper_bytes(paper.id, "test") not in PAPERS:
                        return "a wrong plaintext"
                except QuietusError:
                    continue
            return "" if problems or vault.notes else "nothing"
    except QuietusError:
        return ""
