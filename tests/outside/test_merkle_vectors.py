"""The Merkle tree of RFC 9162 section 2.1 against published vectors, and proofs of every size against each other.

Leaf inputs and roots: transparency-dev/merkle, testonly/constants.go.
"""

import hashlib

import pytest

from quietus.vault import merkle

pytestmark = pytest.mark.outside

LEAVES = [
    bytes.fromhex(text)
    for text in (
        "", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f",
    )
]  # fmt: skip
ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
FIRST_OF_EIGHT = [
    "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
    "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
    "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
]
SIXTH_OF_EIGHT = [
    "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
    "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
]


class Tree:
    """Grown leaf by leaf, as the journal does it."""

    def __init__(self, leaves: list[bytes]) -> None:
        self.kept: list[list[bytes]] = []
        for number, data in enumerate(leaves, start=1):
            self.kept.append(merkle.completed(number, merkle.leaf(data), self))

    def __call__(self, level: int, index: int) -> bytes:
        return self.kept[((index + 1) << level) - 1][level]


@pytest.mark.parametrize("size", range(9))
def test_roots(size: int) -> None:
    assert merkle.root(size, Tree(LEAVES)).hex() == ROOTS[size]
    assert merkle.root(size, Tree(LEAVES[:size])).hex() == ROOTS[size]


def test_inclusion_paths() -> None:
    tree = Tree(LEAVES)
    assert [step.hex() for step in merkle.inclusion(0, 8, tree)] == FIRST_OF_EIGHT
    assert [step.hex() for step in merkle.inclusion(5, 8, tree)] == SIXTH_OF_EIGHT
    assert [step.hex() for step in merkle.inclusion(2, 3, tree)] == [ROOTS[2]]


MANY = [bytes([number]) for number in range(40)]


def test_every_leaf_of_every_size_is_proven_and_nothing_else() -> None:
    tree = Tree(MANY)
    for size in range(1, 41):
        root = merkle.root(size, tree)
        for index in range(size):
            path, leaf = merkle.inclusion(index, size, tree), merkle.leaf(MANY[index])
            assert merkle.includes(leaf, index, size, path, root)
            assert not merkle.includes(merkle.leaf(b"other"), index, size, path, root)
            assert not merkle.includes(leaf, index, size, [*path, root], root)
            assert not merkle.includes(leaf, index, size + 40, path, root)
            if size > 1:
                assert not merkle.includes(leaf, index, size, path[:-1], root)
                assert not merkle.includes(leaf, (index + 1) % size, size, path, root)


def test_growth_from_every_size_to_every_other_is_proven_and_nothing_else() -> None:
    tree = Tree(MANY)
    other = Tree([b"other", *MANY[1:]])
    for size in range(1, 41):
        root = merkle.root(size, tree)
        for old in range(1, size + 1):
            path, before = merkle.consistency(old, size, tree), merkle.root(old, tree)
            assert merkle.grew(old, size, path, before, root)
            assert not merkle.grew(old, size, path, merkle.root(old, other), root)
            assert not merkle.grew(old, size, path, before, merkle.root(size, other))
            assert not merkle.grew(old, size, [*path, root], before, root)
            assert not merkle.grew(0, size, path, before, root)
            if path:
                assert not merkle.grew(old, size, path[:-1], before, root)


def test_a_leaf_is_never_taken_for_a_node() -> None:
    left, right = merkle.leaf(b"a"), merkle.leaf(b"b")
    assert merkle.leaf(left + right) != merkle.node(left, right)
    assert hashlib.sha256().digest() == merkle.EMPTY
