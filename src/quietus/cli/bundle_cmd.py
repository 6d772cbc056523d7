"""`quietus bundle`: answer an inquiry with a proof of closure."""

from pathlib import Path
from typing import Annotated, Any

import typer
from rich.table import Table

from quietus.bundle.purposes import Form
from quietus.bundle.selection import Included
from quietus.cli.opening import AsOf, HomeOption, JsonOption, PassphraseFd, day_of, opened
from quietus.cli.screen import CAUTION, covered_words, out, plain, print_json, progress_bar
from quietus.closing.answer import Answer, Order, Plan, answer, plan
from quietus.model.errors import DONE, OPEN_ENDS, Misuse
from quietus.reading.pool import load_early

_PURPOSES = "lender, contract, state-notice, bank-or-insurer, buyer-counsel, own-copy, or your own"


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.command("bundle")(bundle)


def bundle(
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    purpose: Annotated[str, typer.Option("--for", help=f"What it is for: {_PURPOSES}.")],
    folder: Annotated[
        Path | None,
        typer.Option("-o", "--out", help="Folder to make; it must not exist yet.", show_default=False),
    ] = None,
    recipient: Annotated[
        str, typer.Option("--to", help="Who asked, as printed on the cover; a consent has to name the same.")
    ] = "",
    jurisdiction: Annotated[str, typer.Option("--jurisdiction", help="USPS code, for a purpose about one state.")] = "",
    inquiry: Annotated[
        str, typer.Option("--inquiry", help="Number of the inquiry that it answers. Default: enters one in the log.")
    ] = "",
    show_gaps: Annotated[
        bool, typer.Option("--show-gaps", help="Answer though incomplete, gaps shown openly.")
    ] = False,
    zipped: Annotated[bool, typer.Option("--zip", help="Make one zip file instead of a folder.")] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Make nothing: show what would go out, in what form, and why.")
    ] = False,
    as_json: JsonOption = False,
    asof: AsOf = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Make a proof of closure: one PDF, the papers as received, and hashes that anyone can check.

    Tax-return information leaves only under a recorded consent of the taxpayer (26 U.S.C. 7216); see `quietus consent`.
    """
    order = Order(entity, purpose, recipient, jurisdiction.upper(), show_gaps, zipped, inquiry)
    if dry_run:
        with opened(home, passphrase_fd) as office:
            day = day_of(asof, office.today)
            planned = plan(office, order, day, day)
        print_json(plan_json(planned)) if as_json else _print_plan(planned)
        return OPEN_ENDS if _refused(planned) else DONE
    if folder is None:
        raise Misuse("There is no place for the bundle.", "Name a folder with -o, or look first with --dry-run.")
    load_early()  # while the passphrase is asked for: most bundles have redacted copies, which are read again
    with opened(home, passphrase_fd) as office, progress_bar("building the bundle") as progress:
        answered = answer(office, order, folder, day_of(asof, office.today), progress)
    print_json(_answer_json(answered)) if as_json else print_answer(answered)
    return DONE


def _refused(planned: Plan) -> bool:
    return bool(planned.selection.gaps) and not planned.order.show_gaps


def print_answer(answered: Answer) -> None:
    """Tell what was made, what went into it, and what did not."""
    console, made = out(), answered.made
    console.print(plain(f"bundle   {made.path}"), soft_wrap=True)
    console.print(f"proof    {made.pages} pages, {made.exhibits} exhibits, sha256 {made.pdf_sha256}", soft_wrap=True)
    console.print(f"manifest sha256 {made.manifest_sha256}", soft_wrap=True)
    console.print(f"inquiry  {answered.inquiry}", soft_wrap=True)
    if made.gaps:
        console.print(f"gaps     {made.gaps}, shown openly", soft_wrap=True)
    names = answered.plan.papers
    for item in answered.selection.included:
        console.print(plain(f"goes in  {item.expected.key}: {item.paper.name} ({_form(item)})"), soft_wrap=True)
    for left in answered.selection.left_out:
        console.print(plain(f"left out {names[left.paper].name}: {left.reason}"), soft_wrap=True)
    _print_consents(answered.plan)


def _form(item: Included) -> str:
    """The form in which a paper goes out, in words."""
    under = f", under consent {item.consent}" if item.consent else ""
    if item.form is Form.FULL:
        return f"whole, as received{under}"
    if item.form is Form.LINE:
        return f"a line of the summary, not the paper{under}"
    return f"redacted: {covered_words(item.covered)}{under}"


def _print_plan(planned: Plan) -> None:
    console, selection = out(), planned.selection
    to = planned.recipient or "nobody named"
    console.print(plain(f"{planned.purpose.title}, to {to}. Nothing was made."), style="bold", soft_wrap=True)
    if selection.included:
        table = Table("goes in", "form", "why", box=None, pad_edge=False, show_lines=False)
        for item in selection.included:
            why = planned.purpose.goes_in[item.expected.kind].why
            table.add_row(f"{item.expected.key}\n{plain(item.paper.name)}", plain(_form(item)), plain(why))
        console.print(table)
    else:
        console.print("Nothing would go in.")
    if selection.left_out:
        table = Table("stays", "why", box=None, pad_edge=False)
        for left in selection.left_out:
            table.add_row(plain(planned.papers[left.paper].name), plain(left.reason))
        console.print()
        console.print(table)
    _print_gaps(planned)
    _print_consents(planned)
    console.print(CAUTION, style="italic")


def _print_gaps(planned: Plan) -> None:
    console, selection = out(), planned.selection
    for gap in selection.gaps:
        console.print(plain(f"gap      {gap.scope} {gap.title}: {gap.says}"), soft_wrap=True)
    if _refused(planned):
        console.print("It would be refused: something is missing. --show-gaps shows the gaps openly.", soft_wrap=True)


def _print_consents(planned: Plan) -> None:
    console, used = out(), {consent.id for consent in planned.used}
    for consent in planned.permission.good:
        state = "used" if consent.id in used else "holds, and nothing on file needed it"
        console.print(plain(f"consent  {consent.id}: {state}; to the end of {consent.until}"), soft_wrap=True)
    for consent, reason in planned.permission.refused:
        console.print(plain(f"consent  {consent.id}: not used, {reason}"), soft_wrap=True)
    if planned.selection.with_consent:
        words = ", ".join(kind.words for kind in planned.selection.with_consent)
        console.print(
            plain(f"With the taxpayer's consent only, and the cover says so: {words}. See `quietus draft consent`."),
            soft_wrap=True,
        )


def plan_json(planned: Plan) -> dict[str, Any]:
    """What would go out, as the JSON that `bundle --dry-run --json` prints."""
    selection = planned.selection
    return {
        "schema": 1,
        "entity": planned.entity.slug,
        "purpose": planned.purpose.id,
        "recipient": planned.recipient,
        "jurisdiction": selection.jurisdiction or None,
        "asof": planned.verdict.asof.isoformat(),
        "refused": _refused(planned),
        "goes_in": [_included_json(planned, item) for item in selection.included],
        "left_out": [
            {"paper": left.paper, "name": planned.papers[left.paper].name, "why": left.reason}
            for left in selection.left_out
        ],
        "gaps": [{"scope": g.scope, "expected": g.expected or None, "says": g.says} for g in selection.gaps],
        "with_consent": [kind.value for kind in selection.with_consent],
        "consents": [
            *({"id": c.id, "holds": True, "used": c in planned.used, "why": ""} for c in planned.permission.good),
            *({"id": c.id, "holds": False, "used": False, "why": why} for c, why in planned.permission.refused),
        ],
        "caution": CAUTION,
    }


def _included_json(planned: Plan, item: Included) -> dict[str, Any]:
    return {
        "paper": item.paper.id,
        "name": item.paper.name,
        "expected": item.expected.key,
        "form": item.form.value,
        "hides": sorted(item.hide),
        "consent": item.consent or None,
        "why": planned.purpose.goes_in[item.expected.kind].why,
    }


def _answer_json(answered: Answer) -> dict[str, Any]:
    made = answered.made
    return {
        **plan_json(answered.plan),
        "inquiry": answered.inquiry,
        "path": str(made.path),
        "pages": made.pages,
        "exhibits": made.exhibits,
        "pdf_sha256": made.pdf_sha256,
        "manifest_sha256": made.manifest_sha256,
    }
