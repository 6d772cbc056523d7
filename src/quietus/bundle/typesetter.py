"""Calls the typesetter: a template of ours and data in, a PDF out."""

import json
from collections.abc import Mapping
from importlib.resources import as_file, files
from typing import Any, Literal, TypeAlias

import typst

from quietus.model.errors import MachineFault

Standard: TypeAlias = Literal["1.7", "a-2b", "ua-1"]


def typeset_pdf(package: str, template: str, data: Mapping[str, Any], what: str, standard: Standard = "1.7") -> bytes:
    """The PDF that a template makes of data: same data, same bytes.

    The templates read nothing but `data` and each other, and use only the typefaces inside the typesetter, so that
    every machine draws the same.

    Args:
        package: the package in whose folder `pages` the template stands.
        template: file name of the template.
        data: what it shows; plain JSON data.
        what: what is drawn, for the error, such as `The letter`.
        standard: what the PDF is made to.

    Raises:
        MachineFault: the typesetter failed.
    """
    with as_file(files(package) / "pages") as pages:
        try:
            made = typst.compile(
                pages / template,
                root=pages,
                format="pdf",
                ignore_system_fonts=True,
                sys_inputs={"data": json.dumps(data)},
                pdf_standards=[standard],
            )
        except typst.TypstError:
            raise MachineFault(f"{what} can't be drawn.", "Install quietus again.") from None
    if not isinstance(made, bytes):
        raise MachineFault(f"{what} can't be drawn.", "Install quietus again.")
    return made
