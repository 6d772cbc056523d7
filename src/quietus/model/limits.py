"""Every ceiling in one frozen record. Units stand in the names."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """Ceilings that keep a hostile or broken file from taking the machine with it.

    A file over a ceiling is refused with a reason and kept in quarantine; nothing is cut to fit.
    """

    file_bytes: int = 256 * 1024 * 1024
    pages: int = 500
    page_pixels: int = 64_000_000  # letter size at 600 dpi is 33.7 million
    raster_dpi: int = 300
    child_seconds: float = 60.0  # wall time for one file of up to `pages_per_minute` pages; see seconds_for
    page_seconds: float = 20.0  # wall time added for each page past the first
    # Address space, which the child's resident memory stays below: libraries map about 550 MiB before any file is open,
    # and 600 dpi pages need 800 in all.
    child_memory_bytes: int = 1536 * 1024 * 1024
    settle_seconds: float = 2.0  # an inbox file is left alone until its size and time have stood still this long
    fresh_seconds: float = 60.0  # a file cut short and newer than this waits: it may still be on its way
    register_bytes: int = 8 * 1024 * 1024  # an entity list or a rule pack
    passphrase_bytes: int = 1024
    vault_wait_seconds: float = 10.0  # how long a change waits for another process that is changing the vault

    def seconds_for(self, pages: int) -> float:
        """Wall seconds that a child process may spend on a file of `pages` pages."""
        return self.child_seconds + self.page_seconds * max(0, pages - 1)


DEFAULT_LIMITS = Limits()
