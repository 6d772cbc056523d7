"""The local review page: papers and what was read off them, side by side, in the browser on this machine only.

It shows what the vault keeps secret, so it lets in one browser and nobody else (`door`), keeps what it opens in memory
only (`pictures`), and lets a hostile file be looked at in a child process.
"""

from quietus.desk.serving import serve

__all__ = ["serve"]
