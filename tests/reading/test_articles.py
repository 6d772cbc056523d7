"""Whether `The` before a company's name belongs to it."""

import pytest

from quietus.reading.names import subject_of
from tests.reading.helpers import lines_of


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Entity Name: The Larch Barn Group, LLC\nThe Larch Barn Group, LLC", "The Larch Barn Group, LLC"),
        ("ARTICLES OF DISSOLUTION\nTHE LARCH BARN GROUP LLC", "THE LARCH BARN GROUP LLC"),
        ("We filed the papers of The Larch Barn Group, LLC on that day.", "The Larch Barn Group, LLC"),
        ("Entity Name: Larch Barn Group, LLC\nThe Larch Barn Group, LLC is closed.", "Larch Barn Group, LLC"),
        ("The members of the Larch Barn Group, LLC met.", "Larch Barn Group, LLC"),
    ],
)
def test_an_article_is_part_of_a_name_where_its_capital_has_no_other_reason(text: str, name: str) -> None:
    rows = [(1.0, 1.0 + 0.3 * number, line) for number, line in enumerate(text.split("\n"))]
    found = subject_of([lines_of(*rows)])
    assert found is not None
    assert found.name == name
