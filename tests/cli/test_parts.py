"""A batch at the terminal: taken in as the papers it holds, made one again, cut anew, shown."""

import json
import os
import time
from pathlib import Path

from tests.cli.test_whole import run
from tests.closing.test_parts import BATCH


def test_a_batch_is_taken_apart_and_a_person_corrects_the_cut(tmp_path: Path) -> None:
    home = tmp_path / "office"
    assert run(home, "init", str(home)).returncode == 0
    scan = home / "inbox" / "batch.pdf"
    scan.write_bytes(BATCH)
    os.utime(scan, (time.time() - 600,) * 2)
    (outcome,) = map(json.loads, run(home, "ingest", "--json").stdout.splitlines())
    assert [paper["name"] for paper in outcome["papers"]] == ["batch.pdf pages 1-2", "batch.pdf page 3"]
    part = outcome["papers"][0]["id"]
    assert run(home, "review", "whole", part).stdout.startswith("batch.pdf: ")
    shown = json.loads(run(home, "paper", "show", part, "--json").stdout)
    assert shown["standing"] == "replaced"
    whole = shown["into"][0]["paper"]
    cut = run(home, "review", "split", whole, "--at", "2", "--at", "3").stdout
    assert [line.partition(":")[0] for line in cut.splitlines()] == [f"batch.pdf page {n}" for n in (1, 2, 3)]
    wrong = run(home, "review", "split", part, "--at", "9")
    assert wrong.returncode == 2
    assert "No paper begins there." in wrong.stderr
