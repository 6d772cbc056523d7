"""Published vectors through the very functions the vault calls.

NIST CAVP (SP 800-38D, SP 800-38F) and RFC 5869, 9106 and 4231 as the `cryptography_vectors` package carries them; also
from there the Ed25519 vectors of its authors, from which RFC 8032 section 7.1 takes its own. RFC 3394 section 4 as
printed there. Argon2id also against the reference implementation in argon2-cffi.
"""

from collections.abc import Iterator
from importlib.resources import files

import pytest
from argon2.low_level import Type, hash_secret_raw

from quietus.model.errors import Damaged
from quietus.vault.crypto import (
    DEFAULT_COST,
    Cost,
    hkdf,
    mac,
    seal,
    sign,
    signed,
    signer,
    stretch,
    unseal,
    unwrap,
    wrap,
)

pytestmark = pytest.mark.outside

Case = dict[str, str]


def cases(path: str, *, first: str) -> Iterator[Case]:
    """Cases of a vector file of `key = value` lines; each begins with the key `first` and inherits its section head."""
    head: Case = {}
    case: Case = {}
    for line in files("cryptography_vectors").joinpath(path).read_text(encoding="ascii").splitlines():
        key, _, value = (part.strip() for part in line.strip("[] ").partition("="))
        if line.startswith("["):
            head[key] = value
        elif key.upper() == first:
            if case:
                yield case
            case = {**head}
        elif key and not line.startswith("#"):
            case[key] = value
    yield case


def octets(case: Case, key: str) -> bytes:
    return bytes.fromhex(case[key])


def gcm(path: str) -> list[Case]:
    """The cases of the nonce and tag lengths that the vault uses: 96 and 128 bits."""
    found = [c for c in cases(path, first="COUNT") if (c["IVlen"], c["Taglen"]) == ("96", "128")]
    assert len(found) > 300
    return found


@pytest.mark.parametrize("size", [128, 192, 256])
def test_sealing_gives_the_ciphertexts_of_nist(size: int) -> None:
    for case in gcm(f"ciphers/AES/GCM/gcmEncryptExtIV{size}.rsp"):
        sealed = seal(octets(case, "Key"), octets(case, "IV"), octets(case, "PT"), octets(case, "AAD"))
        assert sealed == octets(case, "CT") + octets(case, "Tag")


@pytest.mark.parametrize("size", [128, 192, 256])
def test_unsealing_opens_what_nist_opens_and_refuses_what_nist_refuses(size: int) -> None:
    refused = 0
    for case in gcm(f"ciphers/AES/GCM/gcmDecrypt{size}.rsp"):
        parts = (octets(case, "Key"), octets(case, "IV"), octets(case, "CT") + octets(case, "Tag"), octets(case, "AAD"))
        if "FAIL" in case:
            refused += 1
            with pytest.raises(Damaged):
                unseal(*parts)
        else:
            assert unseal(*parts) == octets(case, "PT")
    assert refused > 100


# RFC 3394 sections 4.1 to 4.6: key-encrypting key, key data, ciphertext.
KEK = "000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f"
DATA = "00112233445566778899aabbccddeeff000102030405060708090a0b0c0d0e0f"
RFC_3394 = [
    (KEK[:32], DATA[:32], "1fa68b0a8112b447aef34bd8fb5a7b829d3e862371d2cfe5"),
    (KEK[:48], DATA[:32], "96778b25ae6ca435f92b5b97c050aed2468ab8a17ad84e5d"),
    (KEK, DATA[:32], "64e8c3f9ce0f5ba263e9777905818a2a93c8191e7d6e8ae7"),
    (KEK[:48], DATA[:48], "031d33264e15d33268f24ec260743edce1c6c7ddee725a936ba814915c6762d2"),
    (KEK, DATA[:48], "a8f9bc1612c68b3ff6e6f4fbe30e71e4769c8b80a32cb8958cd5d17d6b254da1"),
    (KEK, DATA, "28c9f404c4b810f4cbccb35cfb87f8263f5786e2d80ed326cbc7f0e71a99f43bfb988b9b7a02dd21"),
]


@pytest.mark.parametrize(("kek", "data", "wrapped"), RFC_3394)
def test_wrapping_gives_the_ciphertexts_of_rfc_3394(kek: str, data: str, wrapped: str) -> None:
    assert wrap(bytes.fromhex(kek), bytes.fromhex(data)).hex() == wrapped
    assert unwrap(bytes.fromhex(kek), bytes.fromhex(wrapped)).hex() == data


@pytest.mark.parametrize("size", [128, 192, 256])
def test_wrapping_gives_the_ciphertexts_of_nist(size: int) -> None:
    for case in cases(f"keywrap/kwtestvectors/KW_AE_{size}.txt", first="COUNT"):
        assert wrap(octets(case, "K"), octets(case, "P")) == octets(case, "C")


@pytest.mark.parametrize("size", [128, 192, 256])
def test_unwrapping_opens_what_nist_opens_and_refuses_what_nist_refuses(size: int) -> None:
    refused = 0
    for case in cases(f"keywrap/kwtestvectors/KW_AD_{size}.txt", first="COUNT"):
        if "FAIL" in case:
            refused += 1
            with pytest.raises(Damaged):
                unwrap(octets(case, "K"), octets(case, "C"))
        else:
            assert unwrap(octets(case, "K"), octets(case, "C")) == octets(case, "P")
    assert refused > 10


def test_subkeys_come_from_the_hkdf_of_rfc_5869() -> None:
    found = list(cases("KDF/rfc-5869-HKDF-SHA256.txt", first="COUNT"))
    assert len(found) == 3
    for case in found:
        salt, info = octets(case, "salt"), octets(case, "info")
        assert hkdf(octets(case, "IKM"), salt=salt, info=info, length=int(case["L"])).hex() == case["OKM"]


def test_the_header_is_authenticated_with_the_hmac_of_rfc_4231() -> None:
    found = list(cases("HMAC/rfc-4231-sha256.txt", first="LEN"))
    assert len(found) >= 5
    for case in found:
        assert mac(octets(case, "Key"), octets(case, "Msg")) == case["MD"]


def argon2id_cases() -> list[Case]:
    return [c for c in cases("KDF/argon2id.txt", first="COUNT") if c["length"] == "32"]


def test_a_passphrase_is_stretched_by_the_argon2id_of_rfc_9106() -> None:
    outputs = []
    for case in argon2id_cases():
        cost = Cost(passes=int(case["iter"]), memory_kib=int(case["memcost"]), lanes=int(case["lanes"]))
        extras = {name: octets(case, name) for name in ("secret", "ad") if name in case}
        outputs.append(stretch(octets(case, "pass"), octets(case, "salt"), cost, **extras).hex())
        assert outputs[-1] == case["output"].lower()
    # RFC 9106 section 5.3.
    assert "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659" in outputs


@pytest.mark.parametrize("cost", [Cost(2, 19 * 1024, 1), Cost(3, 32 * 1024, 2), DEFAULT_COST], ids=str)
def test_a_passphrase_is_stretched_as_the_reference_implementation_does(cost: Cost) -> None:
    phrase, salt = "bread, salt & quietus \N{SNOWMAN}".encode(), bytes(range(16))
    reference = hash_secret_raw(phrase, salt, cost.passes, cost.memory_kib, cost.lanes, 32, Type.ID, version=0x13)
    assert stretch(phrase, salt, cost) == reference


def test_checkpoints_are_signed_by_the_ed25519_of_rfc_8032() -> None:
    text = files("cryptography_vectors").joinpath("asymmetric/Ed25519/sign.input").read_text(encoding="ascii")
    lines = text.splitlines()
    assert len(lines) == 1024
    for line in lines:
        secret, public, message, both = (bytes.fromhex(part) for part in line.split(":")[:4])
        seed, signature = secret[:32], both[:64]
        assert signer(seed) == public
        assert sign(seed, message) == signature
        assert signed(public, message, signature)
        assert not signed(public, message + b"x", signature)
        assert not signed(public, message, signature[:-1] + bytes([signature[-1] ^ 1]))
    # RFC 8032 section 7.1, TEST 1.
    assert lines[0].startswith("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
