"""A BagIt 1.0 folder (RFC 8493) with SHA-256 manifests, and the same folder as one zip.

Written here and not with the `bagit` package: that one moves a folder's content into `data/` in place, dates the bag by
its own clock and leaves tag files of its own; what is needed is forty lines. The package is the outside check.
"""

import hashlib
import re
import shutil
import stat
import zipfile
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType

CHUNK_BYTES = 1 << 20
MANIFEST, TAG_MANIFEST = "manifest-sha256.txt", "tagmanifest-sha256.txt"
_DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"  # RFC 8493 section 2.1.1, to the byte


def write_bag(
    folder: Path, info: Mapping[str, str], tag_files: Mapping[str, str], known: Mapping[str, str] = MappingProxyType({})
) -> int:
    """Turn `folder`, whose payload already lies in `data/`, into a bag.

    Args:
        folder: the bag's folder.
        info: labels and values of bag-info.txt, in order; Payload-Oxum is added (RFC 8493 section 2.2.2).
        tag_files: further tag files by name.
        known: SHA-256 by path in the bag, for files whose hash was taken as they were written.

    Returns:
        The size of the payload in bytes.
    """
    payload = sorted(path for path in (folder / "data").rglob("*") if path.is_file())
    size = sum(path.stat().st_size for path in payload)
    written = {
        "bagit.txt": _DECLARATION,
        "bag-info.txt": _info({**info, "Payload-Oxum": f"{size}.{len(payload)}"}),
        **tag_files,
        MANIFEST: _manifest(folder, payload, known),
    }
    for name, text in written.items():
        _write(folder / name, text)
    _write(folder / TAG_MANIFEST, _manifest(folder, [folder / name for name in sorted(written)], {}))
    return size


def sha256_of(path: Path) -> str:
    """SHA-256 of a file, hex, without holding it whole in memory."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def zip_bag(folder: Path, target: Path, when: datetime) -> None:
    """Write `folder` as one zip, named inside as `target` without its suffix; the same files give the same bytes.

    Members are sorted and stored as they are (scans do not shrink), all dated `when` in UTC.
    """
    moment = max(when.astimezone(UTC), datetime(1980, 1, 1, tzinfo=UTC))  # the format can't say less
    with zipfile.ZipFile(target, "x", zipfile.ZIP_STORED) as made:
        for path in sorted(path for path in folder.rglob("*") if path.is_file()):
            member = zipfile.ZipInfo(f"{target.stem}/{path.relative_to(folder).as_posix()}", moment.timetuple()[:6])
            member.create_system = 3  # Unix, wherever it is made
            member.external_attr = (stat.S_IFREG | 0o644) << 16
            member.file_size = path.stat().st_size
            with path.open("rb") as source, made.open(member, "w") as sink:
                shutil.copyfileobj(source, sink, CHUNK_BYTES)


def _manifest(folder: Path, paths: Iterable[Path], known: Mapping[str, str]) -> str:
    lines = []
    for path in paths:
        name = path.relative_to(folder).as_posix()
        lines.append(f"{known.get(name) or sha256_of(path)}  {_listed(name)}\n")
    return "".join(lines)


def _listed(path: str) -> str:
    """A path as a manifest lists it (RFC 8493 section 2.1.3: CR, LF and percent signs are encoded)."""
    return path.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _info(info: Mapping[str, str]) -> str:
    return "".join(f"{label}: {_one_line(value)}\n" for label, value in info.items() if value)


def _one_line(text: str) -> str:
    """A value without line breaks or other control characters: a new line would begin a new label."""
    return re.sub(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]+", " ", text).strip()


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")
