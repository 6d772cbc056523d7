"""How fast papers are sealed and opened, beside `openssl speed`; how much memory that takes; how fast a vault opens.

Throughput: the vault's own functions over chunks of 1 MiB, in memory, on one core, and AES-256-GCM as `openssl speed`
measures it at the same chunk size, in turns, so that both see the same machine. Both count seconds of processor time,
as `openssl speed` does by itself.
"""

import argparse
import functools
import io
import os
import re
import resource
import secrets
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from quietus.model.paper import Paper, Standing
from quietus.vault import Vault, locks, rows
from quietus.vault.crypto import KEY_BYTES, stretch, wrap
from quietus.vault.objects import CHUNK_BYTES, open_paper, seal_paper
from tests.vault.make import ENTITY, file, made, opened, reading

MIB = 1024 * 1024
PAPER_ID = "ab" * 16


def main(words: Sequence[str]) -> None:
    """Measure as the options say."""
    asked = _options(words)
    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    vars(locks)["stretch"] = functools.cache(stretch)  # opening is measured without Argon2id, whose cost is wanted
    memory = Path("/dev/shm")  # noqa: S108 - a private folder is made in it
    place = memory if os.access(memory, os.W_OK) else None
    with tempfile.TemporaryDirectory(prefix="quietus-bench-", dir=place) as room:
        large_paper(Path(room), asked.large)  # first, while this process is small: the most it ever held is compared
        throughput(asked.mib, asked.rounds)
        opening(Path(room), [count for count in (1_000, 10_000, 100_000) if count <= asked.papers])


def say(text: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def throughput(mib: int, rounds: int) -> None:
    """Seal and open so many MiB, and ask openssl between."""
    plain, key = secrets.token_bytes(mib * MIB), secrets.token_bytes(KEY_BYTES)
    sealed = b"".join(seal_paper(io.BytesIO(plain), key, PAPER_ID))
    rates: dict[str, list[float]] = {"openssl speed": [], "seal": [], "open": []}
    for _ in range(rounds):
        rates["openssl speed"].append(openssl_rate())
        rates["seal"].append(mib * MIB / _processor(lambda: _through(seal_paper(io.BytesIO(plain), key, PAPER_ID))))
        rates["open"].append(mib * MIB / _processor(lambda: _through(open_paper(io.BytesIO(sealed), key, PAPER_ID))))
    base = statistics.median(rates["openssl speed"])
    say(f"\n{'AES-256-GCM, chunks of 1 MiB, one core':42} {'GB/s':>8} {'ratio':>7}")
    for name, found in rates.items():
        rate = statistics.median(found)
        say(f"{name:42} {rate / 1e9:8.2f} {rate / base:7.0%}")


def openssl_rate() -> float:
    """Bytes a second that `openssl speed` reports for chunks of the vault's size."""
    command = ["openssl", "speed", "-seconds", "1", "-bytes", str(CHUNK_BYTES), "-evp", "aes-256-gcm"]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout  # noqa: S603 - fixed words
    found = re.search(r"^AES-256-GCM\s+([0-9.]+)k", said, re.MULTILINE | re.IGNORECASE)
    if found is None:
        sys.exit("openssl speed said something else than expected")
    return float(found[1]) * 1000


def large_paper(room: Path, gib: float) -> None:
    """File a large paper from a file and read it back; tell the memory that took."""
    source = room / "large"
    with source.open("wb") as target:
        for _ in range(int(gib * 1024)):
            target.write(secrets.token_bytes(MIB))
    with opened(made(room / "for-large")) as vault:
        paper = file(vault, b"warm")
        vault.paper_bytes(paper.id, "warm")
        before = _peak()
        with source.open("rb") as scan:
            seconds = _seconds(lambda: _file(vault, scan))
        paper = vault.papers()[-1]
        reading_back = _seconds(lambda: _through(vault.paper_stream(paper.id, "benchmark")))
    peak, grown = _peak() / 1024, (_peak() - before) / 1024
    rate, back = paper.size / seconds / 1e9, paper.size / reading_back / 1e9
    speed = f"filed at {rate:.2f} GB/s, read back at {back:.2f} GB/s"
    say(f"a paper of {gib:g} GiB: {speed}, {peak:.0f} MiB at most, {grown:.0f} more than before")
    source.unlink()


def _file(vault: Vault, scan: io.BufferedReader) -> None:
    vault.file_paper(
        scan,
        name="large.pdf",
        media_type="application/pdf",
        pages=1,
        standing=Standing.FILED,
        entity=ENTITY.slug,
        expected="",
        reading=reading(),
    )


def opening(room: Path, counts: Sequence[int]) -> None:
    """Open vaults of several sizes, and look papers up in them."""
    say(f"\n{'papers':>8} {'open, without Argon2id':>24} {'look up one paper':>20}")
    for count in counts:
        opens, looks = _measured(room / f"papers-{count}", count)
        say(f"{count:8,} {opens * 1000:21.1f} ms {looks * 1000:17.2f} ms")


def _measured(folder: Path, count: int) -> tuple[float, float]:
    ids = _fill(folder, count)
    opened(folder).close()
    times = [_seconds(lambda: opened(folder).close()) for _ in range(9)]
    with opened(folder) as vault:
        chosen = [ids[number * len(ids) // 200] for number in range(200)]
        vault.paper(chosen[0])
        looked = _seconds(lambda: [vault.paper(one) for one in chosen])
    return statistics.median(times), looked / len(chosen)


def _fill(folder: Path, count: int) -> list[str]:
    """A vault with so many rows, wrapped keys, readings and journal entries; only the sealed bytes are left out."""
    made(folder)
    ids: list[str] = []
    with opened(folder) as vault:
        store = vault.store
        like = file(vault, b"one")
        while len(ids) < count:
            with store.changing() as connection:
                for _ in range(min(5_000, count - len(ids))):
                    paper = replace(like, id=secrets.token_hex(16), sha256=secrets.token_hex(32))
                    key = wrap(store.keys.subkey("wrapping", paper.id), secrets.token_bytes(KEY_BYTES))
                    rows.add_paper(connection, paper, key, store.actor.who)
                    store.write("paper-filed", paper.id, _said(paper))
                    ids.append(paper.id)
    return ids


def _said(paper: Paper) -> dict[str, object]:
    said = {"standing": paper.standing.value, "entity": paper.entity, "expected": paper.expected}
    return {"sha256": paper.sha256, "size": paper.size, **said}


def _through(pieces: Iterable[bytes]) -> None:
    for _ in pieces:
        pass


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def _processor(work: Callable[[], object]) -> float:
    """Seconds of processor time."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def _peak() -> int:
    """Most memory this process ever held, KiB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def _options(words: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m benchmarks.sealing", description=__doc__)
    parser.add_argument("--mib", type=int, default=256, metavar="N", help="MiB to seal and open (default: 256)")
    parser.add_argument("--rounds", type=int, default=5, metavar="N", help="rounds; the median counts (default: 5)")
    parser.add_argument("--large", type=float, default=2.0, metavar="GIB", help="size of the large paper (default: 2)")
    parser.add_argument("--papers", type=int, default=100_000, metavar="N", help="the largest vault to open")
    return parser.parse_args(words)


if __name__ == "__main__":
    main(sys.argv[1:])
