"""The tables that tell how well the corpus was read."""

from collections import defaultdict
from collections.abc import Sequence

from rich.console import Console
from rich.table import Table

from quietus.model.reading import FIELDS
from tests.corpus.score import MATTER, Judged, Verdict, papers_in_doubt, reliability, share

_GROUPS = ("degradation", "layout", "stamp", "box", "dpi", "turn", "container", "ring", "shadow", "kind")


def report(screen: Console, found: Sequence[Judged]) -> None:
    """Print every table."""
    _by_field(screen, found)
    for group in _GROUPS:
        _by_group(screen, found, group)
    _trust(screen, found)
    _silent(screen, found)


def _table(title: str, *heads: str) -> Table:
    table = Table(title=title, title_justify="left", box=None, pad_edge=False)
    for number, head in enumerate(heads):
        table.add_column(head, justify="left" if number == 0 else "right")
    return table


def _of(found: Sequence[Judged], *fields: str) -> list[Judged]:
    return [one for one in found if one.field in fields]


def _by_field(screen: Console, found: Sequence[Judged]) -> None:
    table = _table(
        "\nEvery field (exact: of papers that carry it; the rest: of all papers)",
        "field",
        "carried",
        "exact %",
        "review %",
        "silent %",
        "missing %",
    )
    for name in FIELDS:
        one = share(_of(found, name))
        row = (f"{one.values}", f"{one.exact:.1f}", f"{one.review:.1f}", f"{one.silent:.2f}", f"{one.missing:.1f}")
        table.add_row(f"{name} *" if name in MATTER else name, *row)
    matter = _of(found, *MATTER)
    total = share(matter)
    table.add_row("all of *", f"{total.values}", f"{total.exact:.1f}", f"{total.review:.1f}", f"{total.silent:.2f}", "")
    screen.print(table)
    screen.print(f"papers with a field of * in review: {papers_in_doubt(matter):.1f} %")
    screen.print(f"papers with any field in review: {papers_in_doubt(found):.1f} %")


def _by_group(screen: Console, found: Sequence[Judged], group: str) -> None:
    groups: dict[str, list[Judged]] = defaultdict(list)
    for one in found:
        if one.row.get(group) not in {None, ""}:
            groups[str(one.row[group])].append(one)
    if len(groups) < 2:
        return
    table = _table(f"\nBy {group} (exact %)", group, "papers", *MATTER, "review %", "silent %")
    for name in sorted(groups):
        mine = groups[name]
        papers = len({(one.row["file"], one.row["first_page"]) for one in mine})
        exact = [_shown(share(_of(mine, each)).exact) for each in MATTER]
        matter = _of(mine, *MATTER)
        table.add_row(name, f"{papers}", *exact, f"{papers_in_doubt(matter):.1f}", f"{share(matter).silent:.2f}")
    screen.print(table)


def _shown(number: float) -> str:
    return "" if number != number else f"{number:.1f}"  # not a number: nothing carries it


def _trust(screen: Console, found: Sequence[Judged]) -> None:
    table = _table(
        "\nHow far confidence can be trusted (values given)", "field", "confidence", "values", "mean %", "right %"
    )
    for name in FIELDS:
        for number, (low, high, count, mean, right) in enumerate(reliability(_of(found, name))):
            table.add_row(
                "" if number else name, f"{low:.2f}-{min(high, 1):.2f}", f"{count}", f"{mean:.1f}", f"{right:.1f}"
            )
    screen.print(table)


def _silent(screen: Console, found: Sequence[Judged]) -> None:
    errors = [one for one in found if one.verdict is Verdict.SILENT]
    screen.print(f"\nSilent errors: {len(errors)}, {len(_of(errors, *MATTER))} of them in the fields of *")
    _each(screen, errors)


def flagged(screen: Console, found: Sequence[Judged]) -> None:
    """Print every value that a person is asked to look at, and whether it was right."""
    asked = [one for one in found if one.value.review]
    right = [one for one in asked if one.verdict is Verdict.RIGHT]
    screen.print(f"\nFlagged values: {len(asked)}, {len(right)} of them right")
    _each(screen, asked)


def _each(screen: Console, found: Sequence[Judged]) -> None:
    for one in sorted(found, key=lambda each: (each.field, str(each.row["file"]))):
        facts = [str(one.row.get(key, "")) for key in ("degradation", "stamp", "box") if one.row.get(key)]
        screen.print(
            f"{one.field}: {one.row['file']} p{one.row['first_page']}: is {one.truth!s}, read {one.value.value!s}"
            f" ({one.value.confidence:.2f}, {one.value.method}; {', '.join(facts)})",
            markup=False,
            soft_wrap=True,
        )
