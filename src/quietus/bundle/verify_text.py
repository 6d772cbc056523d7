"""VERIFY.txt: how a stranger checks a bundle with ordinary tools."""

from quietus.bundle.bag import MANIFEST, TAG_MANIFEST


def verify_text() -> str:
    """The text. It names no company and no person: the same words lie in every bundle."""
    return f"""HOW TO CHECK THIS FOLDER

Nothing has to be installed. Open a terminal in this folder, the one that holds VERIFY.txt.

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

WHAT THIS SHOWS, AND WHAT IT DOES NOT

It shows that the files are those that were listed when the folder was made. It does not show who made it: whoever
changes a file can also change the lists. To rule that out, ask the sender, over another way than this folder came,
for the SHA-256 hash of {MANIFEST}, and compare it with the output of

    sha256sum {MANIFEST}

WHAT IS IN HERE

    data/proof-of-closure.pdf   the document to read
    data/originals/             the papers, exactly as they were received
    data/summary.json           the same facts for machines

The SHA-256 hash on the slip sheet of each exhibit in the PDF is that of its file in data/originals/.
The folder keeps to BagIt 1.0 (RFC 8493), so any BagIt checker can look at it as well.
"""
