"""VERIFY.txt: how a stranger checks a bundle with ordinary tools."""

from collections.abc import Collection

from quietus.bundle.bag import MANIFEST, TAG_MANIFEST
from quietus.bundle.signature import Sealed

PROOF = "data/proof-of-closure.pdf"

_FILES = f"""HOW TO CHECK THIS FOLDER

Open a terminal in this folder, the one that holds VERIFY.txt. Step 1 needs nothing that is not there already.

1. THE FILES

Linux
    sha256sum --check {MANIFEST}
    sha256sum --check {TAG_MANIFEST}

macOS
    shasum -a 256 --check {MANIFEST}
    shasum -a 256 --check {TAG_MANIFEST}

Windows (PowerShell)
    Get-Content {MANIFEST}, {TAG_MANIFEST} | ForEach-Object {{
        $hash, $file = $_ -split '  ', 2
        if ((Get-FileHash -Algorithm SHA256 $file).Hash -eq $hash) {{ "${{file}}: OK" }} else {{ "${{file}}: FAILED" }}
    }}

Every line has to end in OK. FAILED, or a file that cannot be found, means that the folder is not as it was made.
Files under data/ that {MANIFEST} does not list were added later.

The folder keeps to BagIt 1.0 (RFC 8493), so any BagIt checker finds the same, such as the Python package bagit:
    python3 -m bagit --validate .
Any PDF checker can look at the document, such as qpdf:
    qpdf --check {PROOF}

This shows that the files are those that were listed when the folder was made. It does not show who made it: whoever
changes a file can also change the lists. To rule that out, ask the sender, over another way than this folder came,
for the SHA-256 hash of {MANIFEST}, and compare it with the output of

    sha256sum {MANIFEST}
"""

_STAMPED = """
The seal carries a time stamp (RFC 3161) of an independent service: PDF readers show its time.
"""

_JOURNAL = """
{step}. THE JOURNAL

The sender keeps a journal of everything done to the papers. Each entry is chained to all others, so that none can be
changed, added or taken out later without changing the root in data/journal/checkpoint.txt. That statement is signed:

    openssl pkeyutl -verify -pubin -inkey data/journal/key.pem \\
        -rawin -in data/journal/checkpoint.txt -sigfile data/journal/checkpoint.sig

For each exhibit data/journal/ holds the entry that was written when the paper was filed, and the hashes that lead from
it to the root (RFC 9162, section 2.1.3.2). These lines follow them, with nothing but Python's standard library:

python3 - data/journal/exhibit-*.json <<'END'
import hashlib, json, sys
told = dict(row.split(" ", 1) for row in open("data/journal/checkpoint.txt").read().splitlines()[1:])
files = dict(row.split("  ", 1) for row in open("manifest-sha256.txt").read().splitlines())
for name in sys.argv[1:]:
    proof = json.load(open(name))
    at, last = proof["number"] - 1, int(told["entries"]) - 1
    found = hashlib.sha256(b"\\0" + proof["line"].encode()).digest()
    for step in map(bytes.fromhex, proof["path"]):
        left = at & 1 or at == last
        found = hashlib.sha256(b"\\1" + (step + found if left else found + step)).digest()
        while left and at and not at & 1:
            at, last = at >> 1, last >> 1
        at, last = at >> 1, last >> 1
    good, paper = last == 0 and found.hex() == told["root"], proof.get("paper")
    shown = "a paper of which you have a copy"
    if paper:
        salted = hashlib.sha256(bytes.fromhex(paper["salt"] + paper["sha256"])).hexdigest()
        good = good and salted == json.loads(proof["line"])["paper"] and paper["sha256"] in files
        shown = files.get(paper["sha256"], "")
    print(name + ":", "OK, " + shown if good else "FAILED")
END

This shows that an entry of that number and time is in the journal, and, where a file is named, that the entry was
written for this very file: the entry shows the hash of a salt and the file's SHA-256 hash, and the proof tells both.
For a redacted copy it does not, since the hash of the whole paper could confirm a guess at what was blacked out. The
rest of an entry is sealed, since it names the client; the sender can open it. To rule out a second journal, ask the
sender for the checkpoint over another way, or compare it with one that you were given before.
"""

_SHOWS = """
WHAT IS IN HERE

    data/proof-of-closure.pdf   the document to read
{files}    data/summary.json           the same facts for machines

The SHA-256 hash on the slip sheet of each exhibit in the document is that of its file.
"""

_FOLDERS = {
    "data/originals/": "papers exactly as they were received",
    "data/redacted/": "copies with places blacked out: pictures made anew, nothing lies under the black",
    "data/seal/": "the seal's certificate, and the seal once more as a file of its own",
    "data/journal/": "the journal's word for each paper",
}


def verify_text(*, sealed: Sealed | None = None, self_made: bool = True, files: Collection[str] = ()) -> str:
    """The text. It names no company and no person.

    Args:
        sealed: the seal on the document, if it carries one.
        self_made: whether nobody but the office vouches for its certificate.
        files: paths of the payload.
    """
    parts = [_FILES]
    if sealed:
        parts.append(_seal(sealed, self_made=self_made))
    if any(file.startswith("data/journal/") for file in files):
        parts.append(_JOURNAL.format(step=3 if sealed else 2))
    there = [folder for folder in _FOLDERS if any(file.startswith(folder) for file in files)]
    rows = "".join(f"    {folder:<27} {_FOLDERS[folder]}\n" for folder in there)
    return "".join([*parts, _SHOWS.format(files=rows)])


def _seal(sealed: Sealed, *, self_made: bool) -> str:
    (_, first), (second, _) = sealed.covered
    chain = "-CAfile data/seal/certificate.pem -purpose any" if self_made else "-noverify"
    trust = (
        "The certificate was made by the sender, and nobody else vouches for it. Ask the sender for its fingerprint,\n"
        "over another way than this folder came, and compare:"
        if self_made
        else "Whether to trust the certificate's issuer is for you to decide. Its fingerprint:"
    )
    return f"""
2. THE SEAL

The document carries an electronic seal of the sender (PAdES, ETSI EN 319 142-1). PDF readers that know signatures show
it and tell when the document was changed. With OpenSSL:

    {{ head -c {first} {PROOF}; tail -c +{second + 1} {PROOF}; }} | \\
        openssl cms -verify -binary -inform DER -in data/seal/signature.p7s \\
        -content /dev/stdin {chain} -out /dev/null

{trust}

    openssl x509 -in data/seal/certificate.pem -noout -fingerprint -sha256

It is a seal of integrity: it shows that the document was not changed since the holder of the key sealed it. It is no
person's signature, and it attests nothing about the papers.
{_STAMPED if sealed.stamped else ""}"""
