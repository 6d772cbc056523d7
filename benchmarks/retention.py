"""How long retention takes on a whole firm: python -m benchmarks retention [ENTITIES ...].

Generated companies with thirty papers each, as in `benchmarks.verify`, kept by the schedules that come with quietus.
For each number of companies, seconds of wall and of processor time: every paper's keep-until; the same after a changed
policy that is not accepted yet, when two sets of schedules are weighed; and `retain policy` on it, which compares them.
"""

import argparse
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

from benchmarks.verify import PAPERS, PASSPHRASE, TODAY, fill
from quietus.closing.keeping import kept_papers
from quietus.closing.office import Office, found_office, open_office
from quietus.closing.policy import in_force, remember_policy
from quietus.closing.policy_diff import unaccepted


def main(words: Sequence[str]) -> None:
    """Measure for each number of entities given; 1,000 and 10,000 when none is."""
    parser = argparse.ArgumentParser(prog="benchmarks retention", description=__doc__)
    parser.add_argument("entities", nargs="*", type=int, default=[1000, 10000])
    asked = parser.parse_args(words)
    _say("entities, papers | keep-until | after a changed policy | what it would change; seconds wall (processor)")
    for number in asked.entities:
        with tempfile.TemporaryDirectory() as made:
            _say(_line(number, Path(made) / "office"))


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _line(number: int, home: Path) -> str:
    found_office(home, PASSPHRASE)
    with open_office(home, PASSPHRASE) as office:
        fill(office, number)
        remember_policy(office)
    parts = []
    with open_office(home, PASSPHRASE) as office:
        parts.append(_timed(lambda: _all(office)))
        _change(office)
        parts.append(_timed(lambda: _all(office)))
        parts.append(_timed(lambda: unaccepted(office, TODAY)))
    return " | ".join([f"{number:6,} {number * PAPERS:8,}", *parts])


def _all(office: Office) -> Counter[str]:
    return Counter(kept.keep.clock.value for kept in kept_papers(office, in_force(office)))


def _change(office: Office) -> None:
    """Shorten one rule and lengthen another."""
    for file in office.config.retention.glob("*.toml"):
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace('"7 years"', '"6 years"').replace('"3 years"', '"4 years"'), encoding="utf-8")


def _timed(work: Callable[[], object]) -> str:
    wall, used = time.perf_counter(), time.process_time()
    work()
    return f"{time.perf_counter() - wall:6.2f} ({time.process_time() - used:6.2f})"


if __name__ == "__main__":
    main(sys.argv[1:])
