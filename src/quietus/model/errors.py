"""The one family of errors. Each class carries the exit status the command ends with and a remedy for the person.

Messages never carry client data: no name, number, or text of a paper. Only `quietus.cli` turns them into output.

Exit statuses: 0 done (and, for `verify`, everything proven); 1 finished, but something is open or waits for review;
2 misuse; 3 the vault is damaged, or does not open; 4 the machine is at fault (disk, permissions, a missing program);
5 quietus itself is at fault.
"""

DONE = 0
OPEN_ENDS = 1


class QuietusError(Exception):
    """Root of the family: a sentence for a person, and what to do about it.

    Args:
        message: one sentence that says what is wrong, without client data.
        remedy: one sentence that says what to do next.
    """

    exit_status = 4

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


class Misuse(QuietusError):
    """The command was asked for something that cannot be: a wrong option, a missing home folder, an unknown entity."""

    exit_status = 2


class BadData(Misuse):
    """A file that people edit (entity list, rule pack, retention schedule, config) does not hold what is expected.

    Args:
        file: the file's name.
        key: the line or key at fault, such as `dissolution.title` or `line 4`.
        expected: what should stand there.
    """

    def __init__(self, file: str, key: str, expected: str) -> None:
        super().__init__(f"{file}: {key}: expected {expected}", f"Correct {key} in {file} and run the command again.")
        self.file = file
        self.key = key
        self.expected = expected


class WrongKey(QuietusError):
    """No lock of the vault opens with the passphrase given."""

    exit_status = 3


class Damaged(QuietusError):
    """Something in the vault is not as it was written: a changed bit, a removed object, an edited journal line."""

    exit_status = 3


class Refused(QuietusError):
    """The thing asked for is possible but must not be done, such as a bundle of an incomplete closing."""

    exit_status = 1


class Unreadable(QuietusError):
    """A file that cannot be read as a paper. `reason` is the short name that quarantine shows.

    Args:
        reason: a short stable name, such as `password-needed`, `truncated`, `too-many-pixels`, `not-a-scan`.
        message: one sentence for the person.
        remedy: what to do.
    """

    exit_status = 2

    def __init__(self, reason: str, message: str, remedy: str) -> None:
        super().__init__(message, remedy)
        self.reason = reason

    def __reduce__(self) -> tuple[type["Unreadable"], tuple[str, str, str]]:
        """Travel whole from the child process that reads hostile files."""
        return (Unreadable, (self.reason, self.message, self.remedy))


class MachineFault(QuietusError):
    """The machine would not do it: disk full, permission denied, a program that is missing."""

    exit_status = 4


class OwnFault(QuietusError):
    """A fault of quietus itself, which nobody but its makers can mend."""

    exit_status = 5
