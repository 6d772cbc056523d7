"""`quietus review`: settle what was not read surely."""

from typing import Annotated

import typer
from rich.table import Table

from quietus.cli.ingest_cmd import describe
from quietus.cli.opening import HomeOption, JsonOption, PassphraseFd, opened
from quietus.cli.screen import out, plain, print_json
from quietus.closing.intake import Fate
from quietus.closing.repaging import join, make_whole, split
from quietus.closing.review import Question, assign, confirm, correct, questions, reject
from quietus.model.errors import DONE, OPEN_ENDS, Misuse
from quietus.model.paper import Paper
from quietus.model.reading import value_to_json

review = typer.Typer(
    help="List and settle what was not read surely. Every reading is kept.", invoke_without_command=True
)
PaperArgument = Annotated[str, typer.Argument(help="The paper's id, or its first digits.")]


def attach(app: typer.Typer) -> None:
    """Add the command to the tree."""
    app.add_typer(review, name="review")


@review.callback()
def list_(
    context: typer.Context,
    entity: Annotated[str, typer.Option(help="Only this entity's papers.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
    as_json: JsonOption = False,
) -> int:
    """List what waits. Exit status: 0 nothing waits; 1 something does."""
    if context.invoked_subcommand:
        return DONE
    with opened(home, passphrase_fd) as office:
        waiting = questions(office, entity)
    if as_json:
        print_json([_question_json(question) for question in waiting])
    else:
        _print_questions(waiting)
    raise typer.Exit(OPEN_ENDS if waiting else DONE)


def _print_questions(waiting: tuple[Question, ...]) -> None:
    if not waiting:
        out().print("Nothing waits for review.")
    for question in waiting:
        paper = question.paper
        owner = "belongs to nobody on the register" if question.homeless else f"{paper.entity} {paper.expected}"
        out().print(plain(f"{paper.id[:8]}  {paper.name}  ({owner})"), style="bold", soft_wrap=True)
        if question.homeless:
            name = paper.reading.text("entity_name") or "not read"
            out().print(plain(f"    name on the paper: {name}"), soft_wrap=True)
        table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 1, 0, 3))
        for field in question.doubts:
            value = paper.reading[field]
            table.add_row(
                field,
                "nothing read surely" if value.value is None else plain(str(value.value)),
                "" if value.value is None else f"{value.confidence:.0%}",
                f"page {value.page}" if value.page else "",
                plain(f'"{value.raw}"') if value.raw else "",
                plain(value.method),
            )
        if question.doubts:
            out().print(table)
    if waiting:
        out().print(
            "Settle with `quietus review confirm|correct|assign|reject PAPER`, or see them: `quietus desk`. "
            "Where papers were cut wrongly: `quietus review split|join|whole PAPER`.",
            soft_wrap=True,
        )


def _question_json(question: Question) -> dict[str, object]:
    paper = question.paper
    return {
        "id": paper.id,
        "name": paper.name,
        "entity": paper.entity,
        "expected": paper.expected,
        "belongs_to_nobody": question.homeless,
        "doubts": {field: value_to_json(paper.reading[field]) for field in question.doubts},
    }


@review.command("confirm")
def confirm_(
    paper: PaperArgument,
    fields: Annotated[list[str] | None, typer.Argument(help="Fields to confirm. Default: all in doubt.")] = None,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Say that values in doubt are as read."""
    with opened(home, passphrase_fd) as office:
        return _settled(confirm(office, paper, tuple(fields or ())))


@review.command("correct")
def correct_(
    paper: PaperArgument,
    corrections: Annotated[list[str], typer.Argument(help="FIELD=VALUE; an empty value: the paper does not carry it.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Put your values in place of those read."""
    pairs = {}
    for text in corrections:
        field, equals, value = text.partition("=")
        if not equals:
            raise Misuse("A correction is written FIELD=VALUE.", "For example filing_date=2026-03-31.")
        pairs[field.strip()] = value
    with opened(home, passphrase_fd) as office:
        return _settled(correct(office, paper, pairs))


@review.command("assign")
def assign_(
    paper: PaperArgument,
    entity: Annotated[str, typer.Argument(help="The entity's short name.")],
    expected: Annotated[str, typer.Option("--as", help="The expected paper it answers, such as OR/dissolution.")] = "",
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Say which entity a paper belongs to."""
    with opened(home, passphrase_fd) as office:
        return _settled(assign(office, paper, entity, expected))


@review.command("reject")
def reject_(
    paper: PaperArgument,
    reason: Annotated[str, typer.Option(help="Why it is no evidence.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Say that a paper is no evidence. It stays sealed and listed; it never counts."""
    with opened(home, passphrase_fd) as office:
        item = reject(office, paper, reason)
    out().print(f"{item.id[:8]} rejected; it stays in the vault and never counts.")
    return DONE


@review.command("split")
def split_(
    paper: PaperArgument,
    at: Annotated[list[int], typer.Option("--at", help="A page at which a new paper begins. May be given again.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Take a file apart that holds several papers. As received it stays sealed; each paper is filed by itself."""
    with opened(home, passphrase_fd) as office:
        return max(_settled(part) for part in split(office, paper, at))


@review.command("join")
def join_(
    paper: PaperArgument,
    others: Annotated[list[str], typer.Option("--with", help="The paper whose pages come next. May be given again.")],
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Make one paper of several whose pages came in several files. The files stay sealed as received."""
    with opened(home, passphrase_fd) as office:
        return _settled(join(office, (paper, *others)))


@review.command("whole")
def whole_(
    paper: PaperArgument,
    home: HomeOption = None,
    passphrase_fd: PassphraseFd = None,
) -> int:
    """Say that a file that was taken apart is one paper after all; name the file or any of its parts."""
    with opened(home, passphrase_fd) as office:
        return _settled(make_whole(office, paper))


def _settled(paper: Paper) -> int:
    out().print(plain(f"{paper.name}: {describe(paper, Fate.FILED)}"), soft_wrap=True)
    return OPEN_ENDS if paper.waits else DONE
