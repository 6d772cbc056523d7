"""What `quietus bundle` starts beside itself."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.closing.answering import COMPANY, closed_office

PASSPHRASE = "test passphrase, not a secret"
RUN = f"""
import os
from pathlib import Path
from quietus.cli.app import run

run(["bundle", "{COMPANY.slug}", "--for", "no-such-purpose", "-o", "out"])
me = os.getpid()
for child in Path(f"/proc/{{me}}/task/{{me}}/children").read_text().split():
    print("told" if b"QUIETUS_" in Path(f"/proc/{{child}}/environ").read_bytes() else "not told")
"""


@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")
def test_the_processes_that_are_started_early_are_told_no_passphrase(tmp_path: Path) -> None:
    with closed_office(tmp_path / "office"):
        pass
    environment = {**os.environ, "QUIETUS_HOME": str(tmp_path / "office"), "QUIETUS_PASSPHRASE": PASSPHRASE}
    ran = subprocess.run([sys.executable, "-c", RUN], env=environment, capture_output=True, check=True, text=True)
    assert set(ran.stdout.split("\n")) == {"not told", ""}
    assert "no such purpose" in ran.stderr
