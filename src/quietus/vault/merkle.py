"""The Merkle tree of RFC 9162 section 2.1: roots, and proofs that an entry is in it or that it only grew.

Pure. Where subtrees come from is the caller's matter: `Subtree(level, index)` gives the root of the leaves
`index * 2**level` up to but not including `(index + 1) * 2**level`, all of which must be there.
"""

import hashlib
from collections.abc import Callable

Subtree = Callable[[int, int], bytes]

EMPTY = hashlib.sha256(b"").digest()


def leaf(data: bytes) -> bytes:
    """Hash of one entry."""
    return hashlib.sha256(b"\0" + data).digest()


def node(left: bytes, right: bytes) -> bytes:
    """Hash of two subtrees."""
    return hashlib.sha256(b"\1" + left + right).digest()


def completed(number: int, leaf_hash: bytes, subtree: Subtree) -> list[bytes]:
    """What leaf number `number` (from 1) completes: itself, then each larger subtree that ends with it."""
    hashes = [leaf_hash]
    level = 0
    while number % (2 << level) == 0:
        hashes.append(node(subtree(level, (number >> level) - 2), hashes[-1]))
        level += 1
    return hashes


def root(size: int, subtree: Subtree) -> bytes:
    """Root of the first `size` leaves."""
    return _range(0, size, subtree) if size else EMPTY


def inclusion(index: int, size: int, subtree: Subtree) -> list[bytes]:
    """Proof that the leaf at `index` (from 0) is among the first `size` leaves (section 2.1.3.1)."""
    path: list[bytes] = []
    low, high = 0, size
    while high - low > 1:
        middle = low + _split(high - low)
        if index < middle:
            path.append(_range(middle, high, subtree))
            high = middle
        else:
            path.append(_range(low, middle, subtree))
            low = middle
    return path[::-1]


def consistency(old: int, size: int, subtree: Subtree) -> list[bytes]:
    """Proof that the first `old` leaves are the beginning of the first `size` (section 2.1.4.1); 0 < old <= size."""
    path: list[bytes] = []
    low, high = 0, size
    while old != high:
        middle = low + _split(high - low)
        if old <= middle:
            path.append(_range(middle, high, subtree))
            high = middle
        else:
            path.append(_range(low, middle, subtree))
            low = middle
    if low:
        path.append(_range(low, high, subtree))
    return path[::-1]


def includes(leaf_hash: bytes, index: int, size: int, path: list[bytes], expected: bytes) -> bool:
    """Whether the proof holds (section 2.1.3.2)."""
    if not 0 <= index < size:
        return False
    here, last, found = index, size - 1, leaf_hash
    for step in path:
        if last == 0:
            return False
        if here % 2 or here == last:
            found = node(step, found)
            while not here % 2 and here:
                here, last = here >> 1, last >> 1
        else:
            found = node(found, step)
        here, last = here >> 1, last >> 1
    return last == 0 and found == expected


def grew(old: int, size: int, path: list[bytes], old_root: bytes, new_root: bytes) -> bool:
    """Whether the proof holds that the tree of `size` leaves begins with that of `old` (section 2.1.4.2)."""
    if old == size:
        return not path and old_root == new_root
    if not 0 < old < size:
        return False
    steps = [old_root, *path] if old & (old - 1) == 0 else list(path)
    if not steps:
        return False
    here, last = old - 1, size - 1
    while here % 2:
        here, last = here >> 1, last >> 1
    before = after = steps[0]
    for step in steps[1:]:
        if last == 0:
            return False
        if here % 2 or here == last:
            before, after = node(step, before), node(step, after)
            while not here % 2 and here:
                here, last = here >> 1, last >> 1
        else:
            after = node(after, step)
        here, last = here >> 1, last >> 1
    return last == 0 and before == old_root and after == new_root


def _split(size: int) -> int:
    """The largest power of two smaller than `size`."""
    return 1 << (size - 1).bit_length() - 1


def _range(low: int, high: int, subtree: Subtree) -> bytes:
    size = high - low
    if size & (size - 1) == 0 and low % size == 0:
        level = size.bit_length() - 1
        return subtree(level, low >> level)
    middle = low + _split(size)
    return node(_range(low, middle, subtree), _range(middle, high, subtree))
