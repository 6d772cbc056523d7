"""All closings of a firm at a glance, worst first. One that did not change since it was judged is not judged again.

A summary that was kept holds as long as its entity's revision, the rules, this program and the day are the same.
"""

import hashlib
import os
import threading
from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import date
from functools import cache
from importlib.resources import files
from itertools import groupby

from quietus import __version__
from quietus.closing.closings import waivers_by_entity
from quietus.closing.destroyed import destroyed_papers
from quietus.closing.office import Office
from quietus.closing.summary import Docket, Summary, judge_many, summary_from_text, summary_text
from quietus.model.errors import MachineFault
from quietus.rules import Packs
from quietus.vault.facts import FactsRow, KeptVerdict

POOL_FROM = 400
"""Closings to judge from which on child processes are worth their start."""


def overview(office: Office, today: date) -> tuple[Summary, ...]:
    """Every closing in a line, worst first: most blocking findings, then most others, then by short name.

    Summaries that hold no longer are made anew and kept in the vault.
    """
    packs = office.packs()
    rules, asof = rules_digest(packs), today.isoformat()
    revisions = office.vault.revisions()
    kept = office.vault.kept_verdicts()
    stale = [slug for slug, number in revisions.items() if not _holds(kept.get(slug), number, rules, asof)]
    children = _children(office) if len(stale) >= POOL_FROM else 1
    fresh = {one.entity: one for one in judge_many(packs, _dockets(office, stale, len(revisions)), today, children)}
    if fresh:
        with suppress(MachineFault):  # what can't be kept, as on a read-only disk, is made anew the next time
            office.vault.keep_verdicts(
                KeptVerdict(slug, revisions[slug], rules, asof, summary_text(one)) for slug, one in fresh.items()
            )
    known = {slug: fresh.get(slug) or summary_from_text(kept[slug].body) for slug in revisions}
    return tuple(sorted(known.values(), key=lambda one: (-one.blocking, -one.warning, one.entity)))


def _holds(kept: KeptVerdict | None, revision: int, rules: str, asof: str) -> bool:
    return kept is not None and (kept.revision, kept.rules, kept.asof) == (revision, rules, asof)


def _children(office: Office) -> int:
    """How many child processes to use; one, which means none, when other threads run: forking them is not safe."""
    return (office.config.workers or os.cpu_count() or 1) if threading.active_count() == 1 else 1


def _dockets(office: Office, slugs: Sequence[str], every: int) -> Iterator[Docket]:
    """What each of the closings is judged from.

    Args:
        office: the office.
        slugs: the entities, in order.
        every: how many entities there are in all.
    """
    if not slugs:
        return
    whole = len(slugs) > every // 4  # then one pass over all is quicker than many small ones
    texts = office.vault.entity_texts(None if whole else slugs)
    rows = office.vault.facts(None if whole else slugs)
    waivers = waivers_by_entity(office) if whole else {slug: list(office.vault.waivers(slug)) for slug in slugs}
    destroyed = destroyed_papers(office.vault)
    wanted = set(slugs)
    for slug, papers in _of_each(rows, wanted):
        wanted.discard(slug)
        yield Docket(texts[slug], papers, waivers.get(slug, ()), destroyed.get(slug, {}))
    for slug in sorted(wanted):  # nothing is on file for these
        yield Docket(texts[slug], (), waivers.get(slug, ()), destroyed.get(slug, {}))


def _of_each(rows: Iterator[FactsRow], wanted: set[str]) -> Iterator[tuple[str, tuple[FactsRow, ...]]]:
    for slug, papers in groupby(rows, key=lambda row: row[0]):
        if slug in wanted:
            yield slug, tuple(papers)


def rules_digest(packs: Packs) -> str:
    """Hash of the rules and of the program that judges by them, hex: another one makes every kept summary stale."""
    return hashlib.sha256(f"{packs.digest} {_program_digest()}".encode()).hexdigest()


@cache
def _program_digest() -> str:
    """Hash of the modules that a verdict comes from."""
    digest = hashlib.sha256(__version__.encode())
    for room in ("closing", "rules", "model"):
        folder = files("quietus") / room
        for file in sorted((one for one in folder.iterdir() if one.name.endswith(".py")), key=lambda one: one.name):
            digest.update(file.read_bytes())
    digest.update((files("quietus.rules") / "calendar" / "holidays.toml").read_bytes())
    return digest.hexdigest()
