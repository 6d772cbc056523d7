"""The reasons why a file is not read, each with a sentence for the person and a remedy. No file is ever cut to fit."""

from quietus.model.errors import Unreadable

_AGAIN = "Scan the paper again or ask for the file again, then drop it in the inbox."
_WORDS: dict[str, tuple[str, str]] = {
    "empty": ("The file is empty.", _AGAIN),
    "not-a-scan": (
        "The file is neither a PDF nor a TIFF, JPEG or PNG picture, whatever its name says.",
        "Save or scan it as PDF, TIFF, JPEG or PNG.",
    ),
    "truncated": ("The file ends before it is complete.", _AGAIN),
    "damaged": ("The file cannot be opened: its structure is broken.", _AGAIN),
    "password-needed": (
        "The PDF opens only with a password.",
        "Save a copy without the password and drop that in the inbox.",
    ),
    "too-many-pixels": (
        "A page of the file has more pixels than the limit allows.",
        "Scan it again at 300 dots per inch, letter or legal size.",
    ),
    "too-many-pages": ("The file has more pages than the limit allows.", "Split it into smaller files."),
    "too-large": ("The file has more bytes than the limit allows.", "Split it, or scan it again at 300 dots per inch."),
    "no-pages": ("The file has no page.", _AGAIN),
    "no-such-page": ("The file has no page of that number.", "Ask for a page between 1 and its page count."),
    "too-much-memory": (
        "Reading the file would take more memory than the limit allows.",
        "Scan it again at 300 dots per inch, or split it.",
    ),
    "took-too-long": ("Reading the file took longer than the limit allows and was stopped.", "Split it or scan again."),
    "reader-died": ("The program that reads scans broke down on this file.", _AGAIN),
}
REASONS = frozenset(_WORDS)
"""Every reason that reading may give. Stable: quarantine shows them and people script against them."""


def refuse(reason: str) -> Unreadable:
    """The error for `reason`, one of REASONS, ready to be raised."""
    message, remedy = _WORDS[reason]
    return Unreadable(reason, message, remedy)
