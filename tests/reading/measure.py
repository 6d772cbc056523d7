"""Measures the reader on a folder of papers with a `truth.toml`: right, review and silently wrong for every field.

    python tests/reading/measure.py sample_docs/scans sample_docs/truth.toml

Silently wrong means: another value than the truth, and not marked for review. The reliability table sorts the values by
confidence and shows how many of each band are right. Pages per minute are for one process on one core.
"""

import itertools
import sys
import time
import tomllib
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path

from quietus.model.limits import DEFAULT_LIMITS
from quietus.model.names import same_name
from quietus.model.reading import FIELDS, Reading, Value
from quietus.reading.reader import read_bytes

BANDS = (0.0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.01)


@dataclass
class Score:
    """Counts over many papers."""

    fields: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    bands: dict[float, Counter[bool]] = field(default_factory=lambda: defaultdict(Counter))
    wrong: list[str] = field(default_factory=list)
    waiting: Counter[str] = field(default_factory=Counter)
    pages: int = 0
    seconds: float = 0.0

    def add(self, name: str, reading: Reading, truth: dict[str, object]) -> None:
        """Compare one reading with the truth; a key that the truth lacks stands nowhere on the paper."""
        self.pages += len(reading.pages)
        for item in FIELDS:
            value, wanted = reading[item], truth.get(item)
            right = agrees(item, value, wanted)
            outcome = "review" if value.review else "right" if right else "silent"
            self.fields[item][outcome] += 1
            if value.review:
                self.fields[item]["review, right" if right else "review, wrong"] += 1
                self.waiting[name] += 1
            if value.value is not None:
                band = max(low for low in BANDS if value.confidence >= low)
                self.bands[band][right] += 1
            if outcome == "silent":
                how = f"{value.confidence:.2f} {value.method} {value.raw[:50]!r}"
                self.wrong.append(f"{name}: {item}: {value.value!r} for {wanted!r} ({how})")

    def show(self, *, reviews: bool = False) -> None:
        """Print the tables."""
        _say(f"{'field':16}{'right':>7}{'review':>8}{'(right)':>9}{'(wrong)':>9}{'silent':>8}")
        for item in FIELDS:
            c = self.fields[item]
            _say(f"{item:16}{c['right']:7}{c['review']:8}{c['review, right']:9}{c['review, wrong']:9}{c['silent']:8}")
        _say("\nconfidence      right  wrong   share right")
        for low, high in itertools.pairwise(BANDS):
            good, bad = self.bands[low][True], self.bands[low][False]
            if good + bad:
                _say(f"{low:.2f} to {min(high, 1):.2f} {good:8} {bad:6}   {good / (good + bad):.3f}")
        rate = 60 * self.pages / self.seconds if self.seconds else 0
        _say(f"\n{self.pages} pages in {self.seconds:.1f} s: {rate:.0f} pages a minute")
        _say(f"papers with a doubt: {len(self.waiting)}")
        for line in self.wrong:
            _say(f"SILENT {line}")
        if reviews:
            for name, count in self.waiting.items():
                _say(f"WAITS {name}: {count}")


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")


def agrees(item: str, value: Value, wanted: object) -> bool:
    """Whether a value is the true one; names agree but for suffix and punctuation, numbers but for blanks."""
    if value.value is None or wanted is None:
        return value.value is None and wanted is None
    if item == "entity_name":
        return same_name(str(value.value), str(wanted))
    if item in {"file_number", "form"}:
        return "".join(str(value.value).split()) == "".join(str(wanted).split())
    return value.value == wanted


def main(folder: str, truth: str) -> None:
    """Read every paper of the folder that the truth knows."""
    score = Score()
    for row in tomllib.loads(Path(truth).read_text("utf-8"))["paper"]:
        data = (Path(folder) / row["file"]).read_bytes()
        start = time.perf_counter()
        reading = read_bytes(data, limits=DEFAULT_LIMITS)[0]
        score.seconds += time.perf_counter() - start
        score.add(row["file"], reading, row)
    score.show(reviews=True)


if __name__ == "__main__":
    main(*sys.argv[1:3])
