"""Play the scenario with the installed command: the same steps a preparer takes, in `demo_office/`."""

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
OFFICE = HERE.parent / "demo_office"
ASOF = "2026-11-20"
"""The day the scenario is played on, so that the demo says the same on any day."""


def say(text: str) -> None:
    """Print a heading of the play."""
    print(f"\n# {text}", flush=True)


def quietus(*arguments: str, ends: int) -> None:
    """Run one command in the office and stop the play when its exit status is not the one expected."""
    print(f"\n$ quietus {shlex.join(arguments)}", flush=True)
    environment = {**os.environ, "QUIETUS_PASSPHRASE": "demo only - choose your own", "QUIETUS_HOME": str(OFFICE)}
    done = subprocess.run(["quietus", *arguments], env=environment, check=False)  # noqa: S603, S607
    if done.returncode != ends:
        sys.exit(f"the demo expected exit status {ends}, got {done.returncode}")


def play() -> None:
    """The whole scenario."""
    if OFFICE.exists():
        shutil.rmtree(OFFICE)
    say("An office: an encrypted vault, an inbox, a config file")
    quietus("init", str(OFFICE), ends=0)
    say("Two companies being closed: one still has gaps, one is done")
    quietus("entity", "import", str(HERE / "entities.toml"), ends=0)
    say("The scans of the day go into the inbox and are taken in (status 1: some wait for a person)")
    for scan in sorted((HERE / "scans").iterdir()):
        shutil.copy(scan, OFFICE / "inbox" / scan.name)
    quietus("ingest", ends=1)
    quietus("review", ends=1)
    say("How long each paper is kept")
    quietus("retain", "list", "saltmarsh-sheeter", ends=0)
    say("Every sealed paper, row and journal link is as it was written")
    quietus("check", ends=0)
    say("A lender asks about the company that is done")
    proof = OFFICE / "bundles" / "saltmarsh-lender"
    quietus("verify", "saltmarsh-sheeter", "--asof", ASOF, ends=0)
    quietus("bundle", "saltmarsh-sheeter", "--for", "lender", "--to", "Loan desk, Copperkettle Bank", "--asof", ASOF,
            "-o", str(proof), ends=0)  # fmt: skip
    say("The other company: refused while it has gaps (status 1)")
    quietus(
        "bundle", "brindlewick-oven", "--for", "lender", "--asof", ASOF, "-o", str(OFFICE / "bundles" / "no"), ends=1
    )
    say("What is not proven, and what to do next (status 1: gaps)")
    quietus("verify", "brindlewick-oven", "--asof", ASOF, ends=1)
    where = proof.relative_to(HERE.parent) / "data" / "proof-of-closure.pdf"
    print(f"\nThe proof of closure for the lender is {where}.")
    print("The office is demo_office/; `make clean` removes it.")


if __name__ == "__main__":
    play()
