"""Run a measurement: python -m benchmarks NAME [options]. Without a name, every one with its own defaults."""

import sys
from collections.abc import Callable, Sequence

from benchmarks import bundle, reading, retention, sealing, verify

MEASUREMENTS: dict[str, Callable[[Sequence[str]], None]] = {
    "bundle": bundle.main,
    "reading": reading.main,
    "retention": retention.main,
    "sealing": sealing.main,
    "verify": verify.main,
}


def main(words: Sequence[str]) -> None:
    """Run the measurement named first, with the rest as its options."""
    if not words:
        for measure in MEASUREMENTS.values():
            measure([])
        return
    name, *options = words
    if name not in MEASUREMENTS:
        sys.exit(f"No such measurement. There are: {', '.join(MEASUREMENTS)}")
    MEASUREMENTS[name](options)


if __name__ == "__main__":
    main(sys.argv[1:])
