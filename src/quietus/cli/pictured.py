"""Pages and pictures that commands write to files: templates that escape every value."""

from jinja2 import Environment, PackageLoader, StrictUndefined

from quietus.cli.screen import plain

TEMPLATES = Environment(
    loader=PackageLoader("quietus.cli", "pages"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
    finalize=lambda value: plain(value) if isinstance(value, str) else value,
)
