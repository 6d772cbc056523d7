"""What answers each line of the closing: an exhibit, or a paper that is told of and not shown. Pure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from quietus.bundle.exhibits import Exhibit
from quietus.bundle.purposes import Form
from quietus.bundle.request import BundleRequest
from quietus.bundle.selection import Included
from quietus.model.findings import Line, Mark


@dataclass(frozen=True, slots=True)
class Shown:
    """What answers each line: exhibits, or papers told of in a line alone."""

    exhibits: Mapping[str, list[Exhibit]]
    told: Mapping[str, Included]

    def of(self, line: Line) -> list[Exhibit]:
        """The exhibits that answer a line."""
        return self.exhibits.get(line.expected.key, [])

    def best(self, line: Line) -> Included | None:
        """The paper that answers a line, shown or told of; None when there is none."""
        exhibits = self.of(line)
        return exhibits[0].item if exhibits else self.told.get(line.expected.key)

    def mark(self, line: Line) -> Mark:
        """The mark as the recipient sees it: proven only with a paper to show for it, or to tell of."""
        return Mark.REVIEW if line.mark is Mark.PROVEN and self.best(line) is None else line.mark


def shown_of(request: BundleRequest, exhibits: Sequence[Exhibit]) -> Shown:
    """What answers each line of this request."""
    found: dict[str, list[Exhibit]] = {}
    for exhibit in exhibits:
        found.setdefault(exhibit.item.expected.key, []).append(exhibit)
    lettered = {exhibit.paper.id for exhibit in exhibits}
    told = {item.expected.key: item for item in request.selection.included if item.paper.id not in lettered}
    return Shown(found, told)


def told_of(request: BundleRequest) -> list[Included]:
    """Papers told of in a line alone."""
    return [item for item in request.selection.included if item.form is Form.LINE]
