"""`quietus read --json`: the documented shape, and refusals in words."""

import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from quietus.model.reading import FIELDS
from tests.conftest import ROOT, SCANS

COMMAND = Path(sys.executable).with_name("quietus")
DOCUMENTED = (
    "kind", "jurisdiction", "filing_date", "entity_name", "ein", "file_number", "stamped", "final_box", "period_end",
    "valid_until",
)  # fmt: skip


def read(*files: Path) -> tuple[int, list[dict[str, object]]]:
    done = subprocess.run([COMMAND, "read", *files, "--json"], capture_output=True, text=True, check=False)
    return done.returncode, [json.loads(line) for line in done.stdout.splitlines()]


@pytest.mark.ocr
def test_every_field_is_an_object_of_the_documented_shape() -> None:
    status, (line,) = read(SCANS / "a03-co-statement-of-foreign-entity-withdrawal.pdf")
    assert status == 0
    assert line["pages"] == [1]
    assert set(DOCUMENTED) <= set(FIELDS)
    for name in FIELDS:
        value = line[name]
        assert isinstance(value, dict)
        assert list(value) == ["value", "confidence", "review", "page", "box", "raw", "method"]


@pytest.mark.ocr
@pytest.mark.xdist_group("samples")
def test_no_sample_is_silently_misread() -> None:
    truth = {row["file"]: row for row in tomllib.loads((ROOT / "sample_docs" / "truth.toml").read_text())["paper"]}
    status, lines = read(*sorted(SCANS.iterdir()))
    assert status == 0
    assert len(lines) == len(truth)
    wrong = []
    for line in lines:
        row = truth[Path(str(line["file"])).name]
        for name in FIELDS:
            value, expected = line[name], row.get(name)
            assert isinstance(value, dict)
            right = str(value["value"]) == str(expected)
            if not right and not value["review"] and not (name == "entity_name" and expected is None):
                wrong.append((row["file"], name))
    assert [w for w in wrong if w[1] in {"kind", "jurisdiction", "filing_date", "stamped", "final_box"}] == []
    assert wrong == []


def test_a_file_that_cant_be_read_gives_a_line_and_status_two(tmp_path: Path) -> None:
    text = tmp_path / "letter.pdf"
    text.write_text("not a scan")
    status, lines = read(text, tmp_path / "none.pdf")
    assert status == 2
    assert [line["refused"] for line in lines] == ["not-a-scan", "misuse"]
