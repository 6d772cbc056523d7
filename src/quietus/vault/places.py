"""Where backups are kept: a folder, or a bucket of an S3-compatible store. Both keep named pieces of a few MiB."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

from quietus.model.errors import MachineFault, Misuse
from quietus.vault.durable import TEMPORARY, machine_faults, make_folder, sync_folder, write_new


class Place(Protocol):
    """Named pieces, each written whole or not at all. Names are relative, with `/` between their parts."""

    def put(self, name: str, data: bytes) -> None:
        """Store a piece durably, over a former one of that name."""

    def get(self, name: str) -> bytes | None:
        """The piece of that name; None when there is none."""

    def names(self, folder: str) -> Iterator[str]:
        """Names of all pieces that begin with `folder/`, in any order."""

    def remove(self, name: str) -> None:
        """Remove a piece; nothing happens when there is none."""


class FolderPlace:
    """A folder on this machine, an external disk or a network drive."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder.absolute()

    def put(self, name: str, data: bytes) -> None:
        """Store a piece durably."""
        path = self._folder / name
        with machine_faults():
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            for parent in reversed(path.parents):
                if parent.is_relative_to(self._folder):
                    make_folder(parent)
        write_new(path, [data], over=True)

    def get(self, name: str) -> bytes | None:
        """The piece, or None."""
        with machine_faults():
            try:
                return (self._folder / name).read_bytes()
            except FileNotFoundError:
                return None

    def names(self, folder: str) -> Iterator[str]:
        """Names of all pieces in a folder."""
        with machine_faults():
            for path in (self._folder / folder).rglob("*"):
                if path.is_file() and not path.name.startswith(TEMPORARY):
                    yield path.relative_to(self._folder).as_posix()

    def remove(self, name: str) -> None:
        """Remove a piece, if it is there."""
        path = self._folder / name
        with machine_faults():
            path.unlink(missing_ok=True)
            if path.parent.exists():
                sync_folder(path.parent)


class BucketPlace:
    """A bucket, reached by obstore. Keys and region come from the environment, as AWS tools take them."""

    def __init__(self, url: str, **options: Any) -> None:
        import obstore.store  # noqa: PLC0415 - only those who back up to a bucket pay for loading it

        with _store_faults():
            self._store: Any = obstore.store.from_url(url, **options)

    def put(self, name: str, data: bytes) -> None:
        """Store a piece durably."""
        with _store_faults():
            self._store.put(name, data)

    def get(self, name: str) -> bytes | None:
        """The piece, or None."""
        with _store_faults():
            try:
                return bytes(self._store.get(name).bytes())
            except FileNotFoundError:
                return None

    def names(self, folder: str) -> Iterator[str]:
        """Names of all pieces in a folder."""
        with _store_faults():
            for batch in self._store.list(folder):
                for item in batch:
                    yield item["path"]

    def remove(self, name: str) -> None:
        """Remove a piece, if it is there."""
        with _store_faults():
            self._store.delete(name)


def place_at(where: str) -> Place:
    """The place that a path or an `s3://bucket/folder` address names.

    Raises:
        Misuse: the address is of another kind.
    """
    if where.startswith("s3://"):
        return BucketPlace(where)
    if "://" in where:
        raise Misuse("Backups go to a folder or to an s3:// address.", "Give one of these.")
    return FolderPlace(Path(where))


@contextmanager
def _store_faults() -> Iterator[None]:
    from obstore.exceptions import BaseError  # noqa: PLC0415 - see BucketPlace

    try:
        yield
    except (BaseError, OSError, ValueError) as error:  # it raises Python's own too: no such bucket
        raise MachineFault(
            "The bucket could not be read or written.",
            "Check its address, the keys and region in the environment, and the network.",
        ) from error
