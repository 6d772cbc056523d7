"""Company names: the same company under small differences of writing, and never a different company."""

import re
import unicodedata
from functools import lru_cache

_SUFFIXES = (
    ("limited", "liability", "company"),
    ("limited", "liability", "co"),
    ("ltd", "liability", "co"),
    ("llc",),
    ("lc",),
)
_WORDS = {"and": "&", "company": "co", "incorporated": "inc", "corporation": "corp", "limited": "ltd"}


@lru_cache(maxsize=8192)  # the papers of one company carry its name in few writings
def bare_name(name: str) -> str:
    """The name without case, accents, punctuation and the limited-liability suffix; `&` and `and` are one.

    A different legal form (Inc., Corp., LP) is kept: it is a different company.
    """
    text = unicodedata.normalize("NFKD", name)
    text = "".join(c for c in text if not unicodedata.combining(c)).lower().replace("&", " and ")
    text = re.sub(r"\b([a-z])\.(?=[a-z]\b)", r"\1", text)  # l.l.c. -> llc.
    words = re.findall(r"[a-z0-9]+", text.replace("'", "").replace("\u2019", ""))
    for suffix in _SUFFIXES:
        if len(words) > len(suffix) and tuple(words[-len(suffix) :]) == suffix:
            words = words[: -len(suffix)]
            break
    return " ".join(_WORDS.get(word, word) for word in words)


def same_name(left: str, right: str) -> bool:
    """True when two writings are the same company's name, but for suffix style and punctuation."""
    return bool(bare_name(left)) and bare_name(left) == bare_name(right)
