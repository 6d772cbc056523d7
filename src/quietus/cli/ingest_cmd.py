"""`quietus ingest`: take in what lies in the inbox."""

from typing import Annotated

import typer

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, opened
from quietus.cli.screen import out, plain, print_json, progress_bar
from quietus.closing.intake import Fate, Outcome, keep_taking_in, take_in
from quietus.closing.office import Office
from quietus.model.errors import DONE, OPEN_ENDS
from quietus.model.kinds import Kind
from quietus.model.paper import Paper, Standing


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("ingest")(ingest)


def ingest(
    watch: Annotated[bool, typer.Option("--watch", help="Keep going: take in what arrives until Ctrl-C.")] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Read, file and seal every scan in the inbox.

    Exit status: 0 all filed; 1 something waits for review, is still being written, or went into quarantine.
    """
    with opened(home, passphrase_fd) as office:
        if watch:
            return _watch(office, as_json)
        with progress_bar("reading and filing") as progress:
            outcomes = take_in(office, progress=progress, report=lambda outcome: _print(outcome, as_json))
    if not as_json:
        out().print(summary(outcomes))
    return OPEN_ENDS if any(_open(outcome) for outcome in outcomes) else DONE


def _watch(office: Office, as_json: bool) -> int:
    if not as_json:
        out().print("Watching the inbox; Ctrl-C stops.")
    try:
        keep_taking_in(office, lambda outcome: _print(outcome, as_json))
    except KeyboardInterrupt:
        return DONE
    return DONE


def _open(outcome: Outcome) -> bool:
    return outcome.fate in {Fate.QUARANTINED, Fate.WAITING} or any(paper.waits for paper in outcome.papers)


def summary(outcomes: tuple[Outcome, ...]) -> str:
    """One line: how many files had which fate."""
    if not outcomes:
        return "The inbox is empty."
    review = sum(paper.waits for o in outcomes for paper in o.papers)
    counts = [
        f"{sum(o.fate is fate for o in outcomes)} {fate}" for fate in Fate if any(o.fate is fate for o in outcomes)
    ]
    return "; ".join(counts) + (f"; {review} to look at: `quietus review`" if review else "")


def _print(outcome: Outcome, as_json: bool) -> None:
    if as_json:
        print_json(_outcome_json(outcome))
        return
    if not outcome.papers:
        out().print(plain(f"{outcome.name}: {outcome.fate}: {outcome.reason}"), soft_wrap=True)
    for paper in outcome.papers:
        name = outcome.name if len(outcome.papers) == 1 else paper.name
        out().print(plain(f"{name}: {describe(paper, outcome.fate)}"), soft_wrap=True)


def describe(paper: Paper, fate: Fate) -> str:
    """What was read off a paper and where it was filed, in one line."""
    reading = paper.reading
    kind = Kind(reading.text("kind") or Kind.OTHER).words
    when = reading.text("filing_date") or reading.text("signed_date") or ""
    mark = {True: "office mark", False: "no office mark", None: ""}[reading.flag("stamped")]
    final = {True: "marked final", False: "final box empty", None: ""}[reading.flag("final_box")]
    read = ", ".join(part for part in (reading.text("jurisdiction") or "", kind, when, mark, final) if part)
    where = f"{paper.entity} {paper.expected or '(answers no expected paper)'}"
    if paper.standing is Standing.UNASSIGNED:
        where = "nobody on the register"
    doubt = f"; to look at: {', '.join(reading.doubts)}" if reading.doubts else ""
    verb = "seen before" if fate is Fate.REPEAT else "filed"
    return f"{read} -> {verb} {paper.id[:8]} {where}{doubt}"


def _outcome_json(outcome: Outcome) -> dict[str, object]:
    return {
        "name": outcome.name,
        "fate": outcome.fate.value,
        "reason": outcome.reason,
        "papers": [
            {
                "id": paper.id,
                "name": paper.name,
                "entity": paper.entity,
                "expected": paper.expected,
                "standing": paper.standing.value,
                "waits": paper.waits,
                "doubts": list(paper.reading.doubts),
            }
            for paper in outcome.papers
        ],
    }
