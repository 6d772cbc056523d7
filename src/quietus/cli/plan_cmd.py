"""`quietus plan`: what to do next in a closing, in a legal order, with dates."""

from datetime import date
from typing import Annotated

import typer
from rich.text import Text

from quietus.cli.opening import AsOf, HomeOption, JsonOption, PassphraseFd, day_of, opened
from quietus.cli.screen import CAUTION, out, plain, print_json
from quietus.cli.verdict_json import sources_json
from quietus.cli.verdict_view import indented
from quietus.closing.closings import case_named
from quietus.closing.plan import Step, plan
from quietus.closing.verdict import judge
from quietus.model.errors import DONE, OPEN_ENDS
from quietus.model.expected import Need
from quietus.model.findings import Mark

_STATE = {
    Mark.MISSING: "not on file",
    Mark.FAULT: "on file, but at fault",
    Mark.REVIEW: "waits for review",
    Mark.ADVISED: "advised",
}


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("plan")(plan_)


def plan_(
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """Say what to do next, in an order that the rules allow.

    Exit status: 0 nothing that is required is left; 1 something is.
    """
    with opened(home, passphrase_fd) as office:
        today = day_of(asof, office.today)
        case = case_named(office, entity, today)
    verdict = judge(case)
    steps = plan(case, verdict)
    if as_json:
        print_json(
            {
                "schema": 1,
                "asof": today.isoformat(),
                "caution": CAUTION,
                "entity": entity,
                "proven": verdict.proven,
                "steps": [_step_json(step) for step in steps],
            }
        )
    else:
        _print(case.entity.name, today, steps)
    return DONE if verdict.proven else OPEN_ENDS


def _print(name: str, today: date, steps: tuple[Step, ...]) -> None:
    console = out()
    count = f"{len(steps)} {'step' if len(steps) == 1 else 'steps'} left" if steps else "nothing left to do"
    console.rule(Text(plain(f"{name}  ·  {count} as of {today}"), style="bold"), align="left")
    for step in steps:
        _print_step(step, today)
    console.print()
    console.print(CAUTION, style="italic")


def _print_step(step: Step, today: date) -> None:
    console = out()
    console.print()
    style = "bold" if step.need is Need.REQUIRED else "dim"
    console.print(Text(plain(f"{step.number}. {step.scope}  {step.title}  ({_STATE[step.mark]})"), style=style))
    for sentence in step.does:
        indented(f"Do: {sentence} ({step.who})")
    if step.waits_for:
        indented(f"After: {', '.join(f'step {number}' for number in step.waits_for)}")
    for limit in step.limits:
        past = " (past)" if limit.day < today else ""
        indented(f"{limit.day}{past}: {limit.says}")
    for source in step.sources[:1]:
        indented(f"Source: {source}")


def _step_json(step: Step) -> dict[str, object]:
    return {
        "number": step.number,
        "key": step.key,
        "scope": step.scope,
        "title": step.title,
        "mark": step.mark.value,
        "need": step.need.value,
        "does": list(step.does),
        "who": step.who,
        "waits_for": list(step.waits_for),
        "days": [{"day": limit.day.isoformat(), "says": limit.says} for limit in step.limits],
        "sources": sources_json(step.sources),
    }
