"""What quietus is installed from: pinned, hashed, from no address of anyone's, under licences that go with ours."""

import re
from importlib.metadata import metadata
from pathlib import Path

import pytest

HERE = Path(__file__).parent.parent
FILES = sorted((HERE / "requirements").glob("*.txt"))
PACKAGE = re.compile(r"^(?P<name>[a-z0-9._-]+)==\S+(?P<where> ; [^\\]+)? \\$", re.MULTILINE)

GOES_WITH_OURS = re.compile(
    r"\b(MIT|BSD|Apache|ISC|PSF|Python Software Foundation|MPL|Mozilla|HPND|LGPL|Zlib|0BSD|Unlicense)"
)
"""Permissive, or weak copyleft of a library that is used unmodified."""

UNSAID = {"sqlcipher3": "Zlib"}  # its licence file; its metadata name none


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_every_package_is_pinned_with_hashes_and_from_no_address(path: Path) -> None:
    text = path.read_text()
    for block in re.split(r"\n(?=\S)", text.strip()):
        assert re.match(r"[a-z0-9._-]+==\S+", block), block.splitlines()[0]
        assert "--hash=sha256:" in block, block.splitlines()[0]
    assert "://" not in text


def test_every_run_time_package_has_a_licence_that_goes_with_ours() -> None:
    wanted = [m["name"] for m in PACKAGE.finditer((HERE / "requirements" / "run.txt").read_text()) if not m["where"]]
    assert len(wanted) > 20
    for name in wanted:
        about = metadata(name)
        said = [str(about[field]) for field in ("License-Expression", "License") if field in about]
        said += [c for c in about.get_all("Classifier") or [] if c.startswith("License")]
        said += [UNSAID[name]] if name in UNSAID else []
        assert GOES_WITH_OURS.search(" ".join(said)), f"{name}: {said}"
