"""The real command, `quietus desk`, running in a process of its own."""

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.desk.conftest import PASSPHRASE

QUIETUS = Path(sys.executable).with_name("quietus")


@dataclass(frozen=True, slots=True)
class Running:
    """A desk that runs: its process and the address it printed."""

    process: subprocess.Popen[str]
    address: str

    @property
    def port(self) -> int:
        """The port it listens on."""
        return int(re.findall(r":(\d+)/", self.address)[0])


@contextmanager
def running(home: Path, *options: str) -> Iterator[Running]:
    """Start the desk of the office in `home`, and end it when the block ends."""
    process = subprocess.Popen(
        [QUIETUS, "desk", "--no-browser", "--home", home, *options],
        env=os.environ | {"QUIETUS_PASSPHRASE": PASSPHRASE.decode()},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        line = process.stdout.readline() if process.stdout else ""
        found = re.search(r"http://\S+", line)
        if found is None:
            raise AssertionError(f"no address: {line}{process.communicate(timeout=20)[1]}")
        yield Running(process, found[0])
    finally:
        process.terminate()
        process.communicate(timeout=20)
