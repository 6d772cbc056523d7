"""The layouts: for tuning, for validation, and for the figures reported. Importing this package enters all of them."""

from tests.corpus.layouts import (
    agency_fresh,
    agency_held,
    agency_tune,
    company_fresh,
    company_held,
    company_tune,
    filings_fresh,
    filings_held,
    filings_tune,
    records_held,
    records_tune,
    returns_fresh,
    returns_held,
    returns_tune,
)
from tests.corpus.layouts.registry import LAYOUTS, Layout

__all__ = [
    "LAYOUTS",
    "Layout",
    "agency_fresh",
    "agency_held",
    "agency_tune",
    "company_fresh",
    "company_held",
    "company_tune",
    "filings_fresh",
    "filings_held",
    "filings_tune",
    "records_held",
    "records_tune",
    "returns_fresh",
    "returns_held",
    "returns_tune",
]
