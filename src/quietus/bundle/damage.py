"""What the libraries raise over a broken or hostile file, turned into this family. Runs in the child process."""

from collections.abc import Iterator
from contextlib import contextmanager

import pikepdf
import pypdfium2 as pdfium
from PIL import UnidentifiedImageError

from quietus.model.errors import QuietusError, Unreadable


@contextmanager
def naming(letter: str, paper: str) -> Iterator[None]:
    """Say which paper it is that can't be taken apart, by its exhibit's letter and its id.

    Raises:
        Unreadable: the file can't be taken apart.
    """
    which = f"Exhibit {letter} (paper {paper[:8]})"
    try:
        yield
    except Unreadable as error:
        raise Unreadable(error.reason, f"{which}: {error.message}", error.remedy) from None
    except (QuietusError, MemoryError):
        raise
    except (pikepdf.PdfError, pdfium.PdfiumError, UnidentifiedImageError, ArithmeticError) as error:
        raise _damaged(which, error) from None
    except (AttributeError, LookupError, OSError, RuntimeError, SyntaxError, TypeError, ValueError) as error:
        # On broken data the decoders raise whatever they stumbled over.
        raise _damaged(which, error) from None


def _damaged(which: str, error: Exception) -> Unreadable:
    return Unreadable(
        "damaged",
        f"{which}: its file can't be taken apart ({type(error).__name__}).",
        "Print it to a new PDF, put that into the inbox, and make the bundle again.",
    )
