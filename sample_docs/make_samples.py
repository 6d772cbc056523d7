"""Draw the sample scans again: the same bytes each time.

Usage: python sample_docs/make_samples.py [--into FOLDER] [FILE ...]
"""

import argparse
from pathlib import Path

from drawing.scenes import SCENES, drawn

SCANS = Path(__file__).parent / "scans"


def main() -> None:
    """Write the scans named, or all of them."""
    parser = argparse.ArgumentParser(description="Draw the sample scans again: the same bytes each time.")
    parser.add_argument("names", nargs="*", metavar="FILE", help="file names to draw; all of them when none is given")
    parser.add_argument("--into", type=Path, default=SCANS, metavar="FOLDER", help="where to write (default: scans/)")
    asked = parser.parse_args()
    unknown = sorted(set(asked.names) - set(SCENES))
    if unknown:
        parser.error(f"no such sample: {', '.join(unknown)}")
    asked.into.mkdir(parents=True, exist_ok=True)
    for name, data in drawn(asked.names or list(SCENES)).items():
        (asked.into / name).write_bytes(data)


if __name__ == "__main__":
    main()
