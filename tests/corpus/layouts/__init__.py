"""The layouts: half of them for tuning, half held out. Importing this package enters all of them."""

from tests.corpus.layouts import (
    agency_held,
    agency_tune,
    company_held,
    company_tune,
    filings_held,
    filings_tune,
    records_held,
    records_tune,
    returns_held,
    returns_tune,
)
from tests.corpus.layouts.registry import LAYOUTS, Layout

__all__ = [
    "LAYOUTS",
    "Layout",
    "agency_held",
    "agency_tune",
    "company_held",
    "company_tune",
    "filings_held",
    "filings_tune",
    "records_held",
    "records_tune",
    "returns_held",
    "returns_tune",
]
