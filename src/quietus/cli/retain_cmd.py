"""`quietus retain`: how long each paper is kept, and by which rule."""

from typing import Annotated

import typer
from rich.padding import Padding
from rich.text import Text

from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, opened
from quietus.cli.screen import CAUTION, out, plain, print_json
from quietus.closing.keeping import Kept, retention
from quietus.model.kinds import Kind
from quietus.model.retention import Applied, Clock, Trigger


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("retain")(retain)


def retain(
    entity: Annotated[str, typer.Argument(help="The entity's short name. Default: every paper.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Show for each paper the policy, the event, the day it must be kept until, and the rule's source."""
    with opened(home, passphrase_fd) as office:
        kept = retention(office, entity)
    if as_json:
        print_json([_kept_json(item) for item in kept])
        return 0
    for item in kept:
        _print(item)
    out().print("* decides; the longest of the rules that apply does." if kept else "No papers.")
    out().print(CAUTION, style="italic")
    return 0


def _print(item: Kept) -> None:
    paper, keep = item.paper, item.keep
    kind = Kind(paper.reading.text("kind") or Kind.OTHER).words
    where = " ".join(part for part in (paper.entity or "nobody", paper.reading.text("jurisdiction"), kind) if part)
    out().print(plain(f"{paper.id[:8]}  {where}  ({paper.name})"), style="bold", soft_wrap=True)
    out().print(plain(f"   {until_words(item)}"), soft_wrap=True)
    for rule in keep.applied:
        out().print(Padding(Text(plain(_rule_line(item, rule))), (0, 0, 0, 3)))
        out().print(Padding(Text(plain("; ".join(map(str, rule.sources))), style="dim"), (0, 0, 0, 7)))


def _rule_line(item: Kept, rule: Applied) -> str:
    sign = "*" if item.keep.winner and rule.rule == item.keep.winner.rule else " "
    if rule.permanent:
        return f"{sign} permanently: {rule.title}"
    event = f"{_EVENTS[rule.trigger]}{f' ({rule.from_day})' if rule.from_day else ''}"
    until = f"until {rule.until}" if rule.until else "clock stands still, the event is not known"
    return f"{sign} {until}: {rule.title}, {rule.period} from {event}"


_EVENTS = {
    Trigger.FILED: "filing",
    Trigger.LATER_OF_FILED_AND_DUE: "the later of filing and due date",
    Trigger.DUE: "the due date",
    Trigger.SIGNED: "signing",
    Trigger.HOME_DISSOLVED: "the dissolution at home",
    Trigger.RECEIVED: "receipt",
    Trigger.PRESENTED: "presenting the return for signature",
    Trigger.LATER_OF_DUE_AND_PAID: "the later of due date and payment",
    Trigger.LAST_USE: "last use",
    Trigger.ENGAGEMENT_END: "the end of the engagement",
}


def until_words(item: Kept) -> str:
    """Until when a paper is kept, in words."""
    keep = item.keep
    return {
        Clock.PERMANENT: "kept permanently",
        Clock.STANDS_STILL: "kept; its clock stands still until the event is known",
        Clock.NO_RULE: "kept; no rule applies to it",
    }.get(keep.clock, f"kept until {keep.until}")


def _kept_json(item: Kept) -> dict[str, object]:
    return {
        "paper": item.paper.id,
        "name": item.paper.name,
        "entity": item.paper.entity,
        "clock": item.keep.clock.value,
        "until": item.keep.until.isoformat() if item.keep.until else None,
        "decided_by": item.keep.winner.rule if item.keep.winner else None,
        "rules": [
            {
                "rule": rule.rule,
                "title": rule.title,
                "trigger": rule.trigger.value,
                "from": rule.from_day.isoformat() if rule.from_day else None,
                "period": rule.period,
                "until": rule.until.isoformat() if rule.until else None,
                "sources": [str(source) for source in rule.sources],
            }
            for rule in item.keep.applied
        ],
    }
