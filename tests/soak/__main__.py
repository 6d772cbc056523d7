"""Run the long trial: python -m tests.soak [options]. Prints what was tried and found; fails if anything was wrong."""

import argparse
import functools
import os
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from quietus.vault import locks
from quietus.vault.crypto import stretch
from tests.soak.attacks import attack
from tests.soak.flips import crowded, flip
from tests.soak.kills import WORKS, Tally, at_every_call, at_random


def main(words: Sequence[str]) -> int:
    """Run the parts that the options name."""
    asked = _options(words)
    # Each passphrase and salt is stretched once: thousands of openings, and stretching has its own tests.
    vars(locks)["stretch"] = functools.cache(stretch)
    os.environ["PYTHONWARNINGS"] = "ignore"  # helpers of killed processes complain that these are gone
    memory = Path("/dev/shm")
    place = memory if os.access(memory, os.W_OK) else None
    wrong: list[str] = []
    with tempfile.TemporaryDirectory(prefix="quietus-soak-", dir=place) as made:
        room = Path(made)
        if "kills" in asked.parts:
            wrong += kills(room, asked.works, asked.random, asked.seed)
        if "flips" in asked.parts:
            wrong += flips(room, asked.flips, asked.seed)
        if "attacks" in asked.parts:
            wrong += attacks(room)
    for line in wrong:
        say(f"WRONG: {line}")
    say("Nothing was lost, doubled or unreadable, and everything was noticed." if not wrong else f"{len(wrong)} wrong.")
    return 1 if wrong else 0


def say(text: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def kills(room: Path, works: Sequence[str], number: int, seed: int) -> list[str]:
    """Kill every work at every call, and at random."""
    total = Tally()
    for count, name in enumerate(works):
        work, ground, begun = WORKS[name], room / f"ground-{name}", time.monotonic()
        ground.mkdir()
        work.prepare(ground)
        chosen = at_every_call(work, room, ground)
        at = 0 if name in {"ingest", "batch"} else number
        unchosen = at_random(work, room, ground, at or number // 10, seed + count)
        say(
            f"{name:8} {chosen.kills:5} kills at calls, {unchosen.kills:5} at random moments, "
            f"{len(chosen.wrong) + len(unchosen.wrong)} wrong, {time.monotonic() - begun:.0f} s"
        )
        total.kills += chosen.kills + unchosen.kills
        total.wrong += [f"{name}: {what}" for what in chosen.wrong + unchosen.wrong]
    say(f"kills: {total.kills} in all")
    return total.wrong


def flips(room: Path, number: int, seed: int) -> list[str]:
    """Flip bits in every file of a vault."""
    begun = time.monotonic()
    counts, missed = flip(crowded(room / "vault-to-flip"), number, seed)
    for kind, count in sorted(counts.items()):
        say(f"{kind:16} {count:6} bits flipped")
    say(f"flips: {counts.total()} in all, {len(missed)} unnoticed, {time.monotonic() - begun:.0f} s")
    return missed


def attacks(room: Path) -> list[str]:
    """Attack the journal."""
    folder = room / "attacks"
    folder.mkdir()
    tried, missed = attack(folder)
    say(f"attacks on the journal: {tried}, {len(missed)} unnoticed")
    return missed


def _options(words: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("parts", nargs="*", choices=("kills", "flips", "attacks", []), default=[], help="default: all")
    parser.add_argument("--works", nargs="+", choices=tuple(WORKS), default=tuple(WORKS), help="what to kill")
    parser.add_argument("--random", type=int, default=400, metavar="N", help="kills at random moments for each work")
    parser.add_argument("--flips", type=int, default=10_000, metavar="N", help="bits to flip (default: 10000)")
    parser.add_argument("--seed", type=int, default=20261120, metavar="S", help="the same seed tries the same")
    asked = parser.parse_args(words)
    asked.parts = asked.parts or ["kills", "flips", "attacks"]
    return asked


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
