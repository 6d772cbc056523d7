"""What law and practice expect: rule packs and retention schedules, and what follows from them for one entity.

The law is data here (TOML with sources); the code only reads it and counts days.
"""

from quietus.rules.describe import CAUTION, describe_pack
from quietus.rules.due import Due, DueRule, Event, due_date
from quietus.rules.expect import claims_against, expected_papers, owed_while_open
from quietus.rules.holidays import legal_holidays, next_business_day
from quietus.rules.keeping import CLEARED, PUBLISHED, Keeper, ceiling_notes, keep
from quietus.rules.law import Pack, Packs
from quietus.rules.packs import load_packs
from quietus.rules.schedules import (
    Schedules,
    default_schedule_folder,
    load_schedules,
    schedule_texts,
    schedules_of,
)
from quietus.rules.years import last_year_begins, last_year_would_end

__all__ = [
    "CAUTION",
    "CLEARED",
    "PUBLISHED",
    "Due",
    "DueRule",
    "Event",
    "Keeper",
    "Pack",
    "Packs",
    "Schedules",
    "ceiling_notes",
    "claims_against",
    "default_schedule_folder",
    "describe_pack",
    "due_date",
    "expected_papers",
    "keep",
    "last_year_begins",
    "last_year_would_end",
    "legal_holidays",
    "load_packs",
    "load_schedules",
    "next_business_day",
    "owed_while_open",
    "schedule_texts",
    "schedules_of",
]
