"""What a day at the vault does, step by step, and what has to hold after any part of it was cut short."""

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from quietus.model.paper import Paper, Standing
from quietus.vault import (
    LockKind,
    Vault,
    add_lock,
    change_lock,
    check_vault,
    find_lock,
    locks_of,
    remove_lock,
    renew_root,
)
from tests.vault.faults import Faults, die
from tests.vault.make import CHEAP, ENTITY, PASSPHRASE, WAIVER, file, opened, reading

BYTES = {name: name.encode() * 1000 for name in ("one", "two", "three", "four")}


def find(vault: Vault, name: str) -> Paper | None:
    """The paper with the bytes of that name; more than one is a failure."""
    papers = [p for p in vault.papers() if p.sha256 == hashlib.sha256(BYTES[name]).hexdigest()]
    assert len(papers) <= 1, "doubled"
    return papers[0] if papers else None


def paper_id(vault: Vault, name: str) -> str:
    found = find(vault, name)
    return found.id if found else ""


def said(vault: Vault, action: str) -> bool:
    return any(entry.action == action for entry in vault.journal())


def has_lock(vault: Vault, name: str) -> bool:
    return any(lock.name == name for lock in locks_of(vault))


# Each step can be done again after a crash, as intake does. A step is told when done.


def file_one(vault: Vault) -> None:
    if find(vault, "one") is None:
        file(vault, BYTES["one"])


def read_again(vault: Vault) -> None:
    paper = vault.paper(paper_id(vault, "one"))
    if len(vault.readings(paper.id)) == 1:
        vault.add_reading(paper.id, reading("07-1"), standing=Standing.REJECTED, entity="", expected="", why="no")


def waive(vault: Vault) -> None:
    vault.put_waiver(WAIVER)


def two_at_once(vault: Vault) -> None:
    with vault.transaction():
        for name in ("two", "three"):
            if find(vault, name) is None:
                file(vault, BYTES[name])
        vault.put_entity(replace(ENTITY, members=("Tobias Quernstone",)))


def open_one(vault: Vault) -> None:
    assert vault.paper_bytes(paper_id(vault, "one"), "test") == BYTES["one"]


def lock_in(vault: Vault) -> None:
    if not has_lock(vault, "ines") and not said(vault, "lock-removed"):
        add_lock(vault, LockKind.PASSPHRASE, b"ines's own", "ines", cost=CHEAP)


def lock_anew(vault: Vault) -> None:
    if has_lock(vault, "ines"):
        change_lock(vault, find_lock(vault, "ines").id, b"ines's second", cost=CHEAP)


def lock_out(vault: Vault) -> None:
    if has_lock(vault, "ines"):
        remove_lock(vault, find_lock(vault, "ines").id)


def dispose(vault: Vault) -> None:
    if find(vault, "four") is None and not vault.stubs():
        file(vault, BYTES["four"])
    if not vault.stubs():
        vault.destroy_paper(paper_id(vault, "four"), "kept long enough")
    vault.finish_destruction()


def check_all(vault: Vault) -> None:
    assert check_vault(vault).sound


def renew(vault: Vault) -> None:
    """The last step, because it closes the vault."""
    if not said(vault, "root-renewed"):
        renew_root(vault, {lock.id: PASSPHRASE for lock in locks_of(vault) if lock.in_use})


def destroyed(vault: Vault, name: str) -> bool:
    wanted = hashlib.sha256(BYTES[name]).hexdigest()
    return [stub.sha256 for stub in vault.stubs()] == [wanted] and said(vault, "paper-destroyed")


STEPS: dict[str, Callable[[Vault], None]] = {
    step.__name__: step
    for step in (
        file_one, read_again, waive, two_at_once, open_one, lock_in, lock_anew, lock_out, dispose, check_all, renew,
    )
}  # fmt: skip
LEAVES: dict[str, Callable[[Vault], bool]] = {
    "file_one": lambda v: find(v, "one") is not None,
    "read_again": lambda v: len(v.readings(paper_id(v, "one"))) == 2 and v.paper(paper_id(v, "one")).entity == "",
    "waive": lambda v: v.waivers() == (WAIVER,),
    "two_at_once": lambda v: bool(find(v, "two") and find(v, "three")) and v.entities()[0].members[1:] == (),
    "open_one": lambda v: said(v, "paper-opened"),
    "lock_in": lambda v: said(v, "lock-added"),
    "lock_anew": lambda v: said(v, "lock-changed"),
    "lock_out": lambda v: not has_lock(v, "ines"),
    "dispose": lambda v: destroyed(v, "four"),
    "check_all": lambda v: said(v, "vault-checked"),
    "renew": lambda v: v.store.header.round == 2,
}


def a_day(folder: Path, tell: Callable[[str], None]) -> None:
    with opened(folder) as vault:
        for name, step in STEPS.items():
            step(vault)
            tell(name)


def survived(folder: Path, done: list[str]) -> Iterator[str]:
    """What is wrong with a vault after a crash, when the steps `done` were told."""
    with opened(folder) as vault:
        report = check_vault(vault)
        yield from (p.what for p in report.problems)
        yield from (f"lost: {name}" for name in done if not LEAVES[name](vault))
        if (find(vault, "two") is None) != (find(vault, "three") is None):
            yield "half a transaction"
        entries = vault.journal()
        begun, gone = ([e.about for e in entries if e.action == a] for a in ("destruction-begun", "paper-destroyed"))
        if not begun == gone == [stub.id for stub in vault.stubs()] or vault.unfinished():
            yield "a destruction is not finished after a check, or told twice"
        if list(vault.store.objects.ids()) != sorted(p.id for p in vault.papers()):
            yield "objects and rows differ"
        for paper in vault.papers():
            if vault.paper_bytes(paper.id, "test") not in BYTES.values():
                yield "another paper came out"
        filed = [e.about for e in entries if e.action == "paper-filed"]
        if sorted(filed) != sorted([*gone, *(p.id for p in vault.papers())]):
            yield "journal and rows differ"
        if check_vault(vault).repaired != vault.notes:
            yield "there was more to repair"


def again(folder: Path) -> None:
    """The day's work can be taken up after the crash, and nothing is doubled."""
    a_day(folder, lambda _: None)
    assert list(survived(folder, list(STEPS))) == []
    with opened(folder) as vault:
        assert len(vault.papers()) + len(vault.stubs()) == len(BYTES)


def calls_of(work: Callable[[], object], patch: pytest.MonkeyPatch) -> list[str]:
    """The calls that `work` makes, when nothing strikes."""
    faults = Faults(0, "", die)
    with patch.context() as planted:
        faults.plant(planted.setattr)
        work()
    return faults.calls
