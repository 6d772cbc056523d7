"""How retention is said at the terminal: papers, rules and days in words."""

from collections.abc import Mapping

from rich.padding import Padding
from rich.text import Text

from quietus.cli.screen import out, plain
from quietus.closing.keeping import Kept
from quietus.model.facts import PaperFacts
from quietus.model.kinds import Kind
from quietus.model.retention import Applied, Clock, Keep, Trigger

EVENTS = {
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
    Trigger.EMPLOYMENT_END: "the end of the last employment",
    Trigger.CLEARED: "the newest tax clearance there",
    Trigger.DISSOLVED_OR_PUBLISHED: "the later of dissolution and notice to creditors",
}


def paper_words(paper: PaperFacts) -> str:
    """Whose and what a paper is."""
    kind = Kind(paper.text("kind") or Kind.OTHER).words
    return " ".join(part for part in (paper.entity or "nobody", paper.text("jurisdiction"), kind) if part)


def print_kept(kept: Kept, names: Mapping[str, str]) -> None:
    """Print how long a paper is kept, and every rule that applies to it."""
    paper, keep = kept.paper, kept.keep
    name = f"  ({names[paper.id]})" if paper.id in names else ""
    out().print(plain(f"{paper.id[:8]}  {paper_words(paper)}{name}"), style="bold", soft_wrap=True)
    out().print(plain(f"   {until_words(keep)}"), soft_wrap=True)
    for rule in keep.applied:
        out().print(Padding(Text(plain(_rule_line(keep, rule))), (0, 0, 0, 3)))
        out().print(Padding(Text(plain("; ".join(map(str, rule.sources))), style="dim"), (0, 0, 0, 7)))


def _rule_line(keep: Keep, rule: Applied) -> str:
    sign = "*" if keep.winner and rule.rule == keep.winner.rule else " "
    if rule.permanent:
        return f"{sign} permanently: {rule.title}"
    event = f"{EVENTS[rule.trigger]}{f' ({rule.from_day})' if rule.from_day else ''}"
    until = f"until {rule.until}" if rule.until else "clock stands still, the event is not known"
    return f"{sign} {until}: {rule.title}, {rule.period} from {event}"


def until_words(keep: Keep) -> str:
    """Until when a paper is kept, in words."""
    return {
        Clock.PERMANENT: "kept permanently",
        Clock.STANDS_STILL: "kept; its clock stands still until the event is known",
        Clock.NO_RULE: "kept; no rule applies to it",
    }.get(keep.clock, f"kept until {keep.until}")


def kept_json(kept: Kept, names: Mapping[str, str]) -> dict[str, object]:
    """How long a paper is kept, as `--json` prints it."""
    keep = kept.keep
    return {
        "paper": kept.paper.id,
        "name": names.get(kept.paper.id),
        "entity": kept.paper.entity,
        "clock": keep.clock.value,
        "until": keep.until.isoformat() if keep.until else None,
        "decided_by": keep.winner.rule if keep.winner else None,
        "promised_longer": kept.promised_longer,
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
            for rule in keep.applied
        ],
    }
