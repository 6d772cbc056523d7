"""The `quietus` command: parse, call one use case, print. Errors become one sentence, a remedy and an exit status."""

import gc
import sys

__all__ = ["main"]


def main() -> None:
    """See `quietus.cli.app.main`.

    Loaded only now, because the child processes that read files start by importing this module once more. What is
    loaded stays to the end, so the collector need not look through it, neither meanwhile nor at the end.
    """
    gc.disable()
    try:
        from quietus.cli.app import main as run  # noqa: PLC0415 - see above
    except KeyboardInterrupt:  # before there is anything that could complain in colour
        sys.stderr.write("quietus: Stopped.\n")
        sys.exit(2)

    gc.freeze()
    gc.enable()
    try:
        run()
    finally:
        gc.freeze()
