"""The `quietus` command: parse, call one use case, print. Errors become one sentence, a remedy and an exit status."""

from quietus.cli.app import main

__all__ = ["main"]
