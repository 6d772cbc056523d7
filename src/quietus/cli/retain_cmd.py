"""`quietus retain`: how long each paper is kept and by which rule, and what is due."""

from pathlib import Path
from typing import Annotated

import typer
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from quietus.cli import retain_disposal_cmd, retain_policy_cmd
from quietus.cli.opening import AsOf, HomeOption, JsonOption, PassphraseFd, day_of, opened
from quietus.cli.retain_words import EVENTS, kept_json, paper_words, print_kept, until_words
from quietus.cli.screen import CAUTION, out, plain, print_json
from quietus.cli.timeline_view import timeline
from quietus.closing import holds
from quietus.closing.approval import Candidate, candidates, due
from quietus.closing.closings import entity_named
from quietus.closing.events import record_event, recorded
from quietus.closing.keeping import kept_paper, retention
from quietus.closing.outfile import write_out
from quietus.closing.policy import in_force
from quietus.closing.retention_report import RetentionReport, retention_report
from quietus.model.hold import catching
from quietus.model.retention import RECORDED
from quietus.rules import ceiling_notes

app = typer.Typer(help="How long papers are kept, by which rule, and disposing of them.", no_args_is_help=True)
EntityOption = Annotated[str, typer.Option("--entity", help="Only this entity's papers, by its short name.")]


def attach(tree: typer.Typer) -> None:
    """Add the commands to the tree."""
    retain_disposal_cmd.attach(app)
    retain_policy_cmd.attach(app)
    tree.add_typer(app, name="retain")


@app.command("list")
def list_(
    entity: Annotated[str, typer.Argument(help="The entity's short name. Default: every paper.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show for each paper the policy, the event, the day it must be kept until, and the rule's source."""
    with opened(home, passphrase_fd) as office:
        kept = retention(office, entity)
        names = {paper.id: paper.name for paper in office.vault.papers(entity or None)}
    if as_json:
        print_json([kept_json(item, names) for item in kept])
        return 0
    for item in kept:
        print_kept(item, names)
    out().print("* decides; the longest of the rules that apply does." if kept else "No papers.")
    out().print(CAUTION, style="italic")
    return 0


@app.command("explain")
def explain(
    paper: Annotated[str, typer.Argument(help="The paper's id, or its first digits.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show every rule that applies to a paper, the days, why one of them won, and what else keeps the paper."""
    with opened(home, passphrase_fd) as office:
        policy = in_force(office)
        kept = kept_paper(office, policy, paper)
        held = catching(holds.in_force(office.vault), kept.paper)
        names = {kept.paper.id: office.vault.paper(kept.paper.id).name}
        about = recorded(office)
    if as_json:
        print_json({**kept_json(kept, names), "holds": [hold.id for hold in held]})
        return 0
    print_kept(kept, names)
    for event, day in {**about.get(kept.paper.entity, {}), **about.get(kept.paper.id, {})}.items():
        out().print(plain(f"   recorded: {RECORDED[event]} on {day}"), soft_wrap=True)
    if kept.promised_longer:
        said = f"   The schedules as they stand would say: {until_words(kept.now)}. Shorter counts once accepted."
        out().print(plain(said), soft_wrap=True)
    for hold in held:
        out().print(plain(f"   held by {hold.id}: {hold.reason} (since {hold.on}, {hold.by})"), style="bold")
    if kept.paper.waits:
        out().print("   It waits for review: until then it is not due, whatever the day.", style="bold")
    for note in ceiling_notes(kept.keep, policy.now.schedules):
        out().print(Padding(Text(plain(note)), (0, 0, 0, 3)))
    out().print("* decides: permanent before an unknown event, that before any day, then the latest day.")
    out().print(CAUTION, style="italic")
    return 0


@app.command("due")
def due_(
    asof: AsOf = "",
    entity: EntityOption = "",
    why_not: Annotated[bool, typer.Option("--why-not", help="Show what is not due as well, and why not.")] = False,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """List the papers that may be disposed of. Nothing is disposed of by time alone: see `retain approve`."""
    with opened(home, passphrase_fd) as office:
        day = day_of(asof, office.today)
        found = due(office, day, entity)
        if why_not:
            found = (*found, *(one for one in candidates(office, day, entity) if one.obstacle))
    if as_json:
        print_json([_due_json(one) for one in found])
        return 0
    table = Table("paper", "what", "kept until", "rule", box=None, pad_edge=False)
    for one in found:
        table.add_row(*_due_row(one))
    out().print(table if found else f"Nothing is due as of {day}.")
    if found:
        out().print(f"As of {day}. Next: `quietus retain approve PAPER … --reason …`.")
    return 0


def _due_row(one: Candidate) -> tuple[str, str, str, str]:
    keep = one.kept.keep
    last = one.obstacle or (keep.winner.title if keep.winner else "")
    return one.kept.paper.id[:8], plain(paper_words(one.kept.paper)), str(keep.until or ""), plain(last)


def _due_json(one: Candidate) -> dict[str, object]:
    return {**kept_json(one.kept, {}), "due": not one.obstacle, "obstacle": one.obstacle or None}


@app.command("event")
def event(
    about: Annotated[str, typer.Argument(help="An entity's short name, or a paper's id or its first digits.")],
    what: Annotated[str, typer.Argument(help=f"What happened: {', '.join(RECORDED)}.")],
    day: Annotated[str, typer.Argument(help="When, as YYYY-MM-DD.")],
    reason: Annotated[str, typer.Option(help="How the day is known.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Record a day that a retention clock runs from and that no paper shows, such as a payment."""
    with opened(home, passphrase_fd) as office:
        when = day_of(day, office.today)
        record_event(office, about, what, when, reason)
    out().print(plain(f"Recorded: {RECORDED[what]} on {when}."), soft_wrap=True)
    return 0


@app.command("report")
def report(
    entity: Annotated[str, typer.Argument(help="The entity's short name. Default: every paper.")] = "",
    months: Annotated[int, typer.Option(help="How many months to look ahead.", min=0, max=1200)] = 12,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show what is held, what comes due, what has no rule or no event, and what was destroyed."""
    with opened(home, passphrase_fd) as office:
        made = retention_report(office, day_of(asof, office.today), months, entity)
    if as_json:
        print_json(_report_json(made))
        return 0
    _print_report(made)
    return 0


def _print_report(made: RetentionReport) -> None:
    console = out()
    console.print(f"Retention as of {made.asof}", style="bold")
    counts = {
        "held": len(made.held),
        "due": len(made.due),
        f"come due within {made.months} months": sum(map(len, made.coming.values())),
        "come due later": made.later,
        "wait for review": made.waiting,
        "clock stands still": len({c.kept.paper.id for some in made.still.values() for c in some}),
        "no rule": len(made.no_rule),
        "kept permanently": made.permanent,
        "destroyed": made.destroyed,
        "ever filed": made.filed,
    }
    for words, count in counts.items():
        console.print(f"{count:7}  {words}")
    for hold, count in made.holds:
        late = "  REVIEW DATE PASSED" if hold.review and hold.review < made.asof else ""
        console.print(plain(f"hold {hold.id}: {hold.scope}: {count} papers; {hold.reason}{late}"), soft_wrap=True)
    for month, some in made.coming.items():
        console.print(f"{month}: {len(some)} come due: {', '.join(one.kept.paper.id[:8] for one in some[:8])}")
    for trigger, some in made.still.items():
        ids = ", ".join(one.kept.paper.id[:8] for one in some[:8])
        console.print(f"not known: {EVENTS[trigger]}: {len(some)} papers: {ids}", soft_wrap=True)
    for one in made.no_rule:
        console.print(plain(f"no rule: {one.kept.paper.id[:8]} {paper_words(one.kept.paper)}"), soft_wrap=True)


def _report_json(made: RetentionReport) -> dict[str, object]:
    def ids(some: tuple[Candidate, ...]) -> list[str]:
        return [one.kept.paper.id for one in some]

    return {
        "asof": made.asof.isoformat(),
        "months": made.months,
        "holds": [{"hold": hold.id, "scope": hold.scope, "papers": count} for hold, count in made.holds],
        "held": ids(made.held),
        "due": ids(made.due),
        "coming": {month: ids(some) for month, some in made.coming.items()},
        "later": made.later,
        "waiting": made.waiting,
        "stands_still": {trigger.value: ids(some) for trigger, some in made.still.items()},
        "no_rule": ids(made.no_rule),
        "permanent": made.permanent,
        "destroyed": made.destroyed,
        "filed": made.filed,
    }


@app.command("timeline")
def timeline_(
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    output: Annotated[Path, typer.Option("--output", "-o", help="A new file; .svg for the picture alone, or .html.")],
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Draw until when each paper of an entity is kept, and what holds it."""
    with opened(home, passphrase_fd) as office:
        day = day_of(asof, office.today)
        whose, found = entity_named(office, entity), candidates(office, day, entity)
    drawn = timeline(whose, found, day, page=output.suffix.lower() != ".svg")
    write_out(output, drawn.encode())
    out().print(plain(f"Drawn: {output}"), soft_wrap=True)
    return 0
