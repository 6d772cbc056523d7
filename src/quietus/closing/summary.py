"""One closing in a line, for who looks at hundreds of them; and the judging of many closings in child processes.

A child gets what lies in the catalog and gives back lines: it never opens the vault.
"""

import gc
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from datetime import date
from itertools import islice
from multiprocessing import get_all_start_methods, get_context

from quietus.closing.gather import case_of
from quietus.closing.verdict import judge
from quietus.model.entity import Entity
from quietus.model.errors import Damaged, MachineFault
from quietus.model.expected import Need
from quietus.model.facts import PaperFacts, facts_from_text
from quietus.model.findings import Mark, Verdict, Waiver
from quietus.model.paper import Standing
from quietus.rules import Packs
from quietus.vault.codecs import entity_from_text
from quietus.vault.facts import FactsRow

_BATCH = 100  # closings handed to a child at once: enough that the handing over weighs little
_AHEAD = 4  # batches for each child that wait to be judged
_STANDINGS = {one.value: one for one in Standing}


@dataclass(frozen=True, slots=True)
class Summary:
    """A verdict in a line.

    Attributes:
        entity: slug.
        name: legal name.
        blocking: findings that keep the closing from being proven.
        warning: findings that do not.
        expected: papers that are required.
        proven: how many of those are proven, or answered by a waiver.
        scope: of the worst finding; empty when there is none.
        code: its code.
        says: its sentence.
        next_step: what to do about it.
    """

    entity: str
    name: str
    blocking: int
    warning: int
    expected: int
    proven: int
    scope: str
    code: str
    says: str
    next_step: str


@dataclass(frozen=True, slots=True)
class Docket:
    """What one closing is judged from, as it lies in the catalog.

    Attributes:
        entity: its JSON text.
        papers: rows of facts.
        waivers: of the entity.
        destroyed: by the key of the expected paper, what is to be said of a paper that was destroyed.
    """

    entity: str
    papers: Sequence[FactsRow]
    waivers: Sequence[Waiver]
    destroyed: Mapping[str, str] = field(default_factory=dict)


def summary_of(verdict: Verdict, entity: Entity) -> Summary:
    """A verdict in a line."""
    required = [line for line in verdict.lines if line.mark is not Mark.ADVISED and line.expected.need is Need.REQUIRED]
    worst = verdict.findings[0] if verdict.findings else None
    blocking = len(verdict.blocking)
    return Summary(
        entity=verdict.entity,
        name=entity.name,
        blocking=blocking,
        warning=len(verdict.findings) - blocking,
        expected=len(required),
        proven=sum(line.mark in {Mark.PROVEN, Mark.WAIVED} for line in required),
        scope=worst.scope if worst else "",
        code=worst.code.value if worst else "",
        says=worst.says if worst else "",
        next_step=worst.next_step if worst else "",
    )


def summary_text(summary: Summary) -> str:
    """A summary as JSON text."""
    return json.dumps(asdict(summary), separators=(",", ":"))


def summary_from_text(text: str) -> Summary:
    """Inverse of `summary_text`.

    Raises:
        TypeError, ValueError: the text is of another form.
    """
    return Summary(**json.loads(text))


def facts_of_row(row: FactsRow) -> PaperFacts:
    """The facts in a row of the catalog.

    Raises:
        Damaged: the row is not one that this version wrote.
    """
    entity, paper, standing, expected, received, body = row
    try:
        values, doubts, title = facts_from_text(body)
        return PaperFacts(paper, _STANDINGS[standing], entity, expected, received, values, doubts, title)
    except (ValueError, KeyError, TypeError) as error:
        raise Damaged(
            f"The catalog holds something that cannot be read back: the facts of paper {paper}.",
            "Run `quietus check`; take the vault from a backup if it confirms the damage.",
        ) from error


def judged(packs: Packs, docket: Docket, today: date) -> Summary:
    """The verdict on one closing, in a line."""
    entity = entity_from_text(docket.entity)
    case = case_of(packs, entity, map(facts_of_row, docket.papers), docket.waivers, today, destroyed=docket.destroyed)
    return summary_of(judge(case), entity)


def judge_many(packs: Packs, dockets: Iterable[Docket], today: date, children: int) -> Iterator[Summary]:
    """The verdicts on many closings, in a line each, in the order given.

    Args:
        packs: the rules.
        dockets: what each closing is judged from; read as it is needed.
        today: the day asked about.
        children: child processes that share the work; below 2, or where children can't be forked, none.

    Raises:
        MachineFault: a child process died.
    """
    if children < 2 or "fork" not in get_all_start_methods():
        yield from (judged(packs, docket, today) for docket in dockets)
        return
    with ProcessPoolExecutor(
        children, mp_context=get_context("fork"), initializer=_prepare, initargs=(packs, today)
    ) as pool:
        try:
            yield from _shared(pool.submit, _batches(dockets), _AHEAD * children)
        except BrokenProcessPool as error:
            raise MachineFault(
                "A child process that judged closings died.", "Free some memory and run the command again."
            ) from error


def _batches(dockets: Iterable[Docket]) -> Iterator[list[Docket]]:
    source = iter(dockets)
    while batch := list(islice(source, _BATCH)):
        yield batch


def _shared(
    submit: Callable[..., Future[list[Summary]]], batches: Iterator[list[Docket]], most: int
) -> Iterator[Summary]:
    """Hand out batches, at most `most` ahead of what was answered, and give the answers in order."""
    waiting: list[Future[list[Summary]]] = []
    for batch in batches:
        waiting.append(submit(_judge_batch, batch))
        if len(waiting) >= most:
            yield from waiting.pop(0).result()
    for one in waiting:
        yield from one.result()


_PREPARED: list[tuple[Packs, date]] = []
"""In a child process: the rules and the day, inherited when it was forked."""


def _prepare(packs: Packs, today: date) -> None:
    """First thing in a child: remember what it judges by, and write no core dump, which would hold clients' papers."""
    with suppress(ImportError, ValueError, OSError):
        import resource  # noqa: PLC0415 - not on every system, and only a child needs it

        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    gc.disable()  # verdicts hold no circles, and looking for them takes a tenth of the time
    _PREPARED[:] = [(packs, today)]


def _judge_batch(batch: list[Docket]) -> list[Summary]:
    packs, today = _PREPARED[0]
    return [judged(packs, docket, today) for docket in batch]
