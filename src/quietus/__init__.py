"""quietus: an evidence vault that shows which jurisdictions a closed company has really left, and proves it."""

__version__ = "0.1.0"
